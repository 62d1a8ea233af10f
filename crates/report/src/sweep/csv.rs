//! Rows of a sweep as lines of a table with commas.

use crate::csv::{axis_cells, axis_headings, joined, number, result_cells, result_headings, with_unit};
use language::description::Axis;
use study::sweep::{Plan, Row};

/// The heading line. Columns: number of the point, each axis, the draw and each value drawn, each reading, each requirement's value
/// and verdict, codes of warnings, error. All values are in SI units.
#[must_use]
pub fn csv_heading(axes: &[Axis], plan: &Plan, row: &Row) -> String {
    let mut cells = vec!["point".to_owned()];
    cells.extend(axis_headings(axes));
    if plan.drawing().is_some() {
        cells.push("draw".to_owned());
        let drawn = plan.variables().iter();
        cells.extend(drawn.map(|each| with_unit(&each.name, Some(&quantity::unit_symbol(each.dimension)))));
    }
    cells.extend(result_headings(&row.run));
    joined(&cells)
}

/// A row's line. What is missing or not finite is empty.
#[must_use]
pub fn csv_line(axes: &[Axis], plan: &Plan, row: &Row) -> String {
    let mut cells = vec![row.number.to_string()];
    cells.extend(axis_cells(axes, &row.run.at));
    if plan.drawing().is_some() {
        cells.push(row.draw.to_string());
        cells.extend(row.drawn.iter().map(|value| number(*value)));
    }
    cells.extend(result_cells(&row.run));
    joined(&cells)
}
