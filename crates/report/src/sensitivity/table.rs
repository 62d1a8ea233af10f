//! What counts most for each option, as a builder reads it.

use super::{change, names, relative};
use crate::options::AS_DRAWN;
use crate::table::{Column, Style, draw};
use crate::text;
use language::description::AxisKind;
use study::sensitivity::{Differentiated, Point, Sensitivities, Slope, Stated};

/// What is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// For each option and reading the worst point, and there what counts most.
    Worst,
    /// Every point and every value that has a say.
    Everything,
}

/// Most rows of a table that shows what counts most.
const MOST_ROWS: usize = 10;
/// Changes below this fraction of the greatest one are not worth a row there …
const WORTH: f64 = 1e-2;
/// … and changes below this fraction of the reading are none: the sensitivities are not known better.
const NOTHING: f64 = 1e-7;

/// The tables as text, with a line end at its end.
#[must_use]
pub fn table(found: &Sensitivities, extent: Extent, style: Style) -> String {
    let prose = style.prose();
    let opening = "A little more of a value, and what it does: 1 % of the value, 1 K of a temperature.";
    let mut sections = vec![[&found.harness, opening].map(|line| text::wrap(line, "", prose)).join("\n")];
    let failed = found.points.iter().filter_map(|point| Some((point, point.error.as_ref()?)));
    sections.extend(
        failed
            .map(|(point, error)| text::wrap(&format!("{}: {error}", whole_label(found, point)), "", prose)),
    );
    for (label, points) in picks(found) {
        let count = points.first().map_or(0, |point| point.readings.len());
        for index in 0..count {
            let shown: Vec<&Point> = match extent {
                Extent::Everything => points.clone(),
                Extent::Worst => worst(&points, index).into_iter().collect(),
            };
            sections
                .extend(shown.into_iter().map(|point| section(found, &label, point, index, (extent, style))));
        }
    }
    sections.extend(without_derivative(found, prose));
    format!("{}\n", sections.join("\n\n"))
}

/// The options of all choices, each with its points that could be run.
fn picks(found: &Sensitivities) -> Vec<(String, Vec<&Point>)> {
    let mut picks: Vec<(String, Vec<&Point>)> = Vec::new();
    for point in found.points.iter().filter(|point| point.error.is_none()) {
        let options = names(&found.axes, &point.at, |axis| axis.kind == AxisKind::Choice);
        let options: Vec<&str> = options.into_iter().map(|(_, option)| option).collect();
        let label = if options.is_empty() { AS_DRAWN.to_owned() } else { options.join(" + ") };
        match picks.iter_mut().find(|(known, _)| *known == label) {
            Some((_, points)) => points.push(point),
            None => picks.push((label, vec![point])),
        }
    }
    picks
}

/// The point at which a reading is worst; where none has a value, the first.
fn worst<'a>(points: &[&'a Point], index: usize) -> Option<&'a Point> {
    let height = |point: &&&Point| {
        let reading = &point.readings[index];
        let sign = if reading.least_is_worst { -1.0 } else { 1.0 };
        reading.value.map_or(f64::NEG_INFINITY, |value| sign * value)
    };
    // Of equal ones the first.
    points.iter().rev().max_by(|one, other| height(one).total_cmp(&height(other))).copied()
}

fn whole_label(found: &Sensitivities, point: &Point) -> String {
    let all = names(&found.axes, &point.at, |_| true);
    let words: Vec<&str> = all.into_iter().map(|(_, name)| name).collect();
    if words.is_empty() { AS_DRAWN.to_owned() } else { words.join(", ") }
}

fn section(
    found: &Sensitivities,
    label: &str,
    point: &Point,
    index: usize,
    (extent, style): (Extent, Style),
) -> String {
    let reading = &point.readings[index];
    let conditions = names(&found.axes, &point.at, |axis| axis.kind.takes_worst_case());
    let words: Vec<String> = conditions.iter().map(|(axis, name)| format!("{axis} {name}")).collect();
    let at = match (words.is_empty(), extent) {
        (true, _) => String::new(),
        (false, Extent::Worst) if reading.required => format!(", worst at {}", words.join(", ")),
        (false, Extent::Worst) => format!(", greatest at {}", words.join(", ")),
        (false, Extent::Everything) => format!(" at {}", words.join(", ")),
    };
    let value = text::value_or_missing(reading.value, reading.dimension);
    let heading = text::wrap(&format!("{label}: {} is {value}{at}", reading.name), "", style.prose());
    match (&reading.excluded, reading.value) {
        (Some(reason), _) => {
            format!("{heading}\n{}", text::wrap(&format!("no derivatives: {reason}"), "  ", style.prose()))
        }
        (None, None) => heading,
        (None, Some(_)) => format!("{heading}\n{}", rows(&point.values, reading, extent, style)),
    }
}

