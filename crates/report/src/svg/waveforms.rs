//! Before and after in time: what a test point sees with each option, the waveform before behind it.
//!
//! Few options have a row each, of three panels: on a scale that all rows share, so that a flat line means a quiet supply; alone
//! on a scale of its own; and over the whole span that readings cover. Many options stand side by side as small pictures on one
//! scale. A run that starts from rest is drawn as it is, from t = 0; any other as its departure from the mean.

mod frame;
mod multiples;
mod page;
mod panel;
mod subject;

use super::Picture;
use super::document::{Ids, Sample};
use super::style::Series;
use frame::Frame;
use study::result::Comparison;
pub(crate) use subject::{Bound, Waveforms, limits};
pub(super) use subject::{Chosen, chosen};
use subject::{Row, Subject};

/// Options that have a row of their own; more become small pictures.
const MOST_ROWS: usize = 8;

/// A picture for each test point that was seen somewhere, in the file's order.
pub(super) fn pictures(comparison: &Comparison) -> Vec<Picture> {
    let subjects = (0..comparison.testpoints.len()).filter_map(|at| subject::subject(comparison, at));
    subjects
        .map(|subject| {
            let ids = Ids::new(&subject.testpoint);
            let many = subject.rows.len() > MOST_ROWS;
            let text = if many { multiples::draw(&subject, &ids) } else { page::draw(&subject, &ids) };
            Picture { file_name: format!("{}.svg", subject.testpoint), text, subject: subject.testpoint }
        })
        .collect()
}

/// A class for each row. Each has panels of its own, so that no dash is needed to tell them apart.
fn own_colours(rows: &[Row]) -> Vec<String> {
    Series::of_each(rows.iter().map(|row| row.baseline)).into_iter().map(Series::colour).collect()
}

/// What curves and shades mean.
fn keys(subject: &Subject, frame: &Frame) -> Vec<(Sample, String)> {
    let mut seen = subject.rows.iter().filter_map(|row| row.seen.as_ref().ok());
    let mut keys = Vec::new();
    if let Some(before) = subject.before.filter(|_| subject.rows.len() > 1) {
        let words = match subject.behind().len() {
            0 | 1 => subject.rows[before].name.clone(),
            _ => "before: its baseline, with the same other choices".to_owned(),
        };
        keys.push((Sample::Curve("before".to_owned()), words));
        keys.push((Sample::Curve("curve c0".to_owned()), "each option (after)".to_owned()));
    }
    if subject.rows.len() <= MOST_ROWS && seen.any(|seen| frame.window(seen).is_some()) {
        keys.push((Sample::Field("window".to_owned()), "magnified stretch".to_owned()));
    }
    if !subject.limits.is_empty() {
        let texts: Vec<&str> = subject.limits.iter().map(|limit| limit.text.as_str()).collect();
        keys.push((Sample::Field("allowed".to_owned()), format!("allowed: {}", texts.join(", "))));
    }
    keys
}
