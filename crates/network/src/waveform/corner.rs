//! Corners of waveforms: which are behind and which ahead, and from which side a value is taken at one.
//!
//! Corners of two sources that fall on one moment differ by a few roundings when each is computed from its own period.
//! All waveforms therefore count a corner as passed a little before it comes ([`tolerance`]), so that no piece of the
//! length of a rounding arises between them.

use super::Piece;

/// From which side a limit is taken at a moment where the waveform may jump.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// What held until the moment.
    Before,
    /// What holds from the moment on.
    After,
}

/// Time in seconds by which two corners near `time` may differ and still be one.
///
/// A femtosecond, about five roundings of `time`, or 1e-12 of the shortest `period`, whichever is greatest: far below
/// any edge that means something, above the roundings of (n + phase) / frequency.
pub(super) fn tolerance(time: f64, period: f64) -> f64 {
    (1e-15_f64).max(1e-15 * time.abs()).max(1e-12 * period)
}

/// The nearest corners around a moment.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bracket {
    now: f64,
    /// The last corner passed; minus infinity where there was none.
    pub(super) previous: f64,
    /// The next corner; infinite where there is none.
    pub(super) next: f64,
}

impl Bracket {
    /// Nothing known yet around `time`; corners up to `tolerance` after it count as passed.
    pub(super) fn around(time: f64, tolerance: f64) -> Self {
        Self { now: time + tolerance, previous: f64::NEG_INFINITY, next: f64::INFINITY }
    }

    /// Takes a corner into account.
    #[inline]
    pub(super) fn add(&mut self, corner: f64) {
        if corner <= self.now {
            self.previous = self.previous.max(corner);
        } else {
            self.next = self.next.min(corner);
        }
    }

    /// The piece at `time` of the waveform that is a straight line from corner to corner, level before its first corner
    /// and after its last; `limit` gives the waveform's value on either side of a corner.
    pub(super) fn piece(&self, time: f64, limit: impl Fn(f64, Side) -> f64) -> Piece {
        if self.previous == f64::NEG_INFINITY || self.next == f64::INFINITY {
            let value = if self.previous > f64::NEG_INFINITY {
                limit(self.previous, Side::After)
            } else if self.next < f64::INFINITY {
                limit(self.next, Side::Before)
            } else {
                limit(time, Side::After)
            };
            return Piece { value, slope: 0.0, end: self.next };
        }
        let start = limit(self.previous, Side::After);
        let slope = (limit(self.next, Side::Before) - start) / (self.next - self.previous);
        Piece { value: start + slope * (time - self.previous).max(0.0), slope, end: self.next }
    }
}

/// `clamp((time - start) / duration, 0, 1)`; a step where `duration` is no longer than `tolerance`.
#[inline]
pub(super) fn ramp(time: f64, side: Side, start: f64, duration: f64, tolerance: f64) -> f64 {
    let elapsed = time - start;
    if duration > tolerance {
        return (elapsed / duration).clamp(0.0, 1.0);
    }
    let passed = match side {
        Side::Before => elapsed > duration + tolerance,
        Side::After => elapsed >= -tolerance,
    };
    f64::from(u8::from(passed))
}
