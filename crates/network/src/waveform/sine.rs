//! A sine, drawn with so many straight lines that nothing shows of them.

use super::Piece;
use super::clock::Clock;
use super::corner::{Bracket, tolerance};
use super::period::Period;
use std::f64::consts::TAU;

/// Straight lines in a period. Chords of a sine lie (2 pi / N)^2 / 8 of its amplitude off it at most, 1.2e-6 here.
const CHORDS: f64 = 2000.0;

/// `offset + amplitude sin(2 pi (f t + phase))`.
#[derive(Clone, Debug, PartialEq)]
pub struct Sine {
    offset: f64,
    amplitude: f64,
    /// Fraction of a period by which it is early.
    phase: f64,
    clock: Clock,
    /// Before this time in seconds it stays at the offset; minus infinity where it has swung since ever.
    starts: f64,
}

impl Sine {
    /// A sine of `amplitude` (peak) and `frequency` in hertz, above 0, around `offset`; `phase` is the fraction of a period
    /// that has passed at t = 0. With `starts` it stays at the offset before that time in seconds.
    #[must_use]
    pub fn new(offset: f64, amplitude: f64, frequency: f64, phase: f64, starts: Option<f64>) -> Self {
        let clock = Clock::from_frequency(frequency);
        Self { offset, amplitude, phase, clock, starts: starts.unwrap_or(f64::NEG_INFINITY) }
    }

    pub(super) fn piece(&self, time: f64) -> Piece {
        let period = self.clock.period();
        let tolerance = tolerance(time, period / CHORDS);
        if time + tolerance < self.starts {
            return Piece { value: self.offset, slope: 0.0, end: self.starts };
        }
        let chord = (self.clock.count(time + tolerance) * CHORDS).floor();
        let mut bracket = Bracket::around(time, tolerance);
        for corner in [chord - 1.0, chord, chord + 1.0, chord + 2.0] {
            bracket.add(self.clock.time(corner / CHORDS));
        }
        // Chords that are stretched by the ratio of the sine's first harmonic to theirs have exactly its amplitude there:
        // a polygon's is (sin(pi / N) / (pi / N))^2 of its corners.
        let half = std::f64::consts::PI / CHORDS;
        let stretched = self.amplitude * (half / half.sin()).powi(2);
        let mut piece = bracket.piece(time, |corner, _| {
            self.offset + stretched * (TAU * (self.clock.count(corner) + self.phase)).sin()
        });
        if time < self.starts {
            piece.end = piece.end.max(self.starts);
        }
        piece
    }

    pub(super) fn periods(&self) -> Vec<Period> {
        if self.amplitude == 0.0 { Vec::new() } else { self.clock.exact().into_iter().collect() }
    }

    pub(super) fn has_unknown_period(&self) -> bool {
        self.amplitude != 0.0 && self.clock.exact().is_none()
    }

    pub(super) fn is_periodic(&self) -> bool {
        self.amplitude == 0.0 || (self.starts == f64::NEG_INFINITY && self.clock.exact().is_some())
    }

    pub(super) fn mean(&self) -> f64 {
        self.offset
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn follows_the_sine_closely() {
        let sine = Sine::new(2.0, 3.0, 50.0, 0.25, None);
        for k in 0..1000 {
            let time = f64::from(k) * 1.234e-4;
            let exact = 2.0 + 3.0 * (TAU * (50.0 * time + 0.25)).sin();
            // A chord's sagitta, and as much for the stretch.
            assert!((sine.piece(time).value - exact).abs() < 3.0 * 2.0 * 1.3e-6, "{time}");
        }
        assert_eq!(sine.mean(), 2.0);
        assert_eq!(sine.periods().first().map(Period::seconds), Some(0.02));
    }

    #[test]
    fn its_pieces_join_and_its_first_harmonic_is_exact() {
        let sine = Sine::new(0.0, 1.0, 1e3, 0.0, None);
        let (mut time, mut area, mut last) = (0.0, 0.0, sine.piece(0.0).value);
        let mut chords = 0;
        while time < 1e-3 * (1.0 - 1e-12) {
            let piece = sine.piece(time);
            assert!((piece.value - last).abs() < 1e-12, "a jump at {time}");
            assert!(piece.end > time);
            // Integral of a straight line times sin(omega t), by parts.
            let omega = TAU * 1e3;
            let end = piece.value + piece.slope * (piece.end - time);
            area += (piece.value * (omega * time).cos() - end * (omega * piece.end).cos()) / omega
                + piece.slope * ((omega * piece.end).sin() - (omega * time).sin()) / (omega * omega);
            (time, last, chords) = (piece.end, end, chords + 1);
        }
        assert_eq!(chords, 2000);
        // Roundings of two thousand terms.
        assert!((2.0 * area / 1e-3 - 1.0).abs() < 1e-9, "{}", 2.0 * area / 1e-3);
    }

    #[test]
    fn rests_until_it_starts() {
        let sine = Sine::new(1.0, 1.0, 100.0, 0.0, Some(2.0));
        assert_eq!(sine.piece(0.5), Piece { value: 1.0, slope: 0.0, end: 2.0 });
        assert!(sine.piece(2.0).slope > 600.0);
        assert!(!sine.is_periodic());
    }
}
