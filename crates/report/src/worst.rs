//! Where a reading is worst, as text and as JSON.

use crate::json::{at_value, number, point_value};
use crate::options::AS_DRAWN;
use crate::table::Style;
use crate::text;
use language::description::{Axis, AxisKind};
use quantity::{Dimension, Quantity};
use serde_json::{Map, Value, json};
use study::worst::Worst;

/// Digits of a value between points: a tenth of a percentage point shows.
const DIGITS: usize = 4;

/// What a search found, with what it was asked.
#[derive(Clone, Copy, Debug)]
pub struct Answer<'a> {
    /// Title of the harness.
    pub harness: &'a str,
    /// Name and dimension of the reading.
    pub reading: (&'a str, Dimension),
    /// Whether the least value is the worst.
    pub least: bool,
    /// The study's axes.
    pub axes: &'a [Axis],
    /// A worst case for each option.
    pub found: &'a [Worst],
}

impl Answer<'_> {
    /// A line or two for each option, the worst of all first.
    #[must_use]
    pub fn text(&self, style: Style) -> String {
        let (name, dimension) = self.reading;
        let sign = if self.least { -1.0 } else { 1.0 };
        let heading = format!("{}: where {name} is {}", self.harness, self.end());
        let mut lines = vec![text::wrap(&heading, "", style.prose())];
        let mut order: Vec<&Worst> = self.found.iter().collect();
        order.sort_by(|one, other| {
            let height = |worst: &Worst| worst.value.map_or(f64::NEG_INFINITY, |value| sign * value);
            height(other).total_cmp(&height(one))
        });
        let line = |worst: &Worst| text::wrap(&line(self.axes, dimension, worst), "  - ", style.prose());
        lines.extend(order.into_iter().map(line));
        lines.push(text::count(self.found.iter().map(|worst| worst.runs).sum(), "run"));
        format!("{}\n", lines.join("\n"))
    }

    fn end(&self) -> &'static str {
        if self.least { "least" } else { "greatest" }
    }

    /// The same as JSON: for each option the value, where it is (of a sweep between its points the value found), and the worst of the
    /// points alone.
    #[must_use]
    pub fn json(&self) -> String {
        let unit = quantity::unit_symbol(self.reading.1);
        let value = json!({
            "schema": 1,
            "harness": self.harness,
            "reading": self.reading.0,
            "worst_is": self.end(),
            "cases": self.found.iter().map(|worst| case(self.axes, &unit, worst)).collect::<Vec<_>>(),
        });
        format!("{value:#}\n")
    }
}

fn line(axes: &[Axis], dimension: Dimension, worst: &Worst) -> String {
    let label = label(axes, worst);
    let Some(value) = worst.value else { return format!("{label}: no value at any point") };
    let place = place(axes, worst);
    let place = if place.is_empty() { String::new() } else { format!(" at {place}") };
    let mut line = format!("{label}: {}{place}", text::value(value, dimension));
    if let Some((_, of_points)) = worst.of_points.as_ref().filter(|(_, of_points)| *of_points != value) {
        line += &format!("; of the points alone {}", text::value(*of_points, dimension));
    }
    if worst.without > 0 {
        let verb = if worst.without == 1 { "has" } else { "have" };
        line += &format!("; {} {verb} no value", text::count(worst.without, "point"));
    }
    line
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

fn case(axes: &[Axis], unit: &str, worst: &Worst) -> Value {
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
    let points = worst
        .of_points
        .as_ref()
        .map(|(at, value)| json!({"value": number(Some(*value)), "unit": unit, "at": at_value(axes, at)}));
    json!({
        "value": number(worst.value),
        "unit": unit,
        "at": at.collect::<Map<_, _>>(),
        "of_points": points,
        "points_without_value": worst.without,
        "runs": worst.runs,
    })
}
