//! Responses in the JSON of schema 1.

use crate::json::{comparison_value, resonance};
use serde_json::{Map, Value, json};
use study::result::{Amplitude, Curve, InstanceLoss, Responses};

/// The result as text, indented, with a line end at its end. A curve is `null` where it names what is absent, a value where it
/// is not finite.
#[must_use]
pub fn json(responses: &Responses) -> String {
    let mut whole = comparison_value(&responses.points);
    let runs = whole.get_mut("runs").and_then(Value::as_array_mut).into_iter().flatten();
    for (index, (run, curves)) in runs.zip(&responses.curves).enumerate() {
        let named = responses.responses.iter().zip(curves);
        let curves: Map<String, Value> = named
            .map(|(info, curve)| {
                let unit = quantity::unit_symbol(info.dimension);
                (info.name.clone(), curve.as_ref().map_or(Value::Null, |curve| of_curve(curve, &unit)))
            })
            .collect();
        if let Some(run) = run.as_object_mut() {
            // Nothing ran in time.
            run.shift_remove("work");
            let before = run.keys().position(|key| key == "warnings").unwrap_or(run.len());
            run.shift_insert(before, "responses".to_owned(), Value::Object(curves));
            let resonances = responses.resonances.get(index).into_iter().flatten();
            run.insert("resonances".to_owned(), resonances.map(resonance).collect());
            let losses = responses.losses.get(index).into_iter().flatten();
            run.insert("insertion_losses".to_owned(), losses.map(loss).collect());
        }
    }
    if let Some(whole) = whole.as_object_mut() {
        whole.shift_remove("work");
    }
    format!("{whole:#}\n")
}

/// The loss of a fitted assembly between two resistances, in dB, at whole powers of ten.
fn loss(loss: &InstanceLoss) -> Value {
    let (frequencies, ratios): (Vec<f64>, Vec<Option<f64>>) = loss.decades.iter().copied().unzip();
    let decibels = ratios.into_iter().map(|ratio| ratio.map(|ratio| 20.0 * ratio.log10()));
    json!({
        "instance": loss.instance,
        "source": loss.source,
        "load": loss.load,
        "unit": "dB",
        "frequency": frequencies,
        "value": decibels.map(|value| value.filter(|value| value.is_finite())).collect::<Vec<_>>(),
    })
}

fn of_curve(curve: &Curve, unit: &str) -> Value {
    let side = |side: fn(Amplitude) -> f64| -> Vec<Option<f64>> {
        curve.values.iter().map(|value| value.map(side)).collect()
    };
    json!({
        "unit": unit,
        "frequency": curve.frequencies,
        "re": side(|value| value.re),
        "im": side(|value| value.im),
    })
}
