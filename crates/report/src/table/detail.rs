//! Every point: options as groups of rows, their conditions as rows, readings as columns.

use super::grid::{Column, draw};
use super::mark;
use super::summary::name;
use crate::options::{condition_axes, condition_label, met, picks};
use crate::text;
use crate::verdict::facts::scale;
use study::result::{Comparison, ReadingResult, Run};

/// The share by which an unlimited peak-to-peak must differ from the limited one to be shown.
const WORTH_SHOWING: f64 = 0.1;

/// The detail; nothing where nothing was run.
pub(super) fn table(comparison: &Comparison) -> Option<String> {
    let rows = rows(comparison);
    let model = comparison.runs.iter().max_by_key(|run| run.readings.len())?;
    let heading = match condition_axes(comparison) {
        axes if axes.is_empty() => "option".to_owned(),
        axes => format!("option\n  {axes}"),
    };
    let mut columns = vec![Column::left(&heading, rows.iter().map(|row| row.heading.clone()).collect())];
    columns.extend(model.readings.iter().enumerate().map(|(at, reading)| {
        let cells = rows
            .iter()
            .map(|row| row.run.map_or_else(String::new, |run| cell(comparison, run, at)))
            .collect();
        Column::right(&reading.name, cells)
    }));
    if comparison.runs.iter().any(|run| !run.requirements.is_empty()) {
        let cells = rows.iter().map(|row| row.run.map_or_else(String::new, requirements)).collect();
        columns.push(Column::left("requirements", cells));
    }
    let shows = |run: &Run| run.readings.iter().any(|reading| unlimited(comparison, run, reading).is_some());
    let note = if comparison.runs.iter().any(shows) {
        "\n * without the test point's bandwidth limit, where that differs by over 10 %"
    } else {
        ""
    };
    Some(format!("Every point\n{}{note}", draw(&columns)))
}

/// A line of the table: a heading of its own, or a run.
struct Row<'a> {
    heading: String,
    run: Option<&'a Run>,
}

fn rows(comparison: &Comparison) -> Vec<Row<'_>> {
    let mut rows = Vec::new();
    for pick in picks(comparison) {
        if let [only] = pick.runs[..] {
            let conditions = condition_label(comparison, only);
            let conditions = if conditions.is_empty() { conditions } else { format!(" ({conditions})") };
            rows.push(Row { heading: format!("{}{conditions}", name(&pick)), run: Some(only) });
            continue;
        }
        rows.push(Row { heading: name(&pick), run: None });
        rows.extend(
            pick.runs.iter().map(|run| Row {
                heading: format!("  {}", condition_label(comparison, run)),
                run: Some(run),
            }),
        );
    }
    rows
}

fn cell(comparison: &Comparison, run: &Run, at: usize) -> String {
    let Some(reading) = run.readings.get(at) else { return "n/a".to_owned() };
    let scale = scale(comparison, run, reading.dimension);
    let value = reading.value.map(|value| text::without_rounding(value, scale));
    let shown = text::value_or_missing(value, reading.dimension);
    match unlimited(comparison, run, reading) {
        Some(unlimited) => format!("{shown}\n*{}", text::value(unlimited, reading.dimension)),
        None => shown,
    }
}

/// The value without the bandwidth limit, where it is worth showing.
fn unlimited(comparison: &Comparison, run: &Run, reading: &ReadingResult) -> Option<f64> {
    let scale = scale(comparison, run, reading.dimension);
    let (value, unlimited) = (reading.value?, text::without_rounding(reading.unlimited?, scale));
    (unlimited != 0.0 && unlimited.is_finite() && (unlimited - value).abs() > WORTH_SHOWING * value.abs())
        .then_some(unlimited)
}

/// `✓ met`, `✗ not met: 1, 3`, `? not judged: 2`.
fn requirements(run: &Run) -> String {
    if run.error.is_some() {
        return format!("{} (failed)", mark::NOT_JUDGED);
    }
    let numbers = |wanted: Option<bool>| -> Vec<String> {
        let found = run.requirements.iter().enumerate().filter(|(_, one)| one.applies && met(one) == wanted);
        found.map(|(at, _)| (at + 1).to_string()).collect()
    };
    let (missed, unknown) = (numbers(Some(false)), numbers(None));
    if !run.requirements.is_empty() && run.requirements.iter().all(|one| !one.applies) {
        return mark::NOT_APPLICABLE.to_owned();
    }
    match (missed.is_empty(), unknown.is_empty()) {
        (true, true) => mark::MET.to_owned(),
        (false, true) => format!("{}: {}", mark::NOT_MET, missed.join(", ")),
        (true, false) => format!("{}: {}", mark::NOT_JUDGED, unknown.join(", ")),
        (false, false) => {
            format!("{}: {}\n{}: {}", mark::NOT_MET, missed.join(", "), mark::NOT_JUDGED, unknown.join(", "))
        }
    }
}
