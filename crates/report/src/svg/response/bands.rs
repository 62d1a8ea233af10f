//! The drives' rhythms over a field: a line where a rhythm stands still, a shade where it runs with the throttle.

use crate::responses::band_words;
use crate::svg::canvas::{Anchor, Canvas};
use crate::svg::field::Place;
use crate::svg::style::TICK;
use crate::text;
use study::result::Band;

/// Height of a row of labels over the field.
const ROW: f64 = 21.0;

/// A rhythm with its place.
pub(super) struct Laid {
    /// Left edge of the shade; nothing where the rhythm stands still.
    from: Option<f64>,
    /// The line at its highest frequency; nothing where that lies beyond the field.
    to: Option<f64>,
    /// `tracks commutation up to 480 Hz`.
    pub(super) words: String,
    /// Middle of the words, and their row from below.
    middle: f64,
    row: usize,
}

/// The rhythms that lie in the field, whose frequencies `reach` go from the left to the right edge `ends`; each with a row for
/// its words where they do not run into another's.
pub(super) fn layout(bands: &[Band], reach: (f64, f64), ends: (f64, f64)) -> Vec<Laid> {
    let place = |frequency: f64| {
        let share = (frequency / reach.0).log10() / (reach.1 / reach.0).log10();
        ends.0 + share.clamp(0.0, 1.0) * (ends.1 - ends.0)
    };
    let mut filled: Vec<f64> = Vec::new();
    let mut laid = Vec::new();
    for band in bands.iter().filter(|band| band.high >= reach.0 && band.low <= reach.1) {
        let words = text::with_micro(&band_words(band));
        let (x, width) = (place(band.high), TICK.width(&words));
        let from = (x - 0.5 * width).min(ends.1 - width).max(ends.0);
        let row = filled.iter().position(|end| *end + 12.0 <= from).unwrap_or(filled.len());
        if row == filled.len() {
            filled.push(0.0);
        }
        filled[row] = from + width;
        laid.push(Laid {
            from: (band.low < band.high).then(|| place(band.low)),
            to: (band.high <= reach.1).then_some(x),
            words,
            middle: from + 0.5 * width,
            row,
        });
    }
    laid
}

/// Room over the field for the words.
pub(super) fn height(bands: &[Laid]) -> f64 {
    ROW * bands.iter().map(|band| band.row + 1).max().unwrap_or(0) as f64
}

pub(super) fn draw(canvas: &mut Canvas, bands: &[Laid], place: Place) {
    for band in bands {
        if let Some(from) = band.from {
            let to = band.to.unwrap_or(place.right());
            canvas.rectangle((from, place.y), ((to - from).max(2.0), place.height), "band");
        }
        let baseline = place.y - 6.0 - ROW * band.row as f64;
        if let Some(x) = band.to {
            canvas.line((x, baseline + 4.0), (x, place.bottom()), "limit");
        }
        canvas.text(band.middle, baseline, Anchor::Middle, TICK.class, &band.words);
    }
}
