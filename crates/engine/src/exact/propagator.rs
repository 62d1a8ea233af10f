//! The matrix exponential and its first three phi functions over a duration and all its halvings.

use nalgebra::{DMatrix, DVector};

/// Norm of A h up to which the series is summed; its terms then fall by a factor of four or more.
const SERIES_NORM: f64 = 0.25;
/// Terms of the series: 0.25^14 / 14! is below 1e-19.
const SERIES_TERMS: u32 = 14;

/// Halvings below a quarter of the fastest time constant: parabolas there err by (2^-11)^3 / 72 sqrt 3 of a swing, 1e-12.
pub(crate) const FINER_LEVELS: usize = 9;
/// Durations that differ by less than this many seconds are one kind of piece.
pub(crate) const SAME_DURATION: f64 = 1e-15;
/// Kinds of pieces that are remembered at a time, some tens of kilobytes each; drives without a common period make new ones for ever.
pub(crate) const MOST_KINDS: usize = 256;

/// The propagator over one step.
///
/// e^(Ah) itself is never formed: near the identity it would round away slow modes, and doubling would double that
/// loss twenty times over. Its departure from the identity keeps its digits.
#[derive(Clone, Debug)]
pub(crate) struct Level {
    /// Step in seconds.
    pub(crate) step: f64,
    /// e^(A h) - 1.
    change: DMatrix<f64>,
    /// h phi1(A h): what a constant rate adds.
    constant: DMatrix<f64>,
    /// h^2 phi2(A h): what a rate that grows from 0 by 1 a second adds.
    growing: DMatrix<f64>,
    /// h^3 phi3(A h): what a rate of half the square of time adds.
    bending: DMatrix<f64>,
}

impl Level {
    /// State after the step from a state, its slope there, and the slope of the forcing.
    pub(crate) fn apply(
        &self,
        state: &DVector<f64>,
        slope: &DVector<f64>,
        growing: &DVector<f64>,
    ) -> DVector<f64> {
        let mut next = state.clone();
        next.gemv(1.0, &self.constant, slope, 1.0);
        next.gemv(1.0, &self.growing, growing, 1.0);
        next
    }

    /// What forcing by the columns of `direction` times 1, t and t^2/2 adds over the step.
    pub(crate) fn moments(&self, direction: &DMatrix<f64>) -> [DMatrix<f64>; 3] {
        [&self.constant * direction, &self.growing * direction, &self.bending * direction]
    }

    /// e^(A h) - 1.
    pub(crate) fn change(&self) -> &DMatrix<f64> {
        &self.change
    }

    /// e^(A h).
    pub(crate) fn transition(&self) -> DMatrix<f64> {
        &self.change + DMatrix::identity(self.change.nrows(), self.change.nrows())
    }

    fn series(a: &DMatrix<f64>, step: f64) -> Self {
        let size = a.nrows();
        let scaled = a * step;
        let identity = DMatrix::identity(size, size);
        // Horner's rule: phi3 = 1/3! + z/4! + …, phi2 = 1/2! + z phi3, phi1 = 1 + z phi2, e^z - 1 = z phi1.
        let mut phi3 = DMatrix::zeros(size, size);
        for power in (0..=SERIES_TERMS).rev() {
            phi3 = &scaled * phi3 + &identity * (1.0 / factorial(power + 3));
        }
        let phi2 = &identity * 0.5 + &scaled * &phi3;
        let phi1 = &identity + &scaled * &phi2;
        let change = &scaled * &phi1;
        let (square, cube) = (step * step, step * step * step);
        Self { step, change, constant: phi1 * step, growing: phi2 * square, bending: phi3 * cube }
    }

    /// The propagator over twice the step: both halves one after the other.
    fn doubled(&self) -> Self {
        let change = &self.change * &self.change + &self.change * 2.0;
        let constant = &self.change * &self.constant + &self.constant * 2.0;
        let growing = &self.change * &self.growing + &self.growing * 2.0 + &self.constant * self.step;
        let bending = &self.change * &self.bending
            + &self.bending * 2.0
            + &self.growing * self.step
            + &self.constant * (0.5 * self.step * self.step);
        Self { step: 2.0 * self.step, change, constant, growing, bending }
    }
}

fn factorial(n: u32) -> f64 {
    (1..=n).map(f64::from).product()
}

/// Propagators over a duration (first) and its halvings (each half of the one before).
#[derive(Clone, Debug)]
pub(crate) struct Propagator {
    pub(crate) levels: Vec<Level>,
}

impl Propagator {
    /// As many halvings as the series needs, and `finer` more.
    pub(crate) fn new(a: &DMatrix<f64>, duration: f64, finer: usize) -> Self {
        let norm = one_norm(a) * duration;
        let wanted = (norm / SERIES_NORM).log2().ceil().max(0.0) as usize;
        let halvings = wanted + finer;
        let mut level = Level::series(a, duration * 0.5f64.powi(halvings as i32));
        let mut levels = vec![level.clone()];
        for _ in 0..halvings {
            level = level.doubled();
            levels.push(level.clone());
        }
        levels.reverse();
        levels[0].step = duration;
        Self { levels }
    }

    /// The propagator over the whole duration.
    pub(crate) fn whole(&self) -> &Level {
        &self.levels[0]
    }
}

pub(super) fn one_norm(a: &DMatrix<f64>) -> f64 {
    let columns = a.as_slice().chunks_exact(a.nrows().max(1));
    columns.map(|column| column.iter().map(|value| value.abs()).sum()).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against nalgebra's matrix exponential of the augmented matrix [[A, c0, c1], [0, 0, 1], [0, 0, 0]]
    /// (Van Loan, IEEE Trans. Automatic Control 23, 1978).
    #[test]
    fn agrees_with_augmented_exponential() {
        let a = DMatrix::from_row_slice(3, 3, &[-2.0, 5.0, 0.3, -40.0, -1.0, 2.0, 0.0, 7.0, -900.0]);
        let (c0, c1) = (DVector::from_vec(vec![1.0, -2.0, 30.0]), DVector::from_vec(vec![4.0, 0.5, -6.0]));
        let y = DVector::from_vec(vec![0.2, -1.0, 3.0]);
        let duration = 0.37;
        let mut big = DMatrix::zeros(5, 5);
        big.view_mut((0, 0), (3, 3)).copy_from(&a);
        big.view_mut((0, 3), (3, 1)).copy_from(&c0);
        // The second auxiliary state is constant 1, the first is time.
        big.view_mut((0, 4), (3, 1)).copy_from(&c1);
        big[(4, 3)] = 1.0;
        let mut start = DVector::zeros(5);
        start.view_mut((0, 0), (3, 1)).copy_from(&y);
        start[3] = 1.0;
        let end = (big * duration).exp() * start;
        let ours = Propagator::new(&a, duration, 3);
        let next = ours.whole().apply(&y, &(&a * &y + &c0), &c1);
        for index in 0..3 {
            // Rounding of about ten squarings at a norm of a few hundred.
            assert!((next[index] - end[index]).abs() < 1e-12 * end.amax(), "{next} against {end}");
        }
        let half = &ours.levels[1];
        let middle = half.apply(&y, &(&a * &y + &c0), &c1);
        let twice = half.apply(&middle, &(&a * &middle + &c0 + &c1 * half.step), &c1);
        assert!((twice - next).amax() < 1e-13 * end.amax());
    }
}
