//! Waveforms of sources: piecewise linear in time, periodic or not.
//!
//! [`Waveform::piece`] is all that the solver asks: the straight line that holds from a moment to the next corner.

pub mod clock;
mod corner;
mod dip;
mod drive;
pub mod period;
mod points;
mod pulse;
mod train;

pub use drive::{Drive, DriveSettings};
pub use points::Points;
pub use pulse::{Pulse, PulseSettings};

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
    /// The current of a vehicle's drive.
    Drive(Box<Drive>),
    /// The sum of several.
    Sum(Vec<Waveform>),
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
            Self::Drive(drive) => drive.piece(time),
            Self::Sum(terms) => {
                let nothing = Piece { value: 0.0, slope: 0.0, end: f64::INFINITY };
                terms.iter().map(|term| term.piece(time)).fold(nothing, |sum, piece| Piece {
                    value: sum.value + piece.value,
                    slope: sum.slope + piece.slope,
                    end: sum.end.min(piece.end),
                })
            }
        }
    }

    /// Periods with which the waveform repeats, or would if it had not started at some time; none for a constant.
    #[must_use]
    pub fn periods(&self) -> Vec<Period> {
        match self {
            Self::Constant(_) | Self::Points(_) | Self::Ramp { .. } => Vec::new(),
            Self::Pulse(pulse) => pulse.periods(),
            Self::Drive(drive) => drive.periods(),
            Self::Sum(terms) => terms.iter().flat_map(Self::periods).collect(),
        }
    }

    /// Whether the waveform is constant, or made of terms each of which has repeated itself since ever.
    #[must_use]
    pub fn is_periodic(&self) -> bool {
        match self {
            Self::Constant(_) => true,
            Self::Points(points) => points.constant().is_some(),
            Self::Ramp { level, .. } => *level == 0.0,
            Self::Pulse(pulse) => pulse.is_periodic(),
            Self::Drive(drive) => drive.is_periodic(),
            Self::Sum(terms) => terms.iter().all(Self::is_periodic),
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
            Self::Sum(terms) => terms.iter().map(Self::mean).sum(),
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
