//! Where a reading is worst, as text and as JSON.

use crate::json::{number, point_value};
use crate::options::AS_DRAWN;
use crate::table::WIDTH;
use crate::text;
use language::description::{Axis, AxisKind};
use quantity::{Dimension, Quantity};
use serde_json::{Map, Value, json};
use study::worst::Worst;

/// Digits of a value between points: a tenth of a percentage point shows.
const DIGITS: usize = 4;

/// A line or two for each option, the worst of all first.
#[must_use]
pub fn table(title: &str, reading: (&str, Dimension), least: bool, axes: &[Axis], found: &[Worst]) -> String {
    let (name, dimension) = reading;
    let sign = if least { -1.0 } else { 1.0 };
    let word = if least { "least" } else { "greatest" };
    let mut lines = vec![format!("{title}: where {name} is {word}")];
    let mut order: Vec<&Worst> = found.iter().collect();
    order.sort_by(|one, other| {
        let height = |worst: &Worst| worst.value.map_or(f64::NEG_INFINITY, |value| sign * value);
        height(other).total_cmp(&height(one))
    });
    for worst in order {
        let label = label(axes, worst);
        let Some(value) = worst.value else {
            lines.push(text::wrap(&format!("{label}: no value at any point"), "  - ", WIDTH));
            continue;
        };
        let place = place(axes, worst);
        let place = if place.is_empty() { String::new() } else { format!(" at {place}") };
        let mut line = format!("{label}: {}{place}", text::value(value, dimension));
        if let Some((_, of_points)) = worst.of_points.as_ref().filter(|(_, of_points)| *of_points != value) {
            line += &format!("; of the points alone {}", text::value(*of_points, dimension));
        }
        if worst.without > 0 {
            line += &format!("; {} points have no value", worst.without);
        }
        lines.push(text::wrap(&line, "  - ", WIDTH));
    }
    let runs: usize = found.iter().map(|worst| worst.runs).sum();
    lines.push(format!("{runs} runs"));
    format!("{}\n", lines.join("\n"))
}

/// The options of a worst case.
fn label(axes: &[Axis], worst: &Worst) -> String {
    let choices = axes.iter().zip(&worst.at).filter(|(axis, _)| axis.kind == AxisKind::Choice);
    let names: Vec<&str> = choices.map(|(axis, index)| axis.points[*index].as_str()).collect();
    if names.is_empty() { AS_DRAWN.to_owned() } else { names.join(" + ") }
}

fn place(axes: &[Axis], worst: &Worst) -> String {
    let conditions = axes.iter().enumerate().filter(|(_, axis)| axis.kind != AxisKind::Choice);
    let words = conditions.map(|(index, axis)| match (axis.kind, worst.swept[index]) {
        (_, Some(value)) => {
            let dimension = axis.values.first().map_or(Dimension::NONE, |value| value.dimension);
            format!("{} {}", axis.name, quantity::engineering(Quantity { value, dimension }, DIGITS))
        }
        (AxisKind::Sweep, None) => format!("{} {}", axis.name, axis.points[worst.at[index]]),
        (_, None) => axis.points[worst.at[index]].clone(),
    });
    words.collect::<Vec<_>>().join(", ")
}

/// The same as JSON: for each option the value, where it is (of a sweep between its points the value found), and the worst of the
/// points alone.
#[must_use]
pub fn json(title: &str, reading: (&str, Dimension), least: bool, axes: &[Axis], found: &[Worst]) -> String {
    let unit = quantity::unit_symbol(reading.1);
    let of = |worst: &Worst| {
        let at = axes.iter().enumerate().map(|(index, axis)| {
            let value = match worst.swept[index] {
                Some(value) => {
                    let unit = axis
                        .values
                        .first()
                        .map_or_else(String::new, |known| quantity::unit_symbol(known.dimension).to_string());
                    json!({"value": number(Some(value)), "unit": unit})
                }
                None => point_value(axis, worst.at[index]),
            };
            (axis.name.clone(), value)
        });
        let points = worst.of_points.as_ref().map(|(at, value)| {
            let at: Map<String, Value> = axes
                .iter()
                .zip(at)
                .map(|(axis, index)| (axis.name.clone(), point_value(axis, *index)))
                .collect();
            json!({"value": number(Some(*value)), "unit": unit, "at": at})
        });
        json!({
            "value": number(worst.value),
            "unit": unit,
            "at": at.collect::<Map<_, _>>(),
            "of_points": points,
            "points_without_value": worst.without,
            "runs": worst.runs,
        })
    };
    let value = json!({
        "schema": 1,
        "harness": title,
        "reading": reading.0,
        "worst_is": if least { "least" } else { "greatest" },
        "cases": found.iter().map(of).collect::<Vec<_>>(),
    });
    format!("{value:#}\n")
}
