//! What a stretch of time does to the state, of itself and of sources that are straight lines over it: no more than a walk from corner to corner needs of
//! the propagator, in matrices of fixed height that the compiler unrolls.

use super::propagator::{Propagator, one_norm};
use super::reduced::Reduced;
use nalgebra::DMatrix;

/// Norm of A h up to which the series is summed …
const SERIES_NORM: f64 = 0.031_25;
/// … and its terms: 2^-50 / 11! is below 1e-22.
const SERIES_TERMS: usize = 10;

/// e^(A h) - 1, and what sources and their slopes add.
#[derive(Clone, Debug)]
pub(crate) struct Passage {
    pub(crate) change: DMatrix<f64>,
    /// What sources of 1 add: h phi1(A h) B.
    pub(crate) of_sources: DMatrix<f64>,
    /// What slopes of 1 add: h^2 phi2(A h) B + h phi1(A h) E.
    pub(crate) of_slopes: DMatrix<f64>,
}

impl Passage {
    pub(crate) fn new(reduced: &Reduced, duration: f64) -> Self {
        Self::over(&reduced.a, &reduced.b, &reduced.e, duration)
    }

    /// e^(A h) - 1 alone.
    pub(crate) fn change(a: &DMatrix<f64>, duration: f64) -> DMatrix<f64> {
        let nothing = DMatrix::zeros(a.nrows(), 0);
        Self::over(a, &nothing, &nothing, duration).change
    }

    fn over(a: &DMatrix<f64>, b: &DMatrix<f64>, e: &DMatrix<f64>, duration: f64) -> Self {
        match a.nrows() {
            0..=4 => small::<4>(a, b, e, duration),
            5..=8 => small::<8>(a, b, e, duration),
            9..=12 => small::<12>(a, b, e, duration),
            13..=16 => small::<16>(a, b, e, duration),
            _ => {
                let propagator = Propagator::new(a, duration, 0);
                let whole = propagator.whole();
                let [of_sources, growing, _] = whole.moments(b);
                let of_slopes = growing + &whole.moments(e)[0];
                Self { change: whole.change().clone(), of_sources, of_slopes }
            }
        }
    }
}

/// Columns of a matrix of N rows, the last of which may be there for the machine's sake alone.
type Columns<const N: usize> = Vec<[f64; N]>;

fn columns<const N: usize>(matrix: &DMatrix<f64>, factor: f64) -> Columns<N> {
    let column = |k: usize| {
        let mut column = [0.0; N];
        column.iter_mut().zip(matrix.column(k).iter()).for_each(|(place, value)| *place = factor * value);
        column
    };
    (0..matrix.ncols()).map(column).collect()
}

fn matrix<const N: usize>(columns: &[[f64; N]], rows: usize) -> DMatrix<f64> {
    DMatrix::from_iterator(
        rows,
        columns.len(),
        columns.iter().flat_map(|column| column[..rows].iter().copied()),
    )
}

/// A matrix times a column.
fn applied<const N: usize>(a: &[[f64; N]], x: &[f64; N]) -> [f64; N] {
    let mut sum = [0.0; N];
    for (column, x) in a.iter().zip(x) {
        for row in 0..N {
            sum[row] += column[row] * x;
        }
    }
    sum
}

fn added<const N: usize>(a: [f64; N], b: &[f64; N], factor: f64) -> [f64; N] {
    std::array::from_fn(|row| a[row] + factor * b[row])
}