fn rows(values: &[Stated], reading: &Differentiated, extent: Extent, style: Style) -> String {
    let changes = values.iter().zip(&reading.slopes);
    let mut changes: Vec<(&Stated, f64)> =
        changes.filter_map(|(stated, slope)| Some((stated, change(stated, slope)?))).collect();
    let scale = reading.value.unwrap_or(0.0).abs();
    let all = changes.len();
    changes.retain(|(_, change)| change.abs() > NOTHING * scale);
    let without = all - changes.len();
    changes.sort_by(|one, other| other.1.abs().total_cmp(&one.1.abs()));
    let telling = changes.len();
    if extent == Extent::Worst {
        let greatest = changes.first().map_or(0.0, |(_, change)| change.abs());
        changes.retain(|(_, change)| change.abs() >= WORTH * greatest);
        changes.truncate(MOST_ROWS);
    }
    let mut lines = Vec::new();
    if !changes.is_empty() {
        let cell = |of: &dyn Fn(&Stated, f64) -> String| {
            changes.iter().map(|(stated, change)| of(stated, *change)).collect()
        };
        let name = |stated: &Stated, _: f64| {
            if stated.is_temperature() { format!("{} + 1 K", stated.name) } else { stated.name.clone() }
        };
        let mut columns = vec![
            Column::left("a little more of", cell(&name)),
            Column::right("which is", cell(&|stated, _| quantity::engineering(stated.value, 3))),
            Column::right(
                "changes it by",
                cell(&|_, change| signed(&text::value(change, reading.dimension))),
            ),
        ];
        if changes.iter().all(|(_, change)| relative(reading, *change).is_some()) {
            let percent = |_: &Stated, change: f64| {
                let percent = 100.0 * relative(reading, change).unwrap_or(0.0);
                let digits = if percent.abs() < 0.0995 { 3 } else { 2 };
                signed(&format!("{percent:.digits$} %"))
            };
            columns.push(Column::right("that is", cell(&percent)));
        }
        lines.push(draw(&columns, style.width));
    }
    let less = telling - changes.len();
    let told = match (less, without) {
        (0, 0) => String::new(),
        (less, 0) => format!("{} less.", values_change(less)),
        (0, without) => format!("{} nothing.", values_change(without)),
        (less, without) => format!("{} less, {without} nothing.", values_change(less)),
    };
    if !told.is_empty() {
        let others = if changes.is_empty() { "" } else { " more" };
        lines.push(text::wrap(&told.replacen(" value", &format!("{others} value"), 1), "  ", style.prose()));
    }
    lines.join("\n")
}

fn values_change(count: usize) -> String {
    let verb = if count == 1 { "changes" } else { "change" };
    format!("{} {verb}", text::count(count, "value"))
}

fn signed(text: &str) -> String {
    if text.starts_with('-') { text.to_owned() } else { format!("+{text}") }
}

/// Values without a derivative, by reason, each reason once.
fn without_derivative(found: &Sensitivities, width: usize) -> Option<String> {
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    for point in &found.points {
        for (index, stated) in point.values.iter().enumerate() {
            let slopes = point.readings.iter().filter_map(|reading| reading.slopes.get(index));
            for slope in slopes {
                let Slope::Unknown(reason) = slope else { continue };
                let known = reasons.iter().position(|(known, _)| *known == reason.as_str());
                let place = known.unwrap_or_else(|| {
                    reasons.push((reason.as_str(), Vec::new()));
                    reasons.len() - 1
                });
                if !reasons[place].1.contains(&stated.name.as_str()) {
                    reasons[place].1.push(&stated.name);
                }
            }
        }
    }
    if reasons.is_empty() {
        return None;
    }
    let told = |(reason, names): &(&str, Vec<&str>)| {
        let names: Vec<String> = names.iter().map(|name| (*name).to_owned()).collect();
        text::wrap(&format!("{}: {reason}", text::list(&names)), "- ", width)
    };
    let lines: Vec<String> = reasons.iter().map(told).collect();
    Some(format!("Without a derivative at some point (the files say where)\n{}", lines.join("\n")))
}
