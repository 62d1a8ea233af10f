//! The matrix of a network in frequency, told apart into what stands still and what moves.

use crate::linear::Matrix;
use nalgebra::Complex;

/// The matrix as one that keeps its pattern: G + j omega C, and what stands on the diagonal of each large capacitor's current.
pub(super) struct Spread {
    pub(super) matrix: Matrix<Complex<f64>>,
    /// Of each entry what stands still and what moves with frequency: conductance, and capacitance (or less inductance).
    pub(super) parts: Vec<[f64; 2]>,
    /// Place of each, and its capacitance.
    pub(super) large: Vec<(usize, f64)>,
    /// Angular frequency above which large capacitors are written by what one over their susceptance is.
    pub(super) from: f64,
}

impl Spread {
    /// At an angular frequency above `from`.
    pub(super) fn at(&mut self, omega: f64) -> &Matrix<Complex<f64>> {
        for (value, [still, moving]) in self.matrix.values.iter_mut().zip(&self.parts) {
            *value = Complex::new(*still, moving * omega);
        }
        for (place, capacitance) in &self.large {
            self.matrix.values[*place] = Complex::new(0.0, 1.0 / (omega * capacitance));
        }
        &self.matrix
    }
}
