//! The charts of responses: magnitudes of every option under every condition, with what the drives repeat and what rings.

use super::{Chart, series};
use crate::responses::{band_words, ringing, rows};
use crate::text::with_micro;
use quantity::unit_symbol;
use serde_json::{Value, json};
use study::result::Responses;

/// Name of the chart of a response.
pub(crate) fn name(name: &str) -> String {
    format!("response_{name}")
}

/// The chart of the response with this index; nothing where no point has its curve.
pub(super) fn chart(responses: &Responses, at: usize) -> Option<Chart> {
    let info = &responses.responses[at];
    let (rows, _) = rows(responses, at);
    let mut names: Vec<String> = Vec::new();
    let mut baselines: Vec<bool> = Vec::new();
    let mut conditions: Vec<String> = Vec::new();
    for row in &rows {
        if !names.contains(&row.option) {
            names.push(row.option.clone());
            baselines.push(row.baseline);
        }
        if !conditions.contains(&row.condition) {
            conditions.push(row.condition.clone());
        }
    }
    let frequencies = &rows.iter().find_map(|row| row.curve)?.frequencies;
    let magnitudes = |condition: &String, option: &String| {
        let row = rows.iter().find(|row| row.condition == *condition && row.option == *option)?;
        let values = row.curve?.values.iter().map(|value| value.map(|value| short(value.magnitude())));
        Some(json!(values.collect::<Vec<_>>()))
    };
    let curves: Vec<Vec<Value>> = conditions
        .iter()
        .map(|condition| {
            names.iter().map(|option| magnitudes(condition, option).unwrap_or(Value::Null)).collect()
        })
        .collect();
    let unit = if info.dimension.is_none() { String::new() } else { unit_symbol(info.dimension) };
    // Frequency and magnitude of what rings, as the still picture marks it.
    let tops = |condition: &String, option: &String| -> Vec<[f64; 2]> {
        let row = rows.iter().find(|row| row.condition == *condition && row.option == *option);
        let found = row.map_or_else(Vec::new, |row| ringing(responses, at, row));
        found.into_iter().map(|(frequency, magnitude)| [short(frequency), short(magnitude)]).collect()
    };
    let tops: Vec<Vec<Vec<[f64; 2]>>> = conditions
        .iter()
        .map(|condition| names.iter().map(|option| tops(condition, option)).collect())
        .collect();
    let bands: Vec<Value> = responses
        .bands
        .iter()
        .map(|band| {
            let words = with_micro(&band_words(band));
            json!({"text": words, "low": short(band.low), "high": short(band.high)})
        })
        .collect();
    Some(Chart {
        name: name(&info.name),
        description: format!("Magnitude of {} over frequency, a curve for each option.", info.words),
        over_frequency: true,
        height_limited: false,
        series: names.clone(),
        unit: unit.clone(),
        first: 0,
        data: json!({
            "kind": "frequency",
            "unit": unit,
            "series": series(&names, &baselines),
            "bands": bands,
            "tops": tops,
            "frequency": frequencies.iter().map(|frequency| short(*frequency)).collect::<Vec<_>>(),
            "curves": curves,
        }),
        conditions,
    })
}

/// With five digits: 0.0001 dB of what they are shown as.
fn short(value: f64) -> f64 {
    format!("{value:.4e}").parse().unwrap_or(value)
}
