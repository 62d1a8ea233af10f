//! Every point: options as groups of rows, their conditions as rows, readings as columns.

use super::grid::{Column, draw, fits};
use super::mark;
use super::summary::name;
use crate::options::{condition_axes, condition_names, met, picks};
use crate::text;
use crate::verdict::facts::{peak_to_peak, scale};
use study::result::{Comparison, ReadingResult, Run};

/// The share by which an unlimited extreme must differ from the limited one to be shown.
const WORTH_SHOWING: f64 = 0.1;

/// A heading wider than this breaks at an underscore where the table is wider than the page.
const NARROW: usize = 12;

/// A condition longer than this stands on lines of its own, the last axis under the others, where the table is wider than
/// the page.
const LONG_CONDITION: usize = 30;

/// The detail; nothing where there is nothing to show of any point.
pub(super) fn table(comparison: &Comparison, width: usize) -> Option<String> {
    let full = columns(comparison, &rows(comparison, false), false);
    if full.len() < 2 {
        return None;
    }
    let chosen = if fits(&full, width) { full } else { columns(comparison, &rows(comparison, true), true) };
    let shows = |run: &Run| run.readings.iter().any(|reading| unlimited(comparison, run, reading).is_some());
    let note = if comparison.runs.iter().any(shows) {
        "\n * without the test point's bandwidth limit, where that differs by over 10 %"
    } else {
        ""
    };
    Some(format!("Every point\n{}{note}", draw(&chosen, width)))
}

/// The columns: options with their conditions, readings, requirements.
fn columns(comparison: &Comparison, rows: &[Row<'_>], narrow: bool) -> Vec<Column> {
    let heading = match condition_axes(comparison) {
        axes if axes.is_empty() => "option".to_owned(),
        axes => format!("option\n  {}", if narrow { axes.replace(", ", ",\n  ") } else { axes }),
    };
    let mut columns = vec![Column::left(&heading, rows.iter().map(|row| row.heading.clone()).collect())];
    let of_rows = |cell: &dyn Fn(&Run) -> String| -> Vec<String> {
        rows.iter().map(|row| row.run.map_or_else(String::new, cell)).collect()
    };
    let readings = comparison.runs.iter().map(|run| run.readings.as_slice()).max_by_key(|list| list.len());
    let readings = readings.unwrap_or_default();
    columns.extend(readings.iter().enumerate().map(|(at, reading)| {
        let heading = if narrow { broken(&reading.name) } else { reading.name.clone() };
        Column::right(&heading, of_rows(&|run| cell(comparison, run, at)))
    }));
    if readings.is_empty() {
        // What nobody asked for is better than nothing.
        columns.extend(comparison.testpoints.iter().enumerate().map(|(at, testpoint)| {
            let span = |run: &Run| text::value_or_missing(peak_to_peak(run, at), testpoint.dimension);
            Column::right(&format!("{}\npeak to peak", testpoint.name), of_rows(&span))
        }));
    }
    if comparison.runs.iter().any(|run| !run.requirements.is_empty()) {
        let heading = if narrow { "met" } else { "requirements" };
        columns.push(Column::left(heading, of_rows(&|run| requirements(run, narrow))));
    }
    columns
}

/// `highest_voltage_seen` in lines of at most [`NARROW`] characters where its underscores allow.
fn broken(name: &str) -> String {
    let mut lines = vec![String::new()];
    for piece in name.split_inclusive('_') {
        let line = lines.last_mut().expect("starts with one line and only grows");
        if line.is_empty() || line.chars().count() + piece.chars().count() <= NARROW {
            line.push_str(piece);
        } else {
            lines.push(piece.to_owned());
        }
    }
    lines.join("\n")
}

/// A line of the table: a heading of its own, or a run.
struct Row<'a> {
    heading: String,
    run: Option<&'a Run>,
}

fn rows(comparison: &Comparison, narrow: bool) -> Vec<Row<'_>> {
    let longest = comparison.runs.iter().map(|run| condition_names(comparison, run).chars().count()).max();
    let nested = narrow && longest > Some(LONG_CONDITION);
    let mut rows = Vec::new();
    for pick in picks(comparison) {
        if let [only] = pick.runs[..] {
            let conditions = condition_names(comparison, only);
            let conditions = if conditions.is_empty() { conditions } else { format!(" ({conditions})") };
            rows.push(Row { heading: format!("{}{conditions}", name(&pick)), run: Some(only) });
            continue;
        }
        rows.push(Row { heading: name(&pick), run: None });
        let mut outer_told = String::new();
        for run in &pick.runs {
            let label = condition_names(comparison, run);
            match label.rsplit_once(", ").filter(|_| nested) {
                Some((outer, inner)) => {
                    if outer_told != outer {
                        rows.push(Row { heading: format!("  {outer}"), run: None });
                        outer.clone_into(&mut outer_told);
                    }
                    rows.push(Row { heading: format!("    {inner}"), run: Some(run) });
                }
                None => rows.push(Row { heading: format!("  {label}"), run: Some(run) }),
            }
        }
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

/// `✓ met`, `✗ not met: 1, 3`, `? not judged: 2`; short: `✓`, `✗ 1, 3`, `? 2`.
fn requirements(run: &Run, short: bool) -> String {
    let (met_mark, missed_mark, unknown_mark) = if short {
        (
            mark::SHORT_MET.to_owned(),
            format!("{} ", mark::SHORT_NOT_MET),
            format!("{} ", mark::SHORT_NOT_JUDGED),
        )
    } else {
        (mark::MET.to_owned(), format!("{}: ", mark::NOT_MET), format!("{}: ", mark::NOT_JUDGED))
    };
    if run.error.is_some() {
        let unknown = if short { mark::SHORT_NOT_JUDGED } else { mark::NOT_JUDGED };
        return format!("{unknown} (failed)");
    }
    let numbers = |wanted: Option<bool>| -> Vec<String> {
        let found = run.requirements.iter().enumerate().filter(|(_, one)| one.applies && met(one) == wanted);
        found.map(|(at, _)| (at + 1).to_string()).collect()
    };
    if !run.requirements.is_empty() && run.requirements.iter().all(|one| !one.applies) {
        return mark::NOT_APPLICABLE.to_owned();
    }
    let told: Vec<String> = [(missed_mark, numbers(Some(false))), (unknown_mark, numbers(None))]
        .into_iter()
        .filter(|(_, numbers)| !numbers.is_empty())
        .map(|(mark, numbers)| format!("{mark}{}", numbers.join(", ")))
        .collect();
    if told.is_empty() { met_mark } else { told.join("\n") }
}
