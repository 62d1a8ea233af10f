//! Factors against what was chosen, and against dense ones of nalgebra.

use super::*;
use crate::linear::{Assembly, Stamp, minimum_degree};
use nalgebra::Complex;

/// A pseudo-random number in -1 .. 1 (Knuth's linear congruence), the same on every run.
struct Numbers(u64);
impl Numbers {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 52) as f64 - 1.0
    }
    fn below(&mut self, limit: usize) -> usize {
        ((0.5 + 0.5 * self.next()) * limit as f64) as usize % limit
    }
}

/// A ladder with random bridges, and every seventh diagonal entry missing, as a voltage source leaves it.
fn mesh<T: ComplexField<RealField = f64> + Copy>(
    size: usize,
    numbers: &mut Numbers,
    value: impl Fn(f64, f64) -> T,
) -> Assembly<T> {
    let mut assembly = Assembly::new(size);
    stamp_mesh(&mut assembly, size, numbers, value);
    assembly
}

fn stamp_mesh<T: ComplexField<RealField = f64> + Copy>(
    assembly: &mut Assembly<T>,
    size: usize,
    numbers: &mut Numbers,
    value: impl Fn(f64, f64) -> T,
) {
    let mut places = Numbers(7);
    let mut put =
        |row: usize, column: usize| assembly.add(row, column, value(numbers.next(), numbers.next()));
    for k in 0..size {
        if k % 7 != 3 {
            put(k, k);
            put(k, k);
        }
        if k > 0 {
            put(k, k - 1);
            put(k - 1, k);
        }
    }
    for _ in 0..size / 3 {
        let (a, b) = (places.below(size), places.below(size));
        put(a, b);
        put(b, a);
    }
}

/// Choose x, build b, recover x: the residual is rounding times the growth of the elimination.
fn recovers<T: ComplexField<RealField = f64> + Copy>(value: impl Fn(f64, f64) -> T + Copy) {
    for size in [1, 2, 3, 10, 60, 300] {
        let mut numbers = Numbers(size as u64);
        let mut assembly = mesh(size, &mut numbers, value);
        let (matrix, same) = assembly.finish();
        assert!(!same);
        let order = minimum_degree(matrix);
        let mut factors = Factors::new(matrix, &order).expect("regular");
        let check = |factors: &Factors<T>, matrix: &Matrix<T>, numbers: &mut Numbers| {
            let x: Vec<T> = (0..size).map(|_| value(numbers.next(), numbers.next())).collect();
            let right = matrix.times(&x);
            let mut found = right.clone();
            factors.solve(&mut found);
            let again = matrix.times(&found);
            let largest = matrix.values.iter().map(|v| v.modulus()).fold(0.0, f64::max);
            let most = found.iter().map(|v| v.modulus()).fold(0.0, f64::max);
            for (a, b) in again.iter().zip(&right) {
                // Backward error: a few roundings an operation, bounded growth by the threshold.
                assert!((*a - *b).modulus() < 1e-11 * largest * most, "size {size}");
            }
        };
        check(&factors, matrix, &mut numbers);
        assembly.clear();
        stamp_mesh(&mut assembly, size, &mut numbers, value);
        let (matrix, same) = assembly.finish();
        assert!(same, "the same stamps make the same pattern");
        if !factors.refactor(matrix) {
            factors = Factors::new(matrix, &order).expect("regular");
        }
        check(&factors, matrix, &mut numbers);
    }
}

#[test]
fn recovers_what_was_chosen() {
    recovers(|a, _| a);
    recovers(Complex::new);
}

#[test]
fn agrees_with_dense_factors() {
    let mut assembly = mesh(40, &mut Numbers(1), |a, _| a);
    let (matrix, _) = assembly.finish();
    let mut dense = nalgebra::DMatrix::zeros(40, 40);
    for column in 0..40 {
        matrix.column(column).for_each(|(row, value)| dense[(row, column)] += value);
    }
    let right: Vec<f64> = (0..40).map(f64::from).collect();
    let expected = dense.full_piv_lu().solve(&nalgebra::DVector::from_vec(right.clone())).expect("regular");
    let mut found = right;
    Factors::new(matrix, &minimum_degree(matrix)).expect("regular").solve(&mut found);
    for (a, b) in found.iter().zip(expected.iter()) {
        assert!((a - b).abs() < 1e-10 * expected.amax(), "{a} {b}");
    }
}

