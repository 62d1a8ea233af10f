//! The equations of one step of exponential collocation: the bent rest at its middle and its end.

use super::laws::Law;
use super::pace::Weights;
use crate::integrator::Work;
use crate::snapshot::Bent;
use nalgebra::{DMatrix, DVector};

/// Newton iterations after which a shorter step is tried.
const MOST_ITERATIONS: usize = 30;
/// Newton stops at this fraction of the currents and voltages themselves.
const CLOSE: f64 = 1e-13;
/// A full step by this fraction leaves about its square, a tenth of that.
const CLOSE_BEFORE: f64 = 1e-7;

/// What the laws leave beside their straight parts.
#[derive(Clone, Copy)]
pub(super) struct Rest<'a> {
    pub(super) laws: &'a [(Bent, Law)],
    pub(super) straight: &'a [f64],
}

impl Rest<'_> {
    /// Of one port.
    pub(super) fn at(&self, port: usize, x: f64) -> f64 {
        self.laws[port].1.value(x) - self.straight[port] * x
    }

    /// How it changes with the current or voltage there.
    pub(super) fn slope_at(&self, port: usize, x: f64) -> f64 {
        self.laws[port].1.slope(x) - self.straight[port]
    }

    /// Both.
    pub(super) fn both_at(&self, port: usize, x: f64) -> (f64, f64) {
        let (value, slope) = self.laws[port].1.value_and_slope(x);
        (value - self.straight[port] * x, slope - self.straight[port])
    }

    pub(super) fn value(&self, x: &[f64]) -> DVector<f64> {
        DVector::from_iterator(x.len(), x.iter().enumerate().map(|(port, x)| self.at(port, *x)))
    }

    pub(super) fn slope(&self, x: &[f64]) -> DVector<f64> {
        DVector::from_iterator(x.len(), x.iter().enumerate().map(|(port, x)| self.slope_at(port, *x)))
    }
}

/// Solves x = known + shift F(x): the port currents that go with a state xi. `x` holds a guess.
pub(super) fn at_instant(
    rest: Rest<'_>,
    shift: &DMatrix<f64>,
    known: &[f64],
    x: &mut [f64],
    work: &mut Work,
) -> Option<()> {
    if let ([known], [x]) = (known, &mut *x) {
        [*x] = newton_of_one([*known], [*x], rest, [[shift[(0, 0)]]], work)?;
        return Some(());
    }
    newton(known, x, rest, shift, work)
}

/// Solves x = known + M F(x) for the port currents at the middle and the end of a step, one after the other: M is made of
/// what the rest there does to the middle and to the end. The rest's value `first` at the start gives a guess.
pub(super) fn over_step(
    rest: Rest<'_>,
    [middle, end]: [&Weights; 2],
    shift: &DMatrix<f64>,
    known: &[f64],
    first: &[f64],
    x: &mut [f64],
    work: &mut Work,
) -> Option<()> {
    let count = first.len();
    let (of_middle, of_end) = ([&middle[1], &middle[2]], [&end[1], &end[2]]);
    if let ([known_middle, known_end], [middle, end], [first]) = (known, &mut *x, first) {
        let at = |[middle, end]: [&DMatrix<f64>; 2]| [middle[(0, 0)], end[(0, 0)]];
        let mut matrix = [at(of_middle), at(of_end)];
        matrix[0][0] += shift[(0, 0)];
        matrix[1][1] += shift[(0, 0)];
        let known = [*known_middle, *known_end];
        // As if the rest stood still.
        let guess = std::array::from_fn(|k| known[k] + (matrix[k][0] + matrix[k][1]) * first);
        [*middle, *end] = newton_of_one(known, guess, rest, matrix, work)?;
        return Some(());
    }
    let mut matrix = DMatrix::zeros(2 * count, 2 * count);
    for (row, blocks) in [of_middle, of_end].into_iter().enumerate() {
        for (column, block) in blocks.into_iter().enumerate() {
            let mut place = matrix.view_mut((row * count, column * count), (count, count));
            place.copy_from(block);
            if row == column {
                place += shift;
            }
        }
    }
    let stands = DVector::from_iterator(2 * count, first.iter().chain(first).copied());
    x.copy_from_slice((DVector::from_column_slice(known) + &matrix * stands).as_slice());
    let laws: Vec<_> = rest.laws.iter().chain(rest.laws).cloned().collect();
    let straight: Vec<f64> = rest.straight.iter().chain(rest.straight).copied().collect();
    newton(known, x, Rest { laws: &laws, straight: &straight }, &matrix, work)
}

