//! Every derivative as JSON.

use super::{change, relative};
use crate::json::{at_value, axis_value, number};
use crate::measure;
use serde_json::{Map, Value, json};
use study::influence::Influence;
use study::result::Comparison;
use study::sensitivity::{Differentiated, Point, Sensitivities, Slope, Stated};

/// The text, indented: for each point its values, and for each reading what each value does to it. `slope` is the derivative in SI
/// units, `change` what a `little` more of the value does (1 % of it, or 1 K of a temperature), `relative` the same as a fraction of
/// the reading. What has no derivative is `null`, with a `reason`. `measure` is what to measure next.
#[must_use]
pub fn json(found: &Sensitivities, comparison: &Comparison, influences: &[Influence]) -> String {
    let value = json!({
        "schema": 1,
        "harness": found.harness,
        "axes": found.axes.iter().map(axis_value).collect::<Vec<_>>(),
        "measure": measure::value(comparison, influences),
        "points": found.points.iter().map(|one| point(found, one)).collect::<Vec<_>>(),
    });
    format!("{value:#}\n")
}

fn point(found: &Sensitivities, point: &Point) -> Value {
    let values: Map<String, Value> = point.values.iter().map(|one| (one.name.clone(), stated(one))).collect();
    let readings: Vec<Value> = point.readings.iter().map(|one| reading(&point.values, one)).collect();
    json!({"at": at_value(&found.axes, &point.at), "values": values, "readings": readings, "error": point.error})
}

fn stated(stated: &Stated) -> Value {
    json!({
        "value": number(Some(stated.value.value)),
        "unit": quantity::unit_symbol(stated.value.dimension),
        "little": number(Some(stated.little())),
    })
}

fn reading(values: &[Stated], reading: &Differentiated) -> Value {
    let by = values.iter().zip(&reading.slopes).map(|(stated, slope)| {
        let change = change(stated, slope);
        let reason = match slope {
            Slope::Known(_) => None,
            Slope::Unknown(reason) => Some(reason),
        };
        let by = json!({
            "slope": number(slope.known()),
            "change": number(change),
            "relative": number(change.and_then(|change| relative(reading, change))),
            "reason": reason,
        });
        (stated.name.clone(), by)
    });
    json!({
        "name": reading.name,
        "value": number(reading.value),
        "unit": quantity::unit_symbol(reading.dimension),
        "worst_is": if reading.least_is_worst { "least" } else { "greatest" },
        "reason": reading.excluded,
        "by": by.collect::<Map<_, _>>(),
    })
}
