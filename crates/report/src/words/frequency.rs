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

/// Below this sharpness nothing rings: the peak of a low-pass is then less than 1.3 dB.
const RINGS: f64 = 1.0;

/// `tracks commutation 480 Hz: near, within a factor of 1.5`: the rhythm of a drive that is nearest by ratio; nothing where there is none.
pub(crate) fn nearest(lines: &[Line], frequency: f64, quality: f64) -> Option<String> {
    let distance = |at: f64| level(at / frequency).abs();
    let line = lines.iter().min_by(|a, b| distance(a.frequency).total_cmp(&distance(b.frequency)))?;
    let ratio = line.frequency / frequency;
    let place = match (1.0 / NEAR..=NEAR).contains(&ratio) {
        true if quality <= RINGS => "near, but too well damped to matter",
        true => "near, within a factor of 1.5",
        false => "not near",
    };
    let at = value(line.frequency, Dimension::FREQUENCY);
    Some(format!("{} {} {at}: {place}", line.drive, line.what.word()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use study::result::Rhythm;

    #[test]
    fn what_is_damped_is_not_marked() {
        let lines = [Line { drive: "tracks".to_owned(), what: Rhythm::Commutation, frequency: 480.0 }];
        let told = |frequency, quality| nearest(&lines, frequency, quality).expect("a line");
        assert!(told(485.0, 3.1).ends_with("near, within a factor of 1.5"));
        assert!(told(485.0, 0.7).ends_with("too well damped to matter"));
        assert!(told(5000.0, 0.7).ends_with("not near"));
    }
}
