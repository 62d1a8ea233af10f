//! What pictures mark on curves over frequency: the rhythms of the drives, and what rings.

use super::rows::Row;
use crate::text;
use quantity::Dimension;
use study::result::{Band, Responses};

/// A mode that rings less is no peak that anyone would look for: it lifts a low-pass by less than 1.3 dB.
const RINGS: f64 = 1.0;

/// A rhythm in words: `tracks commutation up to 480 Hz`.
pub(crate) fn band_words(band: &Band) -> String {
    let show = |frequency: f64| text::value(frequency, Dimension::FREQUENCY);
    let name = format!("{} {}", band.drive, band.what.word());
    if band.low == band.high {
        format!("{name} {}", show(band.high))
    } else if band.low == 0.0 {
        format!("{name} up to {}", show(band.high))
    } else {
        format!("{name} {} to {}", show(band.low), show(band.high))
    }
}

/// Frequency and magnitude of what rings in a row's run.
pub(crate) fn ringing(responses: &Responses, index: usize, row: &Row<'_>) -> Vec<(f64, f64)> {
    let run = responses.points.runs.iter().position(|run| std::ptr::eq(run, row.run));
    let Some(run) = run else { return Vec::new() };
    let tops = responses.tops[run].get(index).map_or(&[][..], Vec::as_slice);
    let listed = responses.resonances[run].iter().zip(tops);
    listed.filter(|(resonance, _)| resonance.quality > RINGS).filter_map(|(_, top)| *top).collect()
}
