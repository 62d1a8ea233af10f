//! What the charts of the page draw, packed into its text: every option under every condition.
//!
//! A waveform keeps the least and greatest value of each stretch of time, and is packed as pairs of 16 bits (time and value, as
//! fractions of the ranges beside them): 15 millionths of the swing, finer than any screen.

mod over_frequency;

pub(super) use over_frequency::name as response_name;

use super::Subject;
use crate::options::{condition_label, picks};
use crate::svg::{Bound, Waveforms, limits, thin};
use crate::theme::{COLOURS, DASHES};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use language::description::Start;
use quantity::unit_symbol;
use serde_json::{Value, json};
use study::result::{Comparison, Run};

/// Bytes that all waveforms of a page may take.
const BYTES: usize = 450_000;
/// A point takes 4 bytes, a third more in letters; a stretch keeps at most 4 points.
const BYTES_PER_STRETCH: usize = 4 * 4 * 4 / 3;
/// A virtual screen on which points are dropped that nobody could see, in pixels; zoomed in they would show.
const SCREEN: (f64, f64) = (8000.0, 4000.0);

/// The charts of a page.
pub(super) struct Curves {
    pub(super) charts: Vec<Chart>,
}

/// A chart with its controls.
pub(super) struct Chart {
    /// A name of its own among the charts: `rail`, `response_path`.
    pub(super) name: String,
    /// What it shows, for those who cannot see it.
    pub(super) description: String,
    /// Whether it is drawn over frequency.
    pub(super) over_frequency: bool,
    /// Whether it shows what height a curve may have.
    pub(super) height_limited: bool,
    /// The unit of its values; empty for a ratio.
    pub(super) unit: String,
    /// The names of the curves.
    pub(super) series: Vec<String>,
    /// The conditions to choose among.
    pub(super) conditions: Vec<String>,
    /// The one that is chosen at first.
    pub(super) first: usize,
    data: Value,
}

impl Curves {
    pub(super) fn new(subject: &Subject<'_>) -> Self {
        let comparison = subject.comparison;
        let traces = 2 * comparison.runs.len() * comparison.testpoints.len();
        let bins = (BYTES / (BYTES_PER_STRETCH * traces.max(1))).clamp(24, 600);
        let waveforms = (0..comparison.testpoints.len()).filter_map(|at| waveform(comparison, at, bins));
        let responses = subject.responses.into_iter().flat_map(|responses| {
            (0..responses.responses.len()).filter_map(|at| over_frequency::chart(responses, at))
        });
        Self { charts: waveforms.chain(responses).collect() }
    }

    /// The data of all charts; `<` is written as an escape, lest it end the script that it stands in.
    pub(super) fn json(&self) -> String {
        let all: Vec<&Value> = self.charts.iter().map(|chart| &chart.data).collect();
        json!(all).to_string().replace('<', "\\u003c")
    }

    /// Its number and itself.
    pub(super) fn chart(&self, name: &str) -> Option<(usize, &Chart)> {
        self.charts.iter().enumerate().find(|(_, chart)| chart.name == name)
    }
}

/// The colour's name and the dashes of each curve: the baseline's, then in turn.
pub(super) fn styles(baselines: &[bool]) -> Vec<(String, &'static [u8])> {
    let mut others = 0;
    let style = |baseline: &bool| {
        if *baseline {
            return ("k".to_owned(), DASHES[0]);
        }
        others += 1;
        let at = (others - 1) % COLOURS;
        (format!("c{at}"), DASHES[at + 1])
    };
    baselines.iter().map(style).collect()
}

fn series(names: &[String], baselines: &[bool]) -> Value {
    let one = |(name, (colour, dash)): (&String, (String, &[u8]))| json!({"name": name, "colour": colour, "dash": dash});
    names.iter().zip(styles(baselines)).map(one).collect()
}

