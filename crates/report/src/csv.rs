//! Points as columns for a spreadsheet: a line for each, all values in SI units with all their digits; what is missing or not
//! finite is empty.

use crate::options::met;
use language::description::Axis;
use std::borrow::Cow;
use std::fmt::Write as _;
use study::result::{Comparison, Run};

/// A comparison with a heading line. Columns: each axis, each reading, each requirement's value and verdict, codes of warnings, error.
#[must_use]
pub fn comparison(comparison: &Comparison) -> String {
    let mut headings = axis_headings(&comparison.axes);
    // A point that failed has its readings and requirements too, without values.
    headings.extend(comparison.runs.first().map(result_headings).unwrap_or_default());
    let row = |run: &Run| {
        let mut cells = axis_cells(&comparison.axes, &run.at);
        cells.extend(result_cells(run));
        joined(&cells)
    };
    std::iter::once(joined(&headings)).chain(comparison.runs.iter().map(row)).collect()
}

/// Names of the axes, swept ones with their unit.
pub(crate) fn axis_headings(axes: &[Axis]) -> Vec<String> {
    let heading = |axis: &Axis| {
        let unit = axis.values.first().map(|value| quantity::unit_symbol(value.dimension));
        with_unit(&axis.name, unit.as_deref())
    };
    axes.iter().map(heading).collect()
}

/// The option, case or value on each axis.
pub(crate) fn axis_cells(axes: &[Axis], at: &[usize]) -> Vec<String> {
    let cell = |(axis, index): (&Axis, &usize)| match axis.values.get(*index) {
        Some(value) => number(Some(value.value)),
        None => axis.points.get(*index).cloned().unwrap_or_default(),
    };
    axes.iter().zip(at).map(cell).collect()
}

/// Headings of [`result_cells`].
pub(crate) fn result_headings(run: &Run) -> Vec<String> {
    let reading = |name: &String, dimension| with_unit(name, Some(&quantity::unit_symbol(dimension)));
    let mut cells: Vec<String> = run.readings.iter().map(|one| reading(&one.name, one.dimension)).collect();
    for requirement in &run.requirements {
        let unit = quantity::unit_symbol(requirement.dimension);
        cells.push(with_unit(&format!("value of {}", requirement.text), Some(&unit)));
        cells.push(format!("met: {}", requirement.text));
    }
    cells.extend(["warnings".to_owned(), "error".to_owned()]);
    cells
}

/// Readings, each requirement's value and verdict, codes of warnings each once, error.
pub(crate) fn result_cells(run: &Run) -> Vec<String> {
    let mut cells: Vec<String> = run.readings.iter().map(|reading| number(reading.value)).collect();
    for requirement in &run.requirements {
        cells.push(number(requirement.value));
        cells.push(met(requirement).map_or_else(String::new, |met| met.to_string()));
    }
    let mut codes: Vec<&str> = Vec::new();
    for warning in &run.warnings {
        if !codes.contains(&warning.code) {
            codes.push(warning.code);
        }
    }
    cells.push(codes.join(" "));
    cells.push(run.error.clone().unwrap_or_default());
    cells
}

pub(crate) fn with_unit(name: &str, unit: Option<&str>) -> String {
    match unit {
        Some(unit) if !unit.is_empty() && unit != "1" => format!("{name} ({unit})"),
        _ => name.to_owned(),
    }
}

/// The shortest digits that give the value back.
pub(crate) fn number(value: Option<f64>) -> String {
    value.filter(|value| value.is_finite()).map_or_else(String::new, |value| format!("{value:e}"))
}

/// A line of cells, with its end.
pub(crate) fn joined(cells: &[String]) -> String {
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
