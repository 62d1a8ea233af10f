//! How far rounding can have moved a solution: a cheap estimate from factors that are there.
//!
//! The computed x solves a system whose entries are off by roundings, so that componentwise
//! |x - exact| <= eps |A^-1| (|A| |x| + |b|) (Skeel, J. ACM 26, 1979): unlike the norm of A times that of its inverse, this does not
//! care in which units rows are written, which in one matrix here are amperes, volts and webers. The norm of |A^-1| D with the
//! diagonal D = |A| |x| + |b| is that of the columns' sums of (A^-1 D)^T, which a few solves estimate from below (Hager, SIAM J.
//! Sci. Stat. Comput. 5, 1984; Higham, Accuracy and Stability of Numerical Algorithms, 2nd ed., algorithm 15.1 and section 7.1).

use super::{Factors, Matrix};

/// Rounds of the estimate; it is final after two or three nearly always (Higham, section 15.2).
const MOST_ROUNDS: usize = 5;

/// Estimate of the greatest error of any unknown of a solution, in the unit of the unknowns, for entries off by one rounding.
#[must_use]
pub fn error_of_solution(matrix: &Matrix<f64>, factors: &Factors<f64>, x: &[f64], right: &[f64]) -> f64 {
    let size = matrix.size();
    if size == 0 {
        return 0.0;
    }
    let mut sizes: Vec<f64> = right.iter().map(|value| value.abs()).collect();
    for (column, x) in x.iter().enumerate() {
        matrix.column(column).for_each(|(row, value)| sizes[row] += (value * x).abs());
    }
    let one_norm = one_norm(
        size,
        // (A^-1 D)^T = D A^-T, and its transpose A^-1 D.
        |vector| {
            factors.solve_transposed(vector);
            vector.iter_mut().zip(&sizes).for_each(|(value, size)| *value *= size);
        },
        |vector| {
            vector.iter_mut().zip(&sizes).for_each(|(value, size)| *value *= size);
            factors.solve(vector);
        },
    );
    f64::EPSILON * one_norm
}

/// Estimate of the one-norm of a matrix that is known by what it and its transpose do to vectors.
fn one_norm(size: usize, times: impl Fn(&mut [f64]), transposed_times: impl Fn(&mut [f64])) -> f64 {
    let sum = |vector: &[f64]| vector.iter().map(|value| value.abs()).sum::<f64>();
    let mut x = vec![1.0 / size as f64; size];
    let mut best = 0.0f64;
    for _ in 0..MOST_ROUNDS {
        let mut image = x.clone();
        times(&mut image);
        let norm = sum(&image);
        if norm <= best {
            break;
        }
        best = norm;
        let mut slopes: Vec<f64> = image.iter().map(|value| if *value < 0.0 { -1.0 } else { 1.0 }).collect();
        transposed_times(&mut slopes);
        let steepest = (0..size).max_by(|a, b| slopes[*a].abs().total_cmp(&slopes[*b].abs())).unwrap_or(0);
        let along: f64 = slopes.iter().zip(&x).map(|(slope, x)| slope * x).sum();
        if slopes[steepest].abs() <= along {
            break;
        }
        x = vec![0.0; size];
        x[steepest] = 1.0;
    }
    // A vector of rising size with alternating signs catches what cancels on the way (Higham, algorithm 15.1, last step).
    let rising = |k: usize| 1.0 + k as f64 / (size.max(2) - 1) as f64;
    let mut probe: Vec<f64> = (0..size).map(|k| if k % 2 == 0 { rising(k) } else { -rising(k) }).collect();
    times(&mut probe);
    best.max(2.0 * sum(&probe) / (3.0 * size as f64))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::linear::{Assembly, Stamp, minimum_degree};
    use nalgebra::DMatrix;

    /// |A^-1| (|A| |x| + |b|), by nalgebra's inverse.
    fn bound(dense: &DMatrix<f64>, x: &[f64], right: &[f64]) -> f64 {
        let inverse = dense.clone().try_inverse().expect("regular").abs();
        let sizes = dense.abs() * DMatrix::from_column_slice(x.len(), 1, x).abs()
            + DMatrix::from_column_slice(x.len(), 1, right).abs();
        f64::EPSILON * (inverse * sizes).max()
    }

    fn check(entries: &[(usize, usize, f64)], size: usize, right: &[f64]) -> (f64, f64) {
        let mut assembly = Assembly::new(size);
        let mut dense = DMatrix::zeros(size, size);
        for &(row, column, value) in entries {
            assembly.add(row, column, value);
            dense[(row, column)] += value;
        }
        let (matrix, _) = assembly.finish();
        let factors = Factors::new(matrix, &minimum_degree(matrix)).expect("regular");
        let mut x = right.to_vec();
        factors.solve(&mut x);
        (error_of_solution(matrix, &factors, &x, right), bound(&dense, &x, right))
    }

    /// The estimate is a lower bound, and within a factor of three of the truth (Higham, section 15.2); both up to the
    /// roundings of two inverses.
    #[test]
    fn estimates_the_bound_from_below() {
        let mut state = 7_u64;
        let mut number = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 53) as f64 - 0.5
        };
        for size in [1, 2, 5, 12, 30] {
            let mut entries = Vec::new();
            for row in 0..size {
                let unit = 10f64.powi((row % 7) as i32 - 3);
                for column in 0..size {
                    if row == column || (row + 2 * column) % 3 == 0 {
                        entries.push((row, column, unit * number()));
                    }
                }
            }
            let right: Vec<f64> = (0..size).map(|row| 10f64.powi((row % 7) as i32 - 3) * number()).collect();
            let (estimate, bound) = check(&entries, size, &right);
            assert!(estimate <= bound * 1.001 && estimate >= bound / 3.0, "{size}: {estimate} {bound}");
        }
    }

    /// Two nearly equal rows: the difference of the unknowns is known to a rounding divided by their difference.
    #[test]
    fn near_singular_rows_are_seen_and_units_are_not() {
        for unit in [1.0, 1e-4] {
            let entries = [(0, 0, 1.0), (0, 1, 1.0), (1, 0, unit * 1.0), (1, 1, unit * (1.0 + 1e-9))];
            let (estimate, _) = check(&entries, 2, &[1.0, unit]);
            assert!((1e-8..1e-6).contains(&estimate), "{unit}: {estimate}");
        }
        let (estimate, _) = check(&[(0, 0, 1e-12), (1, 1, 1e6)], 2, &[1e-12, 1e6]);
        assert!(estimate < 1e-14, "{estimate}");
    }
}