/// Newton's method as in [`newton`] for one bent element at N times, without allocating.
///
/// Woven into its caller it takes half as long again: too many numbers for the registers.
#[inline(never)]
fn newton_of_one<const N: usize>(
    known: [f64; N],
    guess: [f64; N],
    rest: Rest<'_>,
    matrix: [[f64; N]; N],
    work: &mut Work,
) -> Option<[f64; N]> {
    let (law, straight) = (&rest.laws[0].1, rest.straight[0]);
    // What is left of the equations, and the slopes of the rest.
    let look = |x: &[f64; N]| {
        let (mut left, mut slopes) = ([0.0; N], [0.0; N]);
        let mut rests = [0.0; N];
        for k in 0..N {
            let (value, slope) = law.value_and_slope(x[k]);
            (rests[k], slopes[k]) = (value - straight * x[k], slope - straight);
        }
        for (row, left) in left.iter_mut().enumerate() {
            let shift: f64 = matrix[row].iter().zip(&rests).map(|(factor, rest)| factor * rest).sum();
            *left = x[row] - known[row] - shift;
        }
        (left, slopes)
    };
    let norm = |x: &[f64; N]| x.iter().map(|x| x * x).sum::<f64>();
    let largest = |x: &[f64; N]| x.iter().fold(0.0f64, |most, x| most.max(x.abs()));
    let mut x = guess;
    let (mut left, mut slopes) = look(&x);
    for _ in 0..MOST_ITERATIONS {
        work.iterations += 1;
        work.factorizations += 1;
        work.solves += 1;
        let mut jacobian = [[0.0; N]; N];
        for (row, jacobian) in jacobian.iter_mut().enumerate() {
            for (column, entry) in jacobian.iter_mut().enumerate() {
                *entry = f64::from(u8::from(row == column)) - matrix[row][column] * slopes[column];
            }
        }
        let update = solved(jacobian, left)?;
        let moved_by = |share: f64| std::array::from_fn(|k| x[k] - share * update[k]);
        let mut share = 1.0;
        let mut next: [f64; N] = moved_by(share);
        let size = largest(&x) + largest(&known);
        if largest(&update) <= CLOSE_BEFORE * size {
            // Full steps converge quadratically: after this one no more than the square is left.
            return Some(next);
        }
        let (mut left_next, mut slopes_next) = look(&next);
        while norm(&left_next) > norm(&left) && share > 1e-3 {
            share *= 0.5;
            next = moved_by(share);
            (left_next, slopes_next) = look(&next);
        }
        let moved = largest(&update) * share;
        (x, left, slopes) = (next, left_next, slopes_next);
        if !moved.is_finite() {
            return None;
        }
        if moved <= CLOSE * (largest(&x) + largest(&known)) + f64::MIN_POSITIVE {
            return Some(x);
        }
    }
    (largest(&left) <= 1e3 * CLOSE * (largest(&x) + largest(&known))).then_some(x)
}

/// Gauss's elimination with pivots.
fn solved<const N: usize>(mut matrix: [[f64; N]; N], mut right: [f64; N]) -> Option<[f64; N]> {
    for column in 0..N {
        let size = |row: &usize| matrix[*row][column].abs();
        let pivot = (column..N).max_by(|a, b| size(a).total_cmp(&size(b)))?;
        matrix.swap(column, pivot);
        right.swap(column, pivot);
        if matrix[column][column] == 0.0 {
            return None;
        }
        for row in column + 1..N {
            let factor = matrix[row][column] / matrix[column][column];
            let above = matrix[column];
            matrix[row].iter_mut().zip(above).for_each(|(entry, above)| *entry -= factor * above);
            right[row] -= factor * right[column];
        }
    }
    for row in (0..N).rev() {
        let known: f64 = (row + 1..N).map(|column| matrix[row][column] * right[column]).sum();
        right[row] = (right[row] - known) / matrix[row][row];
    }
    Some(right)
}

/// Newton's method on x - known - M F(x) = 0, with steps halved while the residual grows: F saturates, so full steps may
/// overshoot.
fn newton(
    known: &[f64],
    start: &mut [f64],
    rest: Rest<'_>,
    matrix: &DMatrix<f64>,
    work: &mut Work,
) -> Option<()> {
    let known = DVector::from_column_slice(known);
    let residual = |x: &DVector<f64>| x - &known - matrix * rest.value(x.as_slice());
    let mut x = DVector::from_column_slice(start);
    let mut left = residual(&x);
    for _ in 0..MOST_ITERATIONS {
        work.iterations += 1;
        work.factorizations += 1;
        work.solves += 1;
        let slope = rest.slope(x.as_slice());
        let mut jacobian = -matrix;
        for (mut column, slope) in jacobian.column_iter_mut().zip(slope.iter()) {
            column *= *slope;
        }
        for k in 0..x.len() {
            jacobian[(k, k)] += 1.0;
        }
        let update = jacobian.lu().solve(&left)?;
        let mut share = 1.0;
        let mut next = &x - &update;
        let mut left_next = residual(&next);
        while left_next.norm() > left.norm() && share > 1e-3 {
            share *= 0.5;
            next = &x - &update * share;
            left_next = residual(&next);
        }
        let moved = update.amax() * share;
        x = next;
        left = left_next;
        if !moved.is_finite() {
            return None;
        }
        if moved <= CLOSE * (x.amax() + known.amax()) + f64::MIN_POSITIVE {
            start.copy_from_slice(x.as_slice());
            return Some(());
        }
    }
    // Rounding may keep the last digit moving.
    start.copy_from_slice(x.as_slice());
    (left.amax() <= 1e3 * CLOSE * (x.amax() + known.amax())).then_some(())
}
