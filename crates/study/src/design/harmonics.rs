//! The lines of a source: its Fourier coefficients over a period of straight pieces.

use engine::Complex;
use network::waveform::Waveform;
use std::f64::consts::TAU;

/// Pieces that a period may have; beyond, adding them up would take longer than what it saves.
const MOST_PIECES: usize = 100_000;

/// Complex amplitudes of a waveform at multiples 1, 2, … of `1 / period`, such that each line is the real part of
/// `c e^(j omega t)`; `None` where it has too many pieces.
///
/// `c = 2/T` times the integral of `w e^(-j omega t)` over a period: of a piece `v + s x` of length `d`, with `E = e^(-j omega d)`,
/// `(v (1 - E) - s d E) / (j omega) + s (1 - E) / (j omega)^2` (by parts).
pub(super) fn coefficients(waveform: &Waveform, period: f64, count: usize) -> Option<Vec<Complex<f64>>> {
    let mut sums = vec![Complex::new(0.0, 0.0); count];
    let (mut time, mut pieces) = (0.0, 0);
    while time < period {
        let piece = waveform.piece(time);
        let end = piece.end.min(period);
        let length = end - time;
        pieces += 1;
        if pieces > MOST_PIECES || length <= 0.0 {
            return None;
        }
        if piece.value != 0.0 || piece.slope != 0.0 {
            let turn = |seconds: f64| Complex::from_polar(1.0, -TAU * seconds / period);
            // The angle of each line is that of the first, as often; products of units keep their digits for thousands of them.
            let (first_begin, first_end) = (turn(time), turn(end));
            let (mut begin, mut finish) = (first_begin, first_end);
            for (index, sum) in sums.iter_mut().enumerate() {
                let omega = Complex::new(0.0, TAU * (index + 1) as f64 / period);
                let difference = begin - finish;
                *sum += (difference * piece.value - finish * (piece.slope * length)) / omega
                    + difference * piece.slope / (omega * omega);
                begin *= first_begin;
                finish *= first_end;
            }
        }
        time = end;
    }
    Some(sums.into_iter().map(|sum| sum * (2.0 / period)).collect())
}

#[cfg(test)]
mod tests {
    use super::coefficients;
    use network::waveform::{Points, Waveform};

    /// A sawtooth from 0 to 1 has lines of 1 / (pi n), all leading by a quarter.
    #[test]
    fn lines_of_a_sawtooth_by_their_closed_form() {
        let waveform = Waveform::Points(Points::new(vec![(0.0, 0.0), (2e-3, 1.0)]));
        let found = coefficients(&waveform, 2e-3, 50).expect("one piece");
        for (index, line) in found.iter().enumerate() {
            let expected = 1.0 / (std::f64::consts::PI * (index + 1) as f64);
            assert!((line.im - expected).abs() < 1e-12 && line.re.abs() < 1e-12, "{index}: {line}");
        }
    }
}
