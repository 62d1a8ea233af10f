//! Rejection of supply ripple that falls with frequency.

use crate::mistake::{Checks, with_unit};
use crate::range::Ranges;
use std::f64::consts::TAU;

/// How much of the supply's ripple gets through: `r0 (1 + s/w)/(1 + r0 s/w)`, w = 2 pi corner.
///
/// A loop of finite bandwidth holds its output against the supply: the share r0 that gets through rises by 20 dB a decade above the
/// corner, until all gets through. Written as `1 - (1 - r0)/(1 + r0 s/w)` it is the supply less what a single-pole low-pass of the
/// corner frequency over r0 sees of it, so that one state makes it, in time as over frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rejection {
    /// Share r0 of slow ripple that gets through, above 0, up to 1.
    pub ripple_ratio: f64,
    /// Corner frequency in hertz; `None` where the share is the same at every frequency.
    pub corner: Option<f64>,
}

impl Rejection {
    /// From decibels, 20 log10 of a ratio of amplitudes.
    #[must_use]
    pub fn new(decibel: f64, corner: Option<f64>) -> Self {
        Self { ripple_ratio: 10f64.powf(-decibel / 20.0), corner }
    }

    /// Time constant in seconds of the low-pass that the loop is.
    #[must_use]
    pub fn time_constant(&self) -> Option<f64> {
        self.corner.map(|corner| self.ripple_ratio / (TAU * corner))
    }

    /// What is said of it where the corner is known.
    pub(crate) fn in_words(&self) -> Option<String> {
        let corner = self.corner?;
        let least = with_unit(corner / self.ripple_ratio, "Hz");
        Some(format!(
            "the rejection falls by 20 dB a decade above {}, to nothing beyond {least}",
            with_unit(corner, "Hz")
        ))
    }
}

/// Greatest rejection in decibel that a model with ideal wiring can promise.
const MOST_DECIBELS: f64 = 120.0;

/// Checks a rejection in decibel and its corner in hertz.
pub(crate) fn check(rejection: Option<f64>, corner: Option<f64>, checks: &mut Checks) {
    checks.not_negative("rejection", rejection);
    checks.positive("rejection_corner", corner);
}

/// Remarks on a rejection outside the model's range.
pub(crate) fn judge(rejection: Option<f64>, ranges: &mut Ranges) {
    let why = "what the wiring couples around the circuit is then greater";
    ranges.at_most("rejection", rejection, MOST_DECIBELS, "dB", why);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_low_pass_makes_the_corner() {
        // |1 - (1 - r0)/(1 + j f tau 2 pi)| at the corner is r0 sqrt(2) but for r0^2, and at 10 times it r0 sqrt(101).
        let rejection = Rejection::new(60.0, Some(10e3));
        assert!((rejection.ripple_ratio - 1e-3).abs() < 1e-15);
        let through = |frequency: f64| {
            let x = TAU * frequency * rejection.time_constant().unwrap();
            let (re, im) = (1.0 / (1.0 + x * x), -x / (1.0 + x * x));
            let kept = 1.0 - rejection.ripple_ratio;
            (1.0 - kept * re).hypot(kept * im)
        };
        assert!((through(10e3) / (1e-3 * 2f64.sqrt()) - 1.0).abs() < 1e-5);
        assert!((through(100e3) / (1e-3 * 101f64.sqrt()) - 1.0).abs() < 1e-4);
        assert!((through(1e12) - 1.0).abs() < 1e-6);
    }
}
