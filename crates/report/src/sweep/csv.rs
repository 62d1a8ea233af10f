//! Rows of a sweep as lines of a table with commas.

use std::borrow::Cow;
use std::fmt::Write as _;
use study::sweep::{Plan, Row};

/// The heading line. Columns: number of the point, each axis, the draw and each value drawn, each reading, each requirement's value
/// and verdict, codes of warnings, error. All values are in SI units.
#[must_use]
pub fn csv_heading(axes: &[language::description::Axis], plan: &Plan, row: &Row) -> String {
    let mut cells = vec!["point".to_owned()];
    for axis in axes {
        let unit = axis.values.first().map(|value| quantity::unit_symbol(value.dimension));
        cells.push(with_unit(&axis.name, unit.as_deref()));
    }
    if plan.drawing().is_some() {
        cells.push("draw".to_owned());
        cells.extend(
            plan.variables()
                .iter()
                .map(|each| with_unit(&each.name, Some(&quantity::unit_symbol(each.dimension)))),
        );
    }
    for reading in &row.run.readings {
        cells.push(with_unit(&reading.name, Some(&quantity::unit_symbol(reading.dimension))));
    }
    for requirement in &row.run.requirements {
        let unit = quantity::unit_symbol(requirement.dimension);
        cells.push(with_unit(&format!("value of {}", requirement.text), Some(&unit)));
        cells.push(format!("met: {}", requirement.text));
    }
    cells.extend(["warnings".to_owned(), "error".to_owned()]);
    joined(&cells)
}

/// A row's line. What is missing or not finite is empty.
#[must_use]
pub fn csv_line(axes: &[language::description::Axis], plan: &Plan, row: &Row) -> String {
    let mut cells = vec![row.number.to_string()];
    for (axis, index) in axes.iter().zip(&row.run.at) {
        cells.push(match axis.values.get(*index) {
            Some(value) => number(Some(value.value)),
            None => axis.points.get(*index).cloned().unwrap_or_default(),
        });
    }
    if plan.drawing().is_some() {
        cells.push(row.draw.to_string());
        cells.extend(row.drawn.iter().map(|value| number(*value)));
    }
    cells.extend(row.run.readings.iter().map(|reading| number(reading.value)));
    for requirement in &row.run.requirements {
        cells.push(number(requirement.value));
        cells.push(match crate::options::met(requirement) {
            Some(met) => met.to_string(),
            None => String::new(),
        });
    }
    let mut codes: Vec<&str> = Vec::new();
    for warning in &row.run.warnings {
        if !codes.contains(&warning.code) {
            codes.push(warning.code);
        }
    }
    cells.push(codes.join(" "));
    cells.push(row.run.error.clone().unwrap_or_default());
    joined(&cells)
}

fn with_unit(name: &str, unit: Option<&str>) -> String {
    match unit {
        Some(unit) if !unit.is_empty() && unit != "1" => format!("{name} ({unit})"),
        _ => name.to_owned(),
    }
}

/// The shortest digits that give the value back.
fn number(value: Option<f64>) -> String {
    value.filter(|value| value.is_finite()).map_or_else(String::new, |value| format!("{value:e}"))
}

fn joined(cells: &[String]) -> String {
    let mut line = String::new();
    for (index, cell) in cells.iter().enumerate() {
        let comma = if index == 0 { "" } else { "," };
        let _ = write!(line, "{comma}{}", quoted(cell));
    }
    line.push('\n');
    line
}

/// Quoted as RFC 4180 has it, where it must be. A line end inside would make two rows of one.
fn quoted(cell: &str) -> Cow<'_, str> {
    if !cell.contains([',', '"', '\n', '\r']) {
        return Cow::Borrowed(cell);
    }
    let plain = cell.replace(['\n', '\r'], " ").replace('"', "\"\"");
    Cow::Owned(format!("\"{plain}\""))
}
