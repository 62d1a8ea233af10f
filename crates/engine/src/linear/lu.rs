//! Sparse LU factors: left-looking with threshold pivoting, then refactored with the same pivots.
//!
//! Each column is a sparse triangular solve whose pattern is found by depth-first search (Gilbert and Peierls, SIAM J. Sci. Stat.
//! Comput. 9, 1988), so that the work is in proportion to the operations on nonzeros.

use super::Matrix;
use nalgebra::ComplexField;

/// The diagonal entry stays pivot while it is at least this fraction of the largest candidate: sparsity before size, with growth
/// bounded (Duff, Erisman and Reid, Direct Methods for Sparse Matrices, ch. 5: 0.1).
const THRESHOLD: f64 = 0.1;
/// A pivot below this fraction of its column is no pivot: what is left of the column is rounding.
const SMALLEST_PIVOT: f64 = 1e-14;
/// A refactored pivot below this fraction of its column wants a fresh choice of pivots.
const STALE_PIVOT: f64 = 1e-6;

/// The matrix is singular: a column that depends on those eliminated before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Singular {
    /// The column, as numbered in the matrix.
    pub column: usize,
}

/// P A Q = L U, with what is needed to do it again for other values.
#[derive(Clone, Debug)]
pub struct Factors<T> {
    /// Column of the matrix that is eliminated at each step.
    order: Vec<usize>,
    /// Row of the matrix that is pivot at each step.
    pivot_rows: Vec<usize>,
    /// Step at which each row of the matrix is pivot.
    steps: Vec<usize>,
    /// Columns of L without the unit diagonal; rows are steps.
    lower: Columns<T>,
    /// Columns of U without the diagonal, in the order in which they have to be subtracted; rows are steps.
    upper: Columns<T>,
    /// One over each pivot.
    inverses: Vec<T>,
    /// The least pivot as a fraction of its column.
    weakest: f64,
    work: Vec<T>,
}

#[derive(Clone, Debug)]
struct Columns<T> {
    starts: Vec<usize>,
    rows: Vec<usize>,
    values: Vec<T>,
}

impl<T> Columns<T> {
    fn new() -> Self {
        Self { starts: vec![0], rows: Vec::new(), values: Vec::new() }
    }

    fn range(&self, column: usize) -> std::ops::Range<usize> {
        self.starts[column]..self.starts[column + 1]
    }

    fn close(&mut self) {
        self.starts.push(self.rows.len());
    }
}

const NOT_YET: usize = usize::MAX;

impl<T: ComplexField<RealField = f64> + Copy> Factors<T> {
    /// Factors a matrix, its columns in the given order.
    ///
    /// # Errors
    /// [`Singular`], also where what is left of a column is rounding.
    pub fn new(matrix: &Matrix<T>, order: &[usize]) -> Result<Self, Singular> {
        let size = matrix.size();
        let mut factors = Self {
            order: order.to_vec(),
            pivot_rows: Vec::with_capacity(size),
            steps: vec![NOT_YET; size],
            lower: Columns::new(),
            upper: Columns::new(),
            inverses: Vec::with_capacity(size),
            weakest: f64::INFINITY,
            work: vec![T::zero(); size],
        };
        let mut search = Search { seen: vec![NOT_YET; size], found: Vec::new(), path: Vec::new() };
        for step in 0..size {
            factors.eliminate(matrix, step, &mut search)?;
        }
        // Rows of L become steps, now that every row has one.
        for row in &mut factors.lower.rows {
            *row = factors.steps[*row];
        }
        Ok(factors)
    }

    fn eliminate(&mut self, matrix: &Matrix<T>, step: usize, search: &mut Search) -> Result<(), Singular> {
        let column = self.order[step];
        search.reach(matrix, column, step, &self.steps, &self.lower);
        let mut size: f64 = 0.0;
        for (row, value) in matrix.column(column) {
            self.work[row] = value;
            size = size.max(value.norm1());
        }
        // `found` ends with what has to be subtracted first.
        for &row in search.found.iter().rev() {
            let pivot_step = self.steps[row];
            if pivot_step == NOT_YET {
                continue;
            }
            let factor = self.work[row];
            self.upper.rows.push(pivot_step);
            self.upper.values.push(factor);
            for entry in self.lower.range(pivot_step) {
                self.work[self.lower.rows[entry]] -= self.lower.values[entry] * factor;
            }
        }
        self.upper.close();
        let pivot_row = self.choose_pivot(column, size, search);
        let Some(pivot_row) = pivot_row else {
            return Err(Singular { column });
        };
        let pivot = self.work[pivot_row];
        let inverse = T::one() / pivot;
        let mut largest = pivot.norm1();
        for &row in &search.found {
            if self.steps[row] == NOT_YET && row != pivot_row {
                largest = largest.max(self.work[row].norm1());
                self.lower.rows.push(row);
                // A quotient of equals is 1 to the last bit, their product with an inverse is not: of a nanoohm between two nodes that
                // would leave what a load draws there.
                self.lower.values.push(self.work[row] / pivot);
            }
            self.work[row] = T::zero();
        }
        self.weakest = self.weakest.min(pivot.norm1() / largest);
        self.lower.close();
        self.steps[pivot_row] = step;
        self.pivot_rows.push(pivot_row);
        self.inverses.push(inverse);
        Ok(())
    }

    fn choose_pivot(&self, diagonal: usize, size: f64, search: &Search) -> Option<usize> {
        let free = search.found.iter().copied().filter(|row| self.steps[*row] == NOT_YET);
        let largest = free.max_by(|a, b| self.work[*a].norm1().total_cmp(&self.work[*b].norm1()))?;
        let most = self.work[largest].norm1();
        if most.is_nan() || most <= SMALLEST_PIVOT * size {
            return None;
        }
        let kept = self.steps[diagonal] == NOT_YET && self.work[diagonal].norm1() >= THRESHOLD * most;
        Some(if kept { diagonal } else { largest })
    }

