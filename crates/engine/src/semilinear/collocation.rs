//! One step of exponential collocation: the bent rest at the middle and the end of the step.

use super::laws::Law;
use crate::exact::Propagator;
use crate::integrator::Work;
use nalgebra::{DMatrix, DVector};

/// Newton iterations after which a shorter step is tried.
const MOST_ITERATIONS: usize = 30;
/// Newton stops at this fraction of the currents and voltages themselves.
const CLOSE: f64 = 1e-13;

/// How the rest's values at the start, middle and end of a step of length h move xi up to a quarter, the middle and
/// the end: integrals of e^(A (T - t)) A N times the parabolas that are 1 at one of the three times and 0 at the others.
pub(super) struct Weights {
    pub(super) quarter: [DMatrix<f64>; 3],
    pub(super) middle: [DMatrix<f64>; 3],
    pub(super) end: [DMatrix<f64>; 3],
    /// The same seen at the ports.
    port_quarter: [DMatrix<f64>; 3],
    port_middle: [DMatrix<f64>; 3],
    port_end: [DMatrix<f64>; 3],
    /// What a rest that is off by a constant over the step does to xi at its end.
    pub(super) constant: DMatrix<f64>,
}

impl Weights {
    pub(super) fn new(
        propagator: &Propagator,
        level: usize,
        drive: &DMatrix<f64>,
        ports: &DMatrix<f64>,
    ) -> Self {
        let step = propagator.levels[level].step;
        let parabolas = |level: usize| {
            let [constant, growing, bending] = propagator.levels[level].moments(drive);
            // With s = t / h: 1 - 3 s + 2 s^2, 4 s - 4 s^2, 2 s^2 - s; `bending` belongs to t^2 / 2.
            let (first, second) = (1.0 / step, 4.0 / (step * step));
            [
                &constant - &growing * (3.0 * first) + &bending * second,
                &growing * (4.0 * first) - &bending * (2.0 * second),
                &bending * second - &growing * first,
            ]
        };
        let (quarter, middle, end) = (parabolas(level + 2), parabolas(level + 1), parabolas(level));
        let seen = |weights: &[DMatrix<f64>; 3]| weights.each_ref().map(|weight| ports * weight);
        Self {
            port_quarter: seen(&quarter),
            port_middle: seen(&middle),
            port_end: seen(&end),
            quarter,
            middle,
            end,
            constant: propagator.levels[level].moments(drive)[0].clone(),
        }
    }
}

/// What the laws leave beside their straight parts.
#[derive(Clone, Copy)]
pub(super) struct Rest<'a> {
    pub(super) laws: &'a [(crate::snapshot::Bent, Law)],
    pub(super) straight: &'a [f64],
}

impl Rest<'_> {
    pub(super) fn value(&self, x: &DVector<f64>) -> DVector<f64> {
        let parts = self.laws.iter().zip(self.straight).zip(x.iter());
        DVector::from_iterator(x.len(), parts.map(|(((_, law), straight), x)| law.value(*x) - straight * x))
    }

    pub(super) fn slope(&self, x: &DVector<f64>) -> DVector<f64> {
        let parts = self.laws.iter().zip(self.straight).zip(x.iter());
        DVector::from_iterator(x.len(), parts.map(|(((_, law), straight), x)| law.slope(*x) - straight))
    }
}

