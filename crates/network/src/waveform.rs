//! Waveforms of sources: piecewise linear in time, periodic or not.
//!
//! [`Waveform::piece`] is all that the solver asks: the straight line that holds from a moment to the next corner.

pub mod clock;
mod corner;
mod dip;
mod drive;
mod jitter;
pub mod period;
mod points;
mod pulse;
mod sine;
mod train;

pub use dip::Uneven;
pub use drive::{Drive, DriveSettings};
pub use points::Points;
pub use pulse::{Pulse, PulseSettings};
pub use sine::Sine;

use corner::{Bracket, Side, ramp, tolerance};
use period::Period;

/// A source's value against time: linear between its corners, possibly with jumps at them.
#[derive(Clone, Debug, PartialEq)]
pub enum Waveform {
    /// The same value at all times.
    Constant(f64),
    /// Straight lines through points.
    Points(Points),
    /// 0 until t = 0, then a straight line to `level` over `rise` seconds, then `level`.
    Ramp {
        /// Value in the end.
        level: f64,
        /// Duration in seconds; 0 is a jump.
        rise: f64,
    },
    /// A pulse generator.
    Pulse(Box<Pulse>),
    /// A sine.
    Sine(Sine),
    /// The current of a vehicle's drive.
    Drive(Box<Drive>),
}

/// An edge of a pulse.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// From nothing to the pulse's level.
    Rise,
    /// From the pulse's level to nothing.
    Fall,
}

/// One linear piece of a waveform.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Value at the time asked for (just after it, where the waveform jumps there).
    pub value: f64,
    /// Slope per second from there to `end`.
    pub slope: f64,
    /// Time in seconds of the next corner, later than the time asked for; infinite when there is none.
    pub end: f64,
}

impl Waveform {
    /// The piece that holds just after `time`.
    ///
    /// A corner that comes within a few roundings after `time` counts as passed.
    #[must_use]
    pub fn piece(&self, time: f64) -> Piece {
        match self {
            Self::Constant(value) => Piece { value: *value, slope: 0.0, end: f64::INFINITY },
            Self::Points(points) => points.piece(time),
            Self::Ramp { level, rise } => ramp_piece(*level, *rise, time),
            Self::Pulse(pulse) => pulse.piece(time),
            Self::Sine(sine) => sine.piece(time),
            Self::Drive(drive) => drive.piece(time),
        }
    }

    /// Periods with which the waveform repeats, or would if it had not started at some time; none for a constant.
    #[must_use]
    pub fn periods(&self) -> Vec<Period> {
        match self {
            Self::Constant(_) | Self::Points(_) | Self::Ramp { .. } => Vec::new(),
            Self::Pulse(pulse) => pulse.periods(),
            Self::Sine(sine) => sine.periods(),
            Self::Drive(drive) => drive.periods(),
        }
    }

    /// Whether one of the waveform's periods is too long or too short to be held exactly, so that [`Self::periods`] lacks
    /// it.
    #[must_use]
    pub fn has_unknown_period(&self) -> bool {
        match self {
            Self::Constant(_) | Self::Points(_) | Self::Ramp { .. } => false,
            Self::Pulse(pulse) => pulse.has_unknown_period(),
            Self::Sine(sine) => sine.has_unknown_period(),
            Self::Drive(drive) => drive.has_unknown_period(),
        }
    }

    /// The first edge at which a train of pulses jumps; `None` where it never does, and for all that is no train.
    #[must_use]
    pub fn jump(&self) -> Option<Edge> {
        match self {
            Self::Constant(_) | Self::Points(_) | Self::Ramp { .. } | Self::Sine(_) => None,
            Self::Pulse(pulse) => pulse.jump(),
            Self::Drive(drive) => drive.jump(),
        }
    }

    /// Whether the waveform is constant, or has repeated itself since ever with periods that are known.
    #[must_use]
    pub fn is_periodic(&self) -> bool {
        match self {
            Self::Constant(_) => true,
            Self::Points(points) => points.constant().is_some(),
            Self::Ramp { level, .. } => *level == 0.0,
            Self::Pulse(pulse) => pulse.is_periodic(),
            Self::Sine(sine) => sine.is_periodic(),
            Self::Drive(drive) => drive.is_periodic(),
        }
    }

    /// Mean over the common period; `None` where the waveform is not periodic.
    ///
    /// A drive whose PWM and commutation have no common period has the mean over a long time.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        if !self.is_periodic() {
            return None;
        }
        match self {
            Self::Sine(sine) => Some(sine.mean()),
            Self::Drive(drive) => Some(drive.mean()),
            Self::Pulse(pulse) => Some(mean_of_period(|time| pulse.piece(time), &pulse.periods())),
            Self::Constant(_) | Self::Points(_) | Self::Ramp { .. } => Some(self.piece(0.0).value),
        }
    }
}

fn ramp_piece(level: f64, rise: f64, time: f64) -> Piece {
    let tolerance = tolerance(time, 0.0);
    let mut bracket = Bracket::around(time, tolerance);
    bracket.add(0.0);
    bracket.add(rise);
    bracket.piece(time, |time, side: Side| level * ramp(time, side, 0.0, rise, tolerance))
}

/// Area under the pieces of one common period, divided by its length.
fn mean_of_period(piece: impl Fn(f64) -> Piece, periods: &[Period]) -> f64 {
    let length = match (Period::common(periods), periods.first()) {
        (Some(common), _) => common.seconds(),
        (None, Some(only)) => only.seconds(),
        (None, None) => return piece(0.0).value,
    };
    let mut time = 0.0;
    let mut area = 0.0;
    while time < length {
        let piece = piece(time);
        let end = piece.end.min(length);
        area += (piece.value + piece.slope * (end - time) / 2.0) * (end - time);
        time = end;
    }
    area / length
}
