//! Modes of y' = A y: rates, and the matrices that lead to them and back.
//!
//! Modes only tell how a waveform goes on inside a leg and how far it can be from a parabola there. The state itself moves from corner
//! to corner by the propagator, which keeps the digits of slow modes beside fast ones.

use nalgebra::{Complex, DMatrix, DVector};

/// Rounding grows by the condition of the modes: a millionth of a millionth of a swing may be lost, no more.
const WORST_CONDITION: f64 = 1e5;
/// A rate is moved by this share before its mode is sought, so that the matrix is not singular.
const SHIFT: f64 = 1e-9;
/// Departure of A V from V L, as a share of the norms, up to which modes count as found.
const FOUND: f64 = 1e-9;

/// Rates and modes; of a conjugate pair the one with the positive imaginary part.
#[derive(Clone, Debug)]
pub(crate) struct Spectrum {
    /// Rates per second.
    pub(crate) rates: Vec<Complex<f64>>,
    /// How the state is made of modes, one column each; a pair's column is doubled, so that the real part of the sum is the state.
    pub(crate) modes: DMatrix<Complex<f64>>,
    /// How modes are found in a state, one row each.
    pub(crate) weights: DMatrix<Complex<f64>>,
}

impl Spectrum {
    /// `None` where modes are too nearly dependent to be told apart.
    pub(crate) fn new(a: &DMatrix<f64>) -> Option<Self> {
        let size = a.nrows();
        if size == 0 {
            let nothing = DMatrix::zeros(0, 0);
            return Some(Self { rates: Vec::new(), modes: nothing.clone(), weights: nothing });
        }
        let values = a.complex_eigenvalues();
        let greatest = values.iter().map(|value| value.norm()).fold(0.0, f64::max);
        let kept: Vec<Complex<f64>> = values.iter().copied().filter(|value| value.im >= 0.0).collect();
        let complex = a.map(|value| Complex::new(value, 0.0));
        let mut all = DMatrix::zeros(size, size);
        let mut place = 0;
        for value in &kept {
            let mode = mode(&complex, *value, greatest)?;
            for vector in
                [Some(mode.clone()), (value.im > 0.0).then(|| mode.conjugate())].into_iter().flatten()
            {
                if place == size {
                    return None;
                }
                all.set_column(place, &vector);
                place += 1;
            }
        }
        if place < size {
            return None;
        }
        let inverse = all.clone().try_inverse()?;
        let condition = all.norm() * inverse.norm();
        if !condition.is_finite() || condition > WORST_CONDITION {
            return None;
        }
        let mut spectrum = Self {
            modes: DMatrix::zeros(size, kept.len()),
            weights: DMatrix::zeros(kept.len(), size),
            rates: kept,
        };
        let mut place = 0;
        for index in 0..spectrum.rates.len() {
            let rate = spectrum.rates[index];
            let departure = &complex * all.column(place) - all.column(place) * rate;
            if departure.norm() > FOUND * greatest {
                return None;
            }
            let share = if rate.im > 0.0 { 2.0 } else { 1.0 };
            spectrum.modes.set_column(index, &(all.column(place) * Complex::new(share, 0.0)));
            spectrum.weights.set_row(index, &inverse.row(place));
            place += if rate.im > 0.0 { 2 } else { 1 };
        }
        Some(spectrum)
    }
}

/// The mode of a rate by inverse iteration (Wilkinson, The Algebraic Eigenvalue Problem, 1965, ch. 9).
fn mode(a: &DMatrix<Complex<f64>>, rate: Complex<f64>, greatest: f64) -> Option<DVector<Complex<f64>>> {
    let size = a.nrows();
    let shifted = rate + Complex::new(SHIFT * rate.norm() + f64::EPSILON * greatest, 0.0);
    let factors = (a - DMatrix::from_diagonal_element(size, size, shifted)).lu();
    let mut vector = DVector::from_fn(size, |k, _| Complex::new(1.0 + 0.1 * k as f64, 0.0));
    for _ in 0..3 {
        factors.solve_mut(&mut vector).then_some(())?;
        let norm = vector.norm();
        (norm > 0.0 && norm.is_finite()).then_some(())?;
        vector.unscale_mut(norm);
    }
    if rate.im == 0.0 {
        // Real up to a factor that the start chose.
        vector = vector.map(|value| Complex::new(value.re, 0.0));
        let norm = vector.norm();
        (norm > 0.5).then(|| vector.unscale_mut(norm))?;
    }
    Some(vector)
}