fn waveform(comparison: &Comparison, at: usize, bins: usize) -> Option<Chart> {
    let info = &comparison.testpoints[at];
    let picks = picks(comparison);
    let names: Vec<String> = picks.iter().map(|pick| pick.label.clone()).collect();
    let baselines: Vec<bool> = picks.iter().map(|pick| pick.baseline).collect();
    let from_rest = comparison.start == Some(Start::Rest);
    // The condition that is shown first is the baseline's worst, as in the still picture.
    let longest = picks.iter().max_by_key(|pick| (pick.runs.len(), pick.baseline))?;
    let conditions: Vec<String> = longest.runs.iter().map(|run| condition_label(comparison, run)).collect();
    let seen = |run: &Run| Waveforms::new(run.testpoints.get(at)?.as_ref()?, from_rest);
    let traces: Vec<Vec<Value>> = conditions
        .iter()
        .map(|condition| {
            let of_pick = |pick: &crate::options::Pick<'_>| {
                let run = pick.runs.iter().find(|run| condition_label(comparison, run) == *condition)?;
                Some(trace(&seen(run)?, bins))
            };
            picks.iter().map(|pick| of_pick(pick).unwrap_or(Value::Null)).collect()
        })
        .collect();
    if traces.iter().flatten().all(Value::is_null) {
        return None;
    }
    let swing = |run: &&Run| seen(run).map_or(0.0, |seen| seen.peak_to_peak());
    let worst = longest.runs.iter().max_by(|a, b| swing(a).total_cmp(&swing(b)));
    let first =
        worst.and_then(|run| conditions.iter().position(|one| *one == condition_label(comparison, run)));
    let limits = limits(comparison, &info.name, from_rest);
    let height_limited = limits.iter().any(|limit| matches!(limit.bound, Bound::Height(_)));
    let limits: Vec<Value> = limits
        .iter()
        .map(|limit| {
            let (low, high) = match limit.bound {
                // The curves lie about their means, as in the still picture; it is the band's height that counts.
                Bound::Height(height) => (Some(-0.5 * height), Some(0.5 * height)),
                Bound::Least(least) => (Some(least), None),
                Bound::Greatest(greatest) => (None, Some(greatest)),
            };
            json!({"text": limit.text, "low": low, "high": high})
        })
        .collect();
    let unit = unit_symbol(info.dimension);
    Some(Chart {
        name: info.name.clone(),
        description: format!(
            "{} over time, a curve for each option. The figures are in the table of every option under every condition.",
            info.signal
        ),
        over_frequency: false,
        height_limited,
        series: names.clone(),
        unit: unit.clone(),
        first: first.unwrap_or(0),
        data: json!({
            "kind": "time",
            "unit": unit,
            "series": series(&names, &baselines),
            "limits": limits,
            "curves": traces,
        }),
        conditions,
    })
}

/// Overview and detail, each packed, about the same mean as in the still picture.
fn trace(seen: &Waveforms, bins: usize) -> Value {
    json!({"overview": packed(&seen.overview, bins), "detail": packed(&seen.detail, bins)})
}

/// Points as fractions of their ranges.
fn packed(points: &[(f64, f64)], bins: usize) -> Value {
    let range = |of: fn(&(f64, f64)) -> f64| {
        let values = points.iter().map(of);
        let (low, high) = values
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
        if low <= high { (low, high) } else { (0.0, 0.0) }
    };
    let (times, values) = (range(|point| point.0), range(|point| point.1));
    let share =
        |value: f64, (low, high): (f64, f64)| if high > low { (value - low) / (high - low) } else { 0.0 };
    let placed: Vec<(f64, f64)> = points
        .iter()
        .map(|(time, value)| (SCREEN.0 * share(*time, times), SCREEN.1 * share(*value, values)))
        .collect();
    let word = |value: f64| (value * f64::from(u16::MAX)).round().clamp(0.0, f64::from(u16::MAX)) as u16;
    let bytes: Vec<u8> = thin(&placed, bins)
        .iter()
        .flat_map(|(x, y)| [word(x / SCREEN.0), word(y / SCREEN.1)])
        .flat_map(u16::to_le_bytes)
        .collect();
    json!({"time": [times.0, times.1], "value": [values.0, values.1], "points": STANDARD.encode(bytes)})
}
