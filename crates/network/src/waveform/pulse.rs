//! The waveform of a pulse generator.

use super::clock::Clock;
use super::corner::{Bracket, tolerance};
use super::period::Period;
use super::train::Train;
use super::{Edge, Piece};

/// Pulses of one height at regular times.
#[derive(Clone, Debug, PartialEq)]
pub struct Pulse {
    level: f64,
    train: Train,
}

/// What a pulse generator is set to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PulseSettings {
    /// Height of the pulses, in the unit of the source.
    pub level: f64,
    /// Width in seconds from the start of the rise to the start of the fall, 0 to `period`.
    pub width: f64,
    /// Time in seconds from pulse to pulse, above 0.
    pub period: f64,
    /// Duration of the rise in seconds, 0 to `period`.
    pub rise: f64,
    /// Duration of the fall in seconds, 0 to `period`.
    pub fall: f64,
    /// Time in seconds of the first rise; `None` where pulses have come since ever, one of them at t = 0.
    pub start: Option<f64>,
}

impl Pulse {
    /// A generator's output.
    #[must_use]
    pub fn new(settings: PulseSettings) -> Self {
        let PulseSettings { level, width, period, rise, fall, start } = settings;
        let clock = Clock::from_seconds(period).starting_at(start.unwrap_or(0.0));
        let train = Train {
            clock,
            phase: 0.0,
            duty: width / period,
            rise,
            fall,
            ripple: 0.0,
            exponent: 0.0,
            throttle: None,
            first: start.map(|_| 0.0),
            jitter: None,
        };
        Self { level, train }
    }

    pub(super) fn piece(&self, time: f64) -> Piece {
        let tolerance = tolerance(time, self.train.clock.period());
        let mut bracket = Bracket::around(time, tolerance);
        self.train.bracket(time, &mut bracket);
        bracket.piece(time, |time, side| self.level * self.train.value(time, side, tolerance))
    }

    pub(super) fn periods(&self) -> Vec<Period> {
        self.ticks().and_then(|clock| clock.exact()).into_iter().collect()
    }

    pub(super) fn has_unknown_period(&self) -> bool {
        self.ticks().is_some_and(|clock| clock.exact().is_none())
    }

    /// The clock of its edges, where it has any.
    fn ticks(&self) -> Option<Clock> {
        (self.train.switches() && self.level != 0.0).then_some(self.train.clock)
    }

    pub(super) fn jump(&self) -> Option<Edge> {
        self.train.jump(tolerance(0.0, self.train.clock.period())).filter(|_| self.level != 0.0)
    }

    pub(super) fn is_periodic(&self) -> bool {
        self.train.first.is_none() && !self.has_unknown_period()
    }
}