    /// Factors a matrix of the same pattern with the same pivots; false where a pivot became too small for that.
    pub fn refactor(&mut self, matrix: &Matrix<T>) -> bool {
        self.weakest = f64::INFINITY;
        for step in 0..self.order.len() {
            for (row, value) in matrix.column(self.order[step]) {
                self.work[self.steps[row]] = value;
            }
            for entry in self.upper.range(step) {
                let row = self.upper.rows[entry];
                let factor = self.work[row];
                self.work[row] = T::zero();
                self.upper.values[entry] = factor;
                for below in self.lower.range(row) {
                    self.work[self.lower.rows[below]] -= self.lower.values[below] * factor;
                }
            }
            let pivot = self.work[step];
            self.work[step] = T::zero();
            let inverse = T::one() / pivot;
            self.inverses[step] = inverse;
            let size = pivot.norm1();
            let mut largest = size;
            for entry in self.lower.range(step) {
                let row = self.lower.rows[entry];
                largest = largest.max(self.work[row].norm1());
                self.lower.values[entry] = self.work[row] / pivot;
                self.work[row] = T::zero();
            }
            if largest.is_nan() || size < STALE_PIVOT * largest || largest == 0.0 {
                self.work.fill(T::zero());
                return false;
            }
            self.weakest = self.weakest.min(size / largest);
        }
        true
    }

    /// The least pivot as a fraction of its column: its inverse tells how many times rounding may have grown in one step of elimination.
    #[must_use]
    pub fn weakest_pivot(&self) -> f64 {
        self.weakest
    }

    /// Solves A x = b in place.
    pub fn solve(&self, right: &mut [T]) {
        self.solve_with(right, &mut Vec::new());
    }

    /// The same with room that can be used again.
    pub fn solve_with(&self, right: &mut [T], x: &mut Vec<T>) {
        let size = self.order.len();
        x.clear();
        x.extend(self.pivot_rows.iter().map(|row| right[*row]));
        for step in 0..size {
            let value = x[step];
            for entry in self.lower.range(step) {
                x[self.lower.rows[entry]] -= self.lower.values[entry] * value;
            }
        }
        for step in (0..size).rev() {
            let value = x[step] * self.inverses[step];
            x[step] = value;
            for entry in self.upper.range(step) {
                x[self.upper.rows[entry]] -= self.upper.values[entry] * value;
            }
        }
        for (step, value) in x.iter().enumerate() {
            right[self.order[step]] = *value;
        }
    }

    /// Solves A^T x = b in place (transposed, not conjugated).
    pub fn solve_transposed(&self, right: &mut [T]) {
        let size = self.order.len();
        let mut x: Vec<T> = self.order.iter().map(|column| right[*column]).collect();
        for step in 0..size {
            let mut value = x[step];
            for entry in self.upper.range(step) {
                value -= self.upper.values[entry] * x[self.upper.rows[entry]];
            }
            x[step] = value * self.inverses[step];
        }
        for step in (0..size).rev() {
            let mut value = x[step];
            for entry in self.lower.range(step) {
                value -= self.lower.values[entry] * x[self.lower.rows[entry]];
            }
            x[step] = value;
        }
        for (step, value) in x.into_iter().enumerate() {
            right[self.pivot_rows[step]] = value;
        }
    }

    /// Entries of both factors, the diagonal included.
    #[must_use]
    pub fn entries(&self) -> usize {
        self.lower.rows.len() + self.upper.rows.len() + self.inverses.len()
    }
}

/// Depth-first search for the rows that a column reaches through L.
struct Search {
    /// Last step that saw each row.
    seen: Vec<usize>,
    /// Rows reached, those that depend on others before them.
    found: Vec<usize>,
    /// Rows on the way, each with the next entry of its column of L to look at.
    path: Vec<(usize, usize)>,
}

impl Search {
    fn reach<T: ComplexField<RealField = f64> + Copy>(
        &mut self,
        matrix: &Matrix<T>,
        column: usize,
        step: usize,
        steps: &[usize],
        lower: &Columns<T>,
    ) {
        self.found.clear();
        for entry in matrix.starts[column]..matrix.starts[column + 1] {
            let row = matrix.rows[entry];
            if self.seen[row] == step {
                continue;
            }
            self.seen[row] = step;
            self.path.push((row, first(row, steps, lower)));
            while let Some((row, next)) = self.path.pop() {
                let end = if steps[row] == NOT_YET { next } else { lower.starts[steps[row] + 1] };
                if next == end {
                    self.found.push(row);
                    continue;
                }
                self.path.push((row, next + 1));
                let below = lower.rows[next];
                if self.seen[below] != step {
                    self.seen[below] = step;
                    self.path.push((below, first(below, steps, lower)));
                }
            }
        }
    }
}

/// Where the column of L that belongs to a row starts.
fn first<T>(row: usize, steps: &[usize], lower: &Columns<T>) -> usize {
    if steps[row] == NOT_YET { 0 } else { lower.starts[steps[row]] }
}

#[cfg(test)]
mod tests {
    use super::super::{Assembly, Stamp, minimum_degree};
    use super::*;
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
        let expected =
            dense.full_piv_lu().solve(&nalgebra::DVector::from_vec(right.clone())).expect("regular");
        let mut found = right;
        Factors::new(matrix, &minimum_degree(matrix)).expect("regular").solve(&mut found);
        for (a, b) in found.iter().zip(expected.iter()) {
            assert!((a - b).abs() < 1e-10 * expected.amax(), "{a} {b}");
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
}
