//! Waveforms of sources: piecewise linear in time, periodic or not.

pub mod period;

/// A source's value against time: linear between its corners, possibly with jumps at them.
#[derive(Clone, Debug)]
pub enum Waveform {
    /// The same value at all times.
    Constant(f64),
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
    #[must_use]
    pub fn piece(&self, time: f64) -> Piece {
        let _ = time;
        match self {
            Self::Constant(value) => Piece { value: *value, slope: 0.0, end: f64::INFINITY },
        }
    }
}
