//! From a pattern that somebody counted in a picture to the rhythms of the harness that would make it.

use super::pattern::Pattern;
use super::rhythms::{SourceLine, rhythms};
use crate::options::{Options, OptionsError};
use language::Description;
use parts::video::Video;

/// Harmonics of each rhythm that are looked at; a pulse's tenth is a tenth of its first at best.
const MOST_HARMONICS: u32 = 20;
/// What video carries at most in hertz (ITU-R BT.1700: 5 MHz to 6 MHz with 625 lines, 4.2 MHz with 525).
const MOST_FREQUENCY: f64 = 5e6;
/// By how much a count may be off, either way.
const MISCOUNT: f64 = 0.5;

/// What was counted in a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Counted {
    /// Dark bands from the top of the picture to its bottom, along one edge.
    pub bands: f64,
    /// Stripes along a line from the left edge to the right, which is how many spacings a band climbs or falls over the width; `None`
    /// where nothing was said.
    pub slant: Option<f64>,
    /// The system of video.
    pub video: Video,
    /// How far the file's frequencies may be off, as a fraction.
    pub within: f64,
}

/// A harmonic of a rhythm, and what it shows as.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// The rhythm.
    pub line: SourceLine,
    /// Its harmonic, 1 being the rhythm itself.
    pub harmonic: u32,
    /// The pattern at the frequency of the file.
    pub pattern: Pattern,
    /// Whether it would be as it was counted.
    pub fit: Fit,
}

/// Whether a frequency gives what was counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fit {
    /// It does, if it is off from the file's by this fraction.
    Off(f64),
    /// Not by as much as it may be off.
    No,
    /// What it may be off by is as much as lies between the patterns of any two counts: it would fit whatever was counted, which tells
    /// nothing.
    Any,
}

/// Every harmonic of every rhythm over the points that the options leave: those that fit what was counted first, the best first, then those
/// that don't by how near their count is.
///
/// # Errors
/// An option that names an axis or a point that the harness does not have; too many points.
pub fn candidates(
    description: &Description,
    options: &Options,
    counted: &Counted,
) -> Result<Vec<Candidate>, OptionsError> {
    let mut found: Vec<Candidate> = Vec::new();
    for line in rhythms(description, options)? {
        for harmonic in 1..=MOST_HARMONICS {
            let frequency = line.frequency * f64::from(harmonic);
            if frequency > MOST_FREQUENCY {
                break;
            }
            let pattern = Pattern::of(counted.video, frequency);
            found.push(Candidate { fit: counted.fit(frequency), line: line.clone(), harmonic, pattern });
        }
    }
    let rank = |candidate: &Candidate| match candidate.fit {
        Fit::Off(off) => (0, off),
        Fit::No => (1, (candidate.pattern.visible_bands() - counted.bands).abs()),
        Fit::Any => (2, 0.0),
    };
    found.sort_by(|one, other| {
        let (first, second) = (rank(one), rank(other));
        // Of two that fit alike the lower harmonic is the stronger one, as a rule.
        first.0.cmp(&second.0).then(first.1.total_cmp(&second.1)).then(one.harmonic.cmp(&other.harmonic))
    });
    Ok(found)
}

impl Counted {
    /// The frequencies in hertz of level bands that give this count: the least, the nominal and the greatest.
    #[must_use]
    pub fn frequencies(&self) -> [f64; 3] {
        let visible = self.video.active_lines() / self.video.line_rate();
        [self.bands - MISCOUNT, self.bands, self.bands + MISCOUNT].map(|bands| bands.max(0.0) / visible)
    }

    fn fit(&self, frequency: f64) -> Fit {
        // Residuals lie within half a line rate: a reach of that much takes in all of them.
        if 2.0 * self.within * frequency > 0.5 * self.video.line_rate() {
            return Fit::Any;
        }
        self.off(frequency).map_or(Fit::No, Fit::Off)
    }

    /// By what fraction a frequency must be off to give what was counted.
    fn off(&self, frequency: f64) -> Option<f64> {
        let [least, _, greatest] = self.frequencies();
        let rate = self.video.line_rate();
        let (low, high) = (frequency * (1.0 - self.within), frequency * (1.0 + self.within));
        let active = 1.0 / rate - self.video.blanking();
        let slanted = self
            .slant
            .map_or((0.0, f64::INFINITY), |slant| ((slant - MISCOUNT) / active, (slant + MISCOUNT) / active));
        let (low, high) = (low.max(slanted.0), high.min(slanted.1));
        // Lines of cycles that lie near enough; a residual is at most half a line rate.
        let first = (low / rate - 0.5).floor().max(0.0) as u32;
        let last = (high / rate + 0.5).ceil() as u32;
        let places = (first..=last).flat_map(|cycles| {
            let line = f64::from(cycles) * rate;
            [(line - greatest, line - least), (line + least, line + greatest)]
        });
        places
            .filter_map(|(from, to)| {
                let (from, to) = (from.max(low), to.min(high));
                (from <= to).then(|| (frequency.clamp(from, to) / frequency - 1.0).abs())
            })
            .min_by(f64::total_cmp)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counted(bands: f64, slant: Option<f64>) -> Counted {
        Counted { bands, slant, video: Video::Pal, within: 0.05 }
    }

    /// By hand: 7 bands in 287.5 lines of 64 us, 18.4 ms, are 380.4 Hz; half a band is 27.2 Hz.
    #[test]
    fn a_count_is_a_frequency() {
        for (found, expected) in counted(7.0, None).frequencies().iter().zip([353.26, 380.43, 407.61]) {
            assert!((found - expected).abs() < 0.01, "{found}");
        }
        assert_eq!(counted(7.0, None).off(380.0), Some(0.0));
        // 346 Hz need 2.1 % more to reach the least.
        let off = counted(7.0, None).off(346.0).unwrap();
        assert!((off - (353.26 / 346.0 - 1.0)).abs() < 1e-4, "{off}");
        assert_eq!(counted(7.0, None).off(320.0), None);
    }

    /// 5 % of 78.125 kHz either way are half a line rate of 15.625 kHz.
    #[test]
    fn what_fits_any_count_tells_nothing() {
        assert_eq!(counted(7.0, None).fit(79e3), Fit::Any);
        assert_ne!(counted(7.0, None).fit(78e3), Fit::Any);
        assert_eq!(counted(7.0, None).fit(320.0), Fit::No);
    }

    /// 15.625 kHz and 380 Hz show seven bands too, but with 0.83 stripes along the line; 31.25 kHz less 380 Hz with 1.6.
    #[test]
    fn aliases_are_told_by_their_slant() {
        assert_eq!(counted(7.0, None).off(16_005.0), Some(0.0));
        assert_eq!(counted(7.0, Some(0.0)).off(16_005.0), None);
        assert_eq!(counted(7.0, Some(1.0)).off(16_005.0), Some(0.0));
        assert_eq!(counted(7.0, Some(1.6)).off(30_870.0), Some(0.0));
        assert_eq!(counted(7.0, Some(0.0)).off(380.0), Some(0.0));
    }
}