/// Newton's method as in [`newton`] for one bent element at N times, without allocating.
fn newton_of_one<const N: usize>(
    known: [f64; N],
    guess: [f64; N],
    rest: Rest<'_>,
    matrix: [[f64; N]; N],
    work: &mut Work,
) -> Option<[f64; N]> {
    let (law, straight) = (&rest.laws[0].1, rest.straight[0]);
    let residual = |x: &[f64; N]| {
        let rests = x.map(|x| law.value(x) - straight * x);
        let mut left = [0.0; N];
        for (row, left) in left.iter_mut().enumerate() {
            let shift: f64 = matrix[row].iter().zip(&rests).map(|(factor, rest)| factor * rest).sum();
            *left = x[row] - known[row] - shift;
        }
        left
    };
    let norm = |x: &[f64; N]| x.iter().map(|x| x * x).sum::<f64>().sqrt();
    let largest = |x: &[f64; N]| x.iter().fold(0.0f64, |most, x| most.max(x.abs()));
    let mut x = guess;
    let mut left = residual(&x);
    for _ in 0..MOST_ITERATIONS {
        work.iterations += 1;
        work.factorizations += 1;
        work.solves += 1;
        let slopes = x.map(|x| law.slope(x) - straight);
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
        let mut left_next = residual(&next);
        while norm(&left_next) > norm(&left) && share > 1e-3 {
            share *= 0.5;
            next = moved_by(share);
            left_next = residual(&next);
        }
        let moved = largest(&update) * share;
        (x, left) = (next, left_next);
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

/// Solves x = known + shift F(x): the port currents that go with a state xi.
pub(super) fn at_instant(
    rest: Rest<'_>,
    shift: &DMatrix<f64>,
    known: &DVector<f64>,
    guess: &DVector<f64>,
    work: &mut Work,
) -> Option<DVector<f64>> {
    if let ([known], [guess]) = (known.as_slice(), guess.as_slice()) {
        let [x] = newton_of_one([*known], [*guess], rest, [[shift[(0, 0)]]], work)?;
        return Some(DVector::from_element(1, x));
    }
    newton(known, guess, rest, shift, work)
}

/// Port currents at the middle and the end of a step: `straight_middle` and `straight_end` are what they were without the rest
/// of the law at those two times.
pub(super) fn over_step(
    rest: Rest<'_>,
    shift: &DMatrix<f64>,
    weights: &Weights,
    start: &DVector<f64>,
    straight_middle: &DVector<f64>,
    straight_end: &DVector<f64>,
    work: &mut Work,
) -> Option<(DVector<f64>, DVector<f64>)> {
    let count = start.len();
    let first = rest.value(start);
    if count == 1 {
        let at = |matrix: &DMatrix<f64>| matrix[(0, 0)];
        let (middle, end) = (weights.port_middle.each_ref().map(at), weights.port_end.each_ref().map(at));
        let shift = at(shift);
        let known = [straight_middle[0] + middle[0] * first[0], straight_end[0] + end[0] * first[0]];
        let matrix = [[middle[1] + shift, middle[2]], [end[1], end[2] + shift]];
        // As if the rest stood still.
        let guess = std::array::from_fn(|k| known[k] + (matrix[k][0] + matrix[k][1]) * first[0]);
        let [x_middle, x_end] = newton_of_one(known, guess, rest, matrix, work)?;
        return Some((DVector::from_element(1, x_middle), DVector::from_element(1, x_end)));
    }
    let mut known = DVector::zeros(2 * count);
    known.rows_mut(0, count).copy_from(&(straight_middle + &weights.port_middle[0] * &first));
    known.rows_mut(count, count).copy_from(&(straight_end + &weights.port_end[0] * &first));
    let mut matrix = DMatrix::zeros(2 * count, 2 * count);
    let mut put = |row: usize, column: usize, block: &DMatrix<f64>| {
        matrix.view_mut((row * count, column * count), (count, count)).copy_from(block);
    };
    put(0, 0, &(&weights.port_middle[1] + shift));
    put(0, 1, &weights.port_middle[2]);
    put(1, 0, &weights.port_end[1]);
    put(1, 1, &(&weights.port_end[2] + shift));
    let mut guess = DVector::zeros(2 * count);
    guess.rows_mut(0, count).copy_from(start);
    guess.rows_mut(count, count).copy_from(start);
    let laws: Vec<_> = rest.laws.iter().chain(rest.laws).cloned().collect();
    let straight: Vec<f64> = rest.straight.iter().chain(rest.straight).copied().collect();
    let both = Rest { laws: &laws, straight: &straight };
    let found = newton(&known, &guess, both, &matrix, work)?;
    Some((found.rows(0, count).into_owned(), found.rows(count, count).into_owned()))
}

/// Port currents a quarter into the step, and how far the rest there is from the parabola.
pub(super) fn at_quarter(
    rest: Rest<'_>,
    shift: &DMatrix<f64>,
    weights: &Weights,
    values: [&DVector<f64>; 3],
    straight_quarter: &DVector<f64>,
    guess: &DVector<f64>,
    work: &mut Work,
) -> Option<(DVector<f64>, DVector<f64>)> {
    let known = straight_quarter
        + &weights.port_quarter[0] * values[0]
        + &weights.port_quarter[1] * values[1]
        + &weights.port_quarter[2] * values[2];
    let x = at_instant(rest, shift, &known, guess, work)?;
    let parabola = values[0] * 0.375 + values[1] * 0.75 - values[2] * 0.125;
    let defect = rest.value(&x) - parabola;
    Some((x, defect))
}

/// Newton's method on x - known - M F(x) = 0, with steps halved while the residual grows: F saturates, so full steps may
/// overshoot.
fn newton(
    known: &DVector<f64>,
    guess: &DVector<f64>,
    rest: Rest<'_>,
    matrix: &DMatrix<f64>,
    work: &mut Work,
) -> Option<DVector<f64>> {
    let residual = |x: &DVector<f64>| x - known - matrix * rest.value(x);
    let mut x = guess.clone();
    let mut left = residual(&x);
    for _ in 0..MOST_ITERATIONS {
        work.iterations += 1;
        work.factorizations += 1;
        work.solves += 1;
        let slope = rest.slope(&x);
        let mut jacobian = -matrix;
        for (mut column, slope) in jacobian.column_iter_mut().zip(slope.iter()) {
            column *= *slope;
        }
        for k in 0..x.len() {
            jacobian[(k, k)] += 1.0;
        }
        let update = if x.len() == 1 {
            DVector::from_element(1, left[0] / jacobian[(0, 0)])
        } else {
            jacobian.lu().solve(&left)?
        };
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
            return Some(x);
        }
    }
    // Rounding may keep the last digit moving.
    (left.amax() <= 1e3 * CLOSE * (x.amax() + known.amax())).then_some(x)
}
