//! Modes of y' = A y: rates, and the matrices that lead to them and back.
//!
//! Modes only tell how a waveform goes on inside a leg and how far it can be from a parabola there. The state itself moves from corner
//! to corner by the propagator, which keeps the digits of slow modes beside fast ones.

use super::dense::Dense;
use nalgebra::{Complex, ComplexField, DMatrix};

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
        let rates: Vec<Complex<f64>> = values.iter().copied().filter(|value| value.im >= 0.0).collect();
        // Real modes, and real and imaginary parts of the others: a basis of all states.
        let mut basis = Vec::with_capacity(size * size);
        for rate in &rates {
            let mode: Vec<Complex<f64>> = if rate.im == 0.0 {
                find_mode(a, rate.re, greatest)?.into_iter().map(Complex::from).collect()
            } else {
                find_mode(a, *rate, greatest)?
            };
            if departure(a, *rate, &mode) > FOUND * greatest {
                return None;
            }
            basis.extend(mode.iter().map(|value| value.re));
            if rate.im > 0.0 {
                basis.extend(mode.iter().map(|value| value.im));
            }
        }
        if basis.len() != size * size {
            return None;
        }
        let inverse = inverse(&basis, size)?;
        let condition = norm(&basis) * norm(&inverse);
        if !condition.is_finite() || condition > WORST_CONDITION {
            return None;
        }
        Some(Self::of(rates, &basis, &inverse, size))
    }

    /// From the basis and its inverse, by columns.
    fn of(rates: Vec<Complex<f64>>, basis: &[f64], inverse: &[f64], size: usize) -> Self {
        let count = rates.len();
        let mut modes = DMatrix::zeros(size, count);
        let mut weights = DMatrix::zeros(count, size);
        let mut place = 0;
        for (index, rate) in rates.iter().enumerate() {
            for state in 0..size {
                let mode = |place: usize| basis[place * size + state];
                let weight = |place: usize| inverse[state * size + place];
                // The state is Re(2 c (p + j q)) = 2 Re c p - 2 Im c q.
                (modes[(state, index)], weights[(index, state)]) = if rate.im == 0.0 {
                    (Complex::from(mode(place)), Complex::from(weight(place)))
                } else {
                    let weight = Complex::new(0.5 * weight(place), -0.5 * weight(place + 1));
                    (Complex::new(2.0 * mode(place), 2.0 * mode(place + 1)), weight)
                };
            }
            place += if rate.im == 0.0 { 1 } else { 2 };
        }
        Self { rates, modes, weights }
    }
}

/// The mode of a rate, by inverse iteration (Wilkinson, The Algebraic Eigenvalue Problem, 1965, ch. 9).
fn find_mode<T>(a: &DMatrix<f64>, rate: T, greatest: f64) -> Option<Vec<T>>
where
    T: ComplexField<RealField = f64> + Copy,
{
    let size = a.nrows();
    let shift = SHIFT * rate.modulus() + f64::EPSILON * greatest;
    let mut shifted: Vec<T> = a.as_slice().iter().map(|value| T::from_real(*value)).collect();
    shifted.iter_mut().step_by(size + 1).for_each(|value| *value -= rate + T::from_real(shift));
    let factors = Dense::factor(shifted, size)?;
    let mut mode: Vec<T> = (0..size).map(|k| T::from_real(1.0 + 0.1 * k as f64)).collect();
    let mut norm = 0.0;
    for round in 0..3 {
        // It is within so much of a mode already.
        if round == 2 && norm * shift > 0.5 {
            break;
        }
        factors.solve(&mut mode);
        norm = self::norm(&mode);
        (norm > 0.0 && norm.is_finite()).then_some(())?;
        mode.iter_mut().for_each(|value| *value = value.scale(1.0 / norm));
    }
    Some(mode)
}

fn norm<T: ComplexField<RealField = f64> + Copy>(values: &[T]) -> f64 {
    values.iter().map(|value| value.modulus_squared()).sum::<f64>().sqrt()
}

/// By how much A v is not the rate times v.
fn departure(a: &DMatrix<f64>, rate: Complex<f64>, mode: &[Complex<f64>]) -> f64 {
    let mut left: Vec<_> = mode.iter().map(|value| -rate * value).collect();
    for (column, factor) in a.as_slice().chunks_exact(mode.len()).zip(mode) {
        left.iter_mut().zip(column).for_each(|(left, value)| *left += factor * *value);
    }
    norm(&left)
}

/// The inverse of a matrix by columns.
fn inverse(matrix: &[f64], size: usize) -> Option<Vec<f64>> {
    let factors = Dense::factor(matrix.to_vec(), size)?;
    let mut inverse = vec![0.0; size * size];
    for (k, column) in inverse.chunks_exact_mut(size).enumerate() {
        column[k] = 1.0;
        factors.solve(column);
    }
    Some(inverse)
}
