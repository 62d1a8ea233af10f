//! When the periods of a periodic source begin.

use super::period::Period;

/// Beginnings of periods, computed from their number so that no rounding accumulates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clock {
    rate: Rate,
    /// Time in seconds at which period 0 begins.
    origin: f64,
}

/// The number that the user gave; the other is its inverse.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Rate {
    Frequency(f64),
    Seconds(f64),
}

impl Clock {
    /// Ticks of `frequency` in hertz, above 0; period 0 begins at t = 0.
    #[must_use]
    pub fn from_frequency(frequency: f64) -> Self {
        Self { rate: Rate::Frequency(frequency), origin: 0.0 }
    }

    /// Ticks every `period` in seconds, above 0; period 0 begins at t = 0.
    #[must_use]
    pub fn from_seconds(period: f64) -> Self {
        Self { rate: Rate::Seconds(period), origin: 0.0 }
    }

    /// The same, with period 0 beginning at `origin` in seconds.
    #[must_use]
    pub fn starting_at(self, origin: f64) -> Self {
        Self { origin, ..self }
    }

    /// Length of a period in seconds.
    #[must_use]
    pub fn period(&self) -> f64 {
        match self.rate {
            Rate::Frequency(frequency) => 1.0 / frequency,
            Rate::Seconds(period) => period,
        }
    }

    /// Length of a period as an exact fraction, where it can be had.
    #[must_use]
    pub fn exact(&self) -> Option<Period> {
        match self.rate {
            Rate::Frequency(frequency) => Period::from_frequency(frequency),
            Rate::Seconds(period) => Period::from_seconds(period),
        }
    }

    /// Time in seconds after `count` periods, whole or not.
    #[inline]
    pub(super) fn time(&self, count: f64) -> f64 {
        match self.rate {
            Rate::Frequency(frequency) => self.origin + count / frequency,
            Rate::Seconds(period) => self.origin + count * period,
        }
    }

    /// Periods that have passed at `time` in seconds.
    #[inline]
    pub(super) fn count(&self, time: f64) -> f64 {
        match self.rate {
            Rate::Frequency(frequency) => (time - self.origin) * frequency,
            Rate::Seconds(period) => (time - self.origin) / period,
        }
    }
}
