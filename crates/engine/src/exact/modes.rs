//! Modes of the reduced equations: which states carry one.

use nalgebra::{Complex, DMatrix};

/// An eigenvalue this small beside its magnitude counts as real.
const REAL: f64 = 1e-9;
/// A state that moves by this fraction of the one that moves most is named.
const MOVED: f64 = 0.3;

/// The states that the mode of an eigenvalue moves most.
pub(crate) fn states_of_mode(matrix: &DMatrix<f64>, value: Complex<f64>) -> Vec<usize> {
    let size = matrix.nrows();
    let identity = DMatrix::<f64>::identity(size, size);
    // A real matrix whose null space holds the mode and its conjugate: one direction, or two.
    let (singular, directions) = if value.im.abs() <= REAL * value.norm() {
        (matrix - identity * value.re, 1)
    } else {
        (matrix * matrix - matrix * (2.0 * value.re) + identity * value.norm_sqr(), 2)
    };
    let decomposition = singular.svd(false, true);
    let Some(right) = decomposition.v_t else { return Vec::new() };
    let mut order: Vec<usize> = (0..size).collect();
    order.sort_by(|a, b| decomposition.singular_values[*a].total_cmp(&decomposition.singular_values[*b]));
    let weight = |state: usize| -> f64 {
        order.iter().take(directions).map(|row| right[(*row, state)].powi(2)).sum::<f64>().sqrt()
    };
    let weights: Vec<f64> = (0..size).map(weight).collect();
    let largest = weights.iter().copied().fold(0.0, f64::max);
    (0..size).filter(|state| weights[*state] > MOVED * largest).collect()
}

/// The eigenvalue of rates with the greatest real part, if that is above rounding: a mode that grows.
pub(crate) fn growing_mode(rates: &DMatrix<f64>) -> Option<Complex<f64>> {
    if rates.is_empty() {
        return None;
    }
    let values = rates.complex_eigenvalues();
    let fastest = values.iter().map(|value| value.norm()).fold(0.0, f64::max);
    let greatest = values.iter().copied().max_by(|a, b| a.re.total_cmp(&b.re))?;
    // Eigenvalues err by rounding of the fastest one.
    (greatest.re > 1e-13 * fastest).then_some(greatest)
}