/// The series over a short step, doubled until the step is the whole duration (as in [`Propagator`], whose matrices this has no use for).
fn small<const N: usize>(a: &DMatrix<f64>, b: &DMatrix<f64>, e: &DMatrix<f64>, duration: f64) -> Passage {
    let size = a.nrows();
    let doublings = (one_norm(a) * duration / SERIES_NORM).log2().ceil().max(0.0) as i32;
    let mut step = duration * 0.5f64.powi(doublings);
    let scaled: Columns<N> = columns(a, step);
    let unit = |k: usize| std::array::from_fn(|row| f64::from(u8::from(row == k)));
    // Horner's rule: phi1(z) = 1 + z/2 (1 + z/3 (…)), phi2(z) = (1 + z/3 (1 + z/4 (…))) / 2.
    let series = |start: &[f64; N], from: usize| {
        let mut sum = *start;
        for k in (from..from + SERIES_TERMS).rev() {
            sum = added(*start, &applied(&scaled, &sum), 1.0 / k as f64);
        }
        sum
    };
    let mut change: Columns<N> = (0..size).map(|k| applied(&scaled, &series(&unit(k), 2))).collect();
    let sources: Columns<N> = columns(b, 1.0);
    let moving = e.amax() > 0.0;
    // What sources of 1 add, then what slopes add through E.
    let mut constant: Columns<N> = sources.iter().map(|column| series(column, 2).map(|x| x * step)).collect();
    if moving {
        let columns: Columns<N> = columns(e, 1.0);
        constant.extend(columns.iter().map(|column| series(column, 2).map(|x| x * step)));
    }
    let factor = 0.5 * step * step;
    let mut growing: Columns<N> =
        sources.iter().map(|column| series(column, 3).map(|x| x * factor)).collect();
    for _ in 0..doublings {
        for (growing, constant) in growing.iter_mut().zip(&constant) {
            let twice = added(applied(&change, growing), growing, 2.0);
            *growing = added(twice, constant, step);
        }
        for constant in &mut constant {
            *constant = added(applied(&change, constant), constant, 2.0);
        }
        change = change.iter().map(|column| added(applied(&change, column), column, 2.0)).collect();
        step *= 2.0;
    }
    let count = sources.len();
    if moving {
        let (_, through) = constant.split_at(count);
        growing
            .iter_mut()
            .zip(through)
            .for_each(|(growing, through)| *growing = added(*growing, through, 1.0));
    }
    Passage {
        change: matrix(&change, size),
        of_sources: matrix(&constant[..count], size),
        of_slopes: matrix(&growing, size),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against nalgebra's matrix exponential of the augmented matrix [[A, B, 0], [0, 0, 1], [0, 0, 0]] (Van Loan, IEEE Trans. Automatic
    /// Control 23, 1978), at all heights.
    #[test]
    fn agrees_with_augmented_exponential() {
        for size in [1, 3, 7, 10, 15, 18] {
            let a = DMatrix::from_fn(size, size, |row, column| {
                let entry = ((3 * row + 7 * column) % 11) as f64 - 5.0;
                if row == column { -20.0 * (1 + row) as f64 } else { entry }
            });
            let b = DMatrix::from_fn(size, 2, |row, column| (row + 2 * column) as f64 - 3.0);
            let e = DMatrix::from_fn(size, 2, |row, column| 0.1 * (row as f64 - column as f64));
            let duration = 0.21;
            let mut big = DMatrix::zeros(size + 4, size + 4);
            big.view_mut((0, 0), (size, size)).copy_from(&(&a * duration));
            big.view_mut((0, size), (size, 2)).copy_from(&(&b * duration));
            big.view_mut((size, size + 2), (2, 2)).fill_with_identity();
            let whole = big.exp();
            let change = whole.view((0, 0), (size, size)) - DMatrix::<f64>::identity(size, size);
            let of_sources = whole.view((0, size), (size, 2)).into_owned();
            let of_growing = whole.view((0, size + 2), (size, 2)) * duration;
            let mut through = DMatrix::zeros(size + 2, size + 2);
            through.view_mut((0, 0), (size, size)).copy_from(&(&a * duration));
            through.view_mut((0, size), (size, 2)).copy_from(&(&e * duration));
            let of_slopes = of_growing + through.exp().view((0, size), (size, 2));
            let ours = Passage::over(&a, &b, &e, duration);
            // Rounding of about ten squarings at a norm of a hundred.
            for (ours, theirs) in
                [(ours.change, change), (ours.of_sources, of_sources), (ours.of_slopes, of_slopes)]
            {
                assert!((&ours - &theirs).amax() < 1e-12 * theirs.amax().max(1.0), "{size}: {ours} {theirs}");
            }
        }
    }
}
