//! What to measure next, for a spreadsheet: a line for each value that matters, in SI units.

use super::{Row, rows};
use crate::csv::{axis_cells, axis_headings, joined, number};
use quantity::unit_symbol;
use study::influence::Influence;
use study::result::Comparison;

/// The text with a heading line, the gravest first.
#[must_use]
pub fn csv(comparison: &Comparison, influences: &[Influence]) -> String {
    let mut headings: Vec<String> =
        ["part", "property", "in_file", "low", "high", "unit", "stated"].map(str::to_owned).to_vec();
    headings.extend(axis_headings(&comparison.axes));
    let judged = ["requirement", "value", "with_low", "with_high", "limit", "requirement_unit", "turns"];
    headings.extend(judged.map(str::to_owned));
    let line = |row: &Row<'_>| {
        let (influence, requirement) = (row.influence, row.requirement);
        let mut cells = vec![influence.part.clone(), influence.property.clone()];
        cells.extend([influence.value, influence.ends.0, influence.ends.1].map(|value| number(Some(value))));
        cells.extend([unit_symbol(influence.dimension), influence.stated.to_string()]);
        cells.extend(axis_cells(&comparison.axes, &row.run.at));
        cells.push(requirement.text.clone());
        cells.push(number(requirement.value));
        cells.extend([row.values.0, row.values.1, requirement.limit].map(|value| number(Some(value))));
        cells.extend([unit_symbol(requirement.dimension), row.turns.to_string()]);
        joined(&cells)
    };
    std::iter::once(joined(&headings)).chain(rows(comparison, influences).iter().map(line)).collect()
}
