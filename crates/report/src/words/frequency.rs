//! What is said of resonances.

use crate::responses::level;
use crate::text::value;
use quantity::Dimension;
use study::result::Line;

/// Two frequencies within this factor are near each other.
const NEAR: f64 = 1.5;
/// Above this sharpness nothing damps.
const LOSSLESS: f64 = 1e6;

/// How sharp a resonance is.
pub(crate) fn sharpness(quality: f64) -> String {
    match quality {
        quality if quality > LOSSLESS => "no loss".to_owned(),
        quality if quality < 10.0 => format!("{quality:.1}"),
        quality => format!("{quality:.0}"),
    }
}

/// `tracks commutation 480 Hz: near, within a factor of 1.5`: the rhythm of a drive that is nearest by ratio; nothing where there is none.
pub(crate) fn nearest(lines: &[Line], frequency: f64) -> Option<String> {
    let distance = |at: f64| level(at / frequency).abs();
    let line = lines.iter().min_by(|a, b| distance(a.frequency).total_cmp(&distance(b.frequency)))?;
    let ratio = line.frequency / frequency;
    let place =
        if (1.0 / NEAR..=NEAR).contains(&ratio) { "near, within a factor of 1.5" } else { "not near" };
    let at = value(line.frequency, Dimension::FREQUENCY);
    Some(format!("{} {} {at}: {place}", line.drive, line.what.word()))
}