/// To the last bit: side by side the same is done as one by one. One right side has hardly an entry, one has none.
#[test]
fn right_sides_abreast_are_solved_like_each() {
    for size in [1, 3, 10, 60] {
        for count in [0, 1, 4, 7, 9] {
            let mut numbers = Numbers(size as u64);
            let mut assembly = mesh(size, &mut numbers, |a, _| a);
            let (matrix, _) = assembly.finish();
            let factors = Factors::new(matrix, &minimum_degree(matrix)).expect("regular");
            let mut rights: Vec<f64> = (0..size * count).map(|_| numbers.next()).collect();
            for (index, right) in rights.chunks_exact_mut(size).enumerate().skip(1).take(2) {
                right.fill(0.0);
                right[size / 2] = 2.0 - index as f64;
            }
            let mut one_by_one = rights.clone();
            one_by_one.chunks_exact_mut(size).for_each(|right| factors.solve(right));
            factors.solve_all(&mut rights);
            assert_eq!(rights, one_by_one, "{size} {count}");
        }
    }
}

#[test]
fn transposed_systems_are_solved_with_the_same_factors() {
    let mut assembly = mesh(40, &mut Numbers(3), |a, _| a);
    let (matrix, _) = assembly.finish();
    let mut dense = nalgebra::DMatrix::zeros(40, 40);
    for column in 0..40 {
        matrix.column(column).for_each(|(row, value)| dense[(row, column)] += value);
    }
    let right: Vec<f64> = (0..40).map(f64::from).collect();
    let transposed = dense.transpose().full_piv_lu();
    let expected = transposed.solve(&nalgebra::DVector::from_vec(right.clone())).expect("regular");
    let mut found = right;
    Factors::new(matrix, &minimum_degree(matrix)).expect("regular").solve_transposed(&mut found);
    for (a, b) in found.iter().zip(expected.iter()) {
        assert!((a - b).abs() < 1e-10 * expected.amax(), "{a} {b}");
    }
}

#[test]
fn singular_columns_are_named() {
    let mut assembly = Assembly::new(3);
    for (row, column, value) in [(0, 0, 1.0), (1, 1, 2.0), (1, 2, 2.0), (2, 1, 1.0), (2, 2, 1.0)] {
        assembly.add(row, column, value);
    }
    let (matrix, _) = assembly.finish();
    let failure = Factors::new(matrix, &[0, 1, 2]).expect_err("columns 1 and 2 are the same");
    assert_eq!(failure, Singular { column: 2 });
}

/// A chain eliminated by minimum degree fills nothing in.
#[test]
fn chains_do_not_fill() {
    let size = 1000;
    let mut assembly = Assembly::new(size);
    for k in 0..size {
        assembly.add(k, k, 4.0);
        if k > 0 {
            assembly.add(k, k - 1, -1.0);
            assembly.add(k - 1, k, -1.0);
        }
    }
    let (matrix, _) = assembly.finish();
    let factors = Factors::new(matrix, &minimum_degree(matrix)).expect("regular");
    assert_eq!(factors.entries(), matrix.values.len());
}

/// Of a full matrix no list of operations is made, which would grow with the cube of its size: it is factored anew.
#[test]
fn full_matrices_are_not_listed() {
    let full = |size: usize| {
        let mut numbers = Numbers(5);
        let mut assembly = Assembly::new(size);
        for row in 0..size {
            for column in 0..size {
                assembly.add(row, column, numbers.next());
            }
        }
        assembly.finish().0.clone()
    };
    for (size, listed) in [(50, true), (240, false)] {
        let matrix = full(size);
        let mut factors = Factors::new(&matrix, &minimum_degree(&matrix)).expect("regular");
        assert_eq!(factors.products(), (size - 1) * size * (2 * size - 1) / 6);
        assert_eq!(factors.refactor(&matrix), listed);
        let x: Vec<f64> = (0..size).map(|k| k as f64).collect();
        let mut found = matrix.times(&x);
        factors.solve(&mut found);
        for (found, expected) in found.iter().zip(&x) {
            assert!((found - expected).abs() < 1e-8 * size as f64, "{found} {expected}");
        }
    }
}
