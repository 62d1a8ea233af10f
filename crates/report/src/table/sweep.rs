//! The summary of a sweep as a builder reads it.

use super::Style;
use super::grid::{Column, draw};
use crate::sweep::Summary;
use crate::text;
use crate::words::sweep as words;

/// The summary as text, with a line end at its end.
#[must_use]
pub fn sweep(summary: &Summary, style: Style) -> String {
    let (width, prose) = (style.width, style.prose());
    let rows: usize = summary.picks.iter().map(|pick| pick.rows).sum();
    let mut sections = vec![format!(
        "{}\n{}",
        text::wrap(&summary.outline.title, "", prose),
        text::wrap(&words::answer(summary, rows), "", prose)
    )];
    sections.extend(words::failures(summary).map(|told| text::wrap(&told, "", prose)));
    sections.extend(words::signed(summary).map(|told| text::wrap(&told, "", prose)));
    sections.push(counts(summary, width));
    if summary.corners() {
        sections.push(extremes(summary, width));
    } else if summary.picks.iter().any(|pick| pick.worst.is_some()) {
        sections.push(percentiles(summary, width));
        sections.extend(drivers(summary, prose));
    } else {
        sections.push(extremes(summary, width));
    }
    format!("{}\n", sections.join("\n\n"))
}

/// How often each option holds, and which requirement stops it.
fn counts(summary: &Summary, width: usize) -> String {
    let labels: Vec<String> = summary.picks.iter().map(|pick| pick.label.clone()).collect();
    let drawn = !summary.corners() && summary.picks.iter().any(|pick| pick.worst.is_some());
    let mut columns = vec![Column::left("option", labels)];
    let share = |met: usize, rows: usize| format!("{met} of {rows}");
    columns.push(Column::right(
        "meets all",
        summary.picks.iter().map(|pick| share(pick.met, pick.rows)).collect(),
    ));
    if drawn {
        let cells = summary.picks.iter().map(|pick| {
            pick.worst.as_ref().map_or_else(String::new, |worst| {
                let (low, high) = worst.interval();
                let percent = |share: f64| format!("{:.1}", share * 100.0);
                format!(
                    "{} % ({} to {})",
                    percent(worst.met as f64 / worst.all as f64),
                    percent(low),
                    percent(high)
                )
            })
        });
        columns.push(Column::right("yield at worst point", cells.collect()));
        let places = summary.picks.iter().map(|pick| {
            pick.worst.as_ref().map_or_else(String::new, |worst| summary.place(worst.number, false))
        });
        if places.clone().any(|place| !place.is_empty()) {
            columns.push(Column::left("which is at", places.collect()));
        }
    }
    for (index, requirement) in summary.outline.requirements.iter().enumerate() {
        let cells = summary.picks.iter().map(|pick| pick.missed[index].to_string()).collect();
        columns.push(Column::right(&format!("not: {}", requirement.text), cells));
    }
    let note = if drawn { format!("\n{}", words::INTERVAL) } else { String::new() };
    format!("How often each option holds\n{}{note}", draw(&columns, width))
}

/// Between what readings lie, and where.
fn extremes(summary: &Summary, width: usize) -> String {
    let mut tables = Vec::new();
    for (index, (name, dimension)) in summary.outline.readings.iter().enumerate() {
        let cell = |side: usize, place: bool| -> Vec<String> {
            let of_pick = |pick: &crate::sweep::PickSummary| match &pick.extremes[index] {
                Some(ends) if place => summary.place(ends[side].1, true),
                Some(ends) => text::value(ends[side].0, *dimension),
                None => "n/a".to_owned(),
            };
            summary.picks.iter().map(of_pick).collect()
        };
        let mut columns = vec![
            Column::left(name, summary.picks.iter().map(|pick| pick.label.clone()).collect()),
            Column::right("least", cell(0, false)),
            Column::left("at", cell(0, true)),
            Column::right("greatest", cell(1, false)),
            Column::left("at", cell(1, true)),
        ];
        columns.retain(|column| column.cells.iter().any(|cell| !cell.is_empty()));
        tables.push(draw(&columns, width));
    }
    format!("Between what readings lie\n{}", tables.join("\n\n"))
}

/// Percentiles over the draws of each option's worst point.
fn percentiles(summary: &Summary, width: usize) -> String {
    let mut tables = Vec::new();
    for (index, (name, dimension)) in summary.outline.readings.iter().enumerate() {
        let cell = |which: usize| -> Vec<String> {
            let of_pick = |pick: &crate::sweep::PickSummary| {
                let found = pick.worst.as_ref().and_then(|worst| worst.percentiles[index]);
                found.map_or_else(|| "n/a".to_owned(), |found| text::value(found[which], *dimension))
            };
            summary.picks.iter().map(of_pick).collect()
        };
        tables.push(draw(
            &[
                Column::left(name, summary.picks.iter().map(|pick| pick.label.clone()).collect()),
                Column::right("5 % below", cell(0)),
                Column::right("half below", cell(1)),
                Column::right("95 % below", cell(2)),
            ],
            width,
        ));
    }
    format!("Readings over the draws of each option's worst point\n{}", tables.join("\n\n"))
}

/// What drives each reading at the worst point.
fn drivers(summary: &Summary, width: usize) -> Option<String> {
    let mut lines = Vec::new();
    for pick in &summary.picks {
        let Some(worst) = &pick.worst else { continue };
        for ((name, _), drivers) in summary.outline.readings.iter().zip(&worst.drivers) {
            if drivers.is_empty() {
                continue;
            }
            let told: Vec<String> = drivers
                .iter()
                .map(|(variable, correlation)| words::driver(summary.variable(*variable), *correlation))
                .collect();
            let line = format!("{}, {name}: {}", pick.label, told.join(", "));
            lines.push(text::wrap(&line, "  - ", width));
        }
    }
    (!lines.is_empty()).then(|| format!("{}\n{}", words::DRIVERS, lines.join("\n")))
}
