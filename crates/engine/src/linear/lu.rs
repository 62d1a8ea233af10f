//! Sparse LU factors: left-looking with threshold pivoting, then refactored with the same pivots.
//!
//! Each column is a sparse triangular solve whose pattern is found by depth-first search (Gilbert and Peierls, SIAM J. Sci. Stat.
//! Comput. 9, 1988), so that the work is in proportion to the operations on nonzeros.

mod columns;
mod reach;
#[cfg(test)]
mod tests;

use super::plan::{Entries, Plan};
use super::{Matrix, Number};
pub(super) use columns::Columns;
use nalgebra::ComplexField;
use reach::Search;

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
    order: Vec<u32>,
    /// Row of the matrix that is pivot at each step.
    pivot_rows: Vec<u32>,
    plan: Plan,
    values: Entries<T>,
    /// The greatest quotient in L.
    greatest: f64,
    /// The least part that elimination left of a column, when pivots were chosen.
    least_left: f64,
}

const NOT_YET: u32 = u32::MAX;

impl<T: ComplexField<RealField = f64> + Copy> Factors<T> {
    /// Factors a matrix, its columns in the given order.
    ///
    /// # Errors
    /// [`Singular`], also where what is left of a column is rounding.
    pub fn new(matrix: &Matrix<T>, order: &[u32]) -> Result<Self, Singular> {
        let size = matrix.size();
        let mut elimination = Elimination::new(size);
        for step in 0..size as u32 {
            elimination.eliminate(matrix, order[step as usize] as usize, step)?;
        }
        let Elimination { steps, pivot_rows, mut lower, upper, inverses, greatest, least_left, .. } =
            elimination;
        // Rows of L become steps, now that every row has one.
        for row in &mut lower.rows {
            *row = steps[*row as usize];
        }
        let (plan, values) = Plan::new(&lower, &upper, &inverses);
        Ok(Self { order: order.to_vec(), pivot_rows, plan, values, greatest, least_left })
    }

    /// Factors a matrix of the same pattern with the same pivots; false where a pivot became too small for that, or a matrix is so full that
    /// nothing is gained.
    pub fn refactor(&mut self, matrix: &Matrix<T>) -> bool {
        if !self.plan.list(matrix, &self.order, &self.pivot_rows) {
            return false;
        }
        self.greatest = self.plan.factor(&mut self.values, &matrix.values);
        self.greatest <= 1.0 / STALE_PIVOT
    }

    /// The least pivot as a fraction of its column: its inverse tells how many times rounding may have grown in one step of elimination.
    #[must_use]
    pub fn weakest_pivot(&self) -> f64 {
        1.0 / self.greatest.max(1.0)
    }

    /// The least pivot as a fraction of the greatest entry that its column had before elimination, when pivots were chosen: so much was left by
    /// subtractions, and as many digits.
    #[must_use]
    pub fn least_left(&self) -> f64 {
        self.least_left
    }

    /// The pattern of the factors, and which column and which row each step eliminates.
    pub(super) fn pattern(&self) -> (&Plan, &[u32], &[u32]) {
        (&self.plan, &self.order, &self.pivot_rows)
    }

    /// Solves A x = b in place.
    pub fn solve(&self, right: &mut [T]) {
        self.solve_with(right, &mut Vec::new());
    }

    /// The same with room that can be used again.
    pub fn solve_with(&self, right: &mut [T], room: &mut Vec<T>) {
        room.clear();
        room.extend(self.pivot_rows.iter().map(|row| right[*row as usize]));
        self.plan.solve(&self.values, room);
        for (column, value) in self.order.iter().zip(room) {
            right[*column as usize] = *value;
        }
    }

    /// Solves A x = b in place for right sides one after the other.
    pub fn solve_all(&self, rights: &mut [T]) {
        const ABREAST: usize = 4;
        let size = self.pivot_rows.len();
        if size == 0 {
            return;
        }
        let mut room = vec![[T::zero(); ABREAST]; size];
        for some in rights.chunks_mut(ABREAST * size) {
            for (place, right) in some.chunks_exact(size).enumerate() {
                let rows = self.pivot_rows.iter().zip(&mut room);
                rows.for_each(|(row, room)| room[place] = right[*row as usize]);
            }
            self.plan.solve_abreast(&self.values, &mut room);
            for (place, right) in some.chunks_exact_mut(size).enumerate() {
                let columns = self.order.iter().zip(&room);
                columns.for_each(|(column, room)| right[*column as usize] = room[place]);
            }
        }
    }

    /// Solves A^T x = b in place (transposed, not conjugated).
    pub fn solve_transposed(&self, right: &mut [T]) {
        let mut x: Vec<T> = self.order.iter().map(|column| right[*column as usize]).collect();
        self.plan.solve_transposed(&self.values, &mut x);
        for (row, value) in self.pivot_rows.iter().zip(x) {
            right[*row as usize] = value;
        }
    }

    /// Entries of both factors, the diagonal included.
    #[must_use]
    pub fn entries(&self) -> usize {
        self.plan.entries()
    }

    /// Whether a list of what elimination does is worth its memory.
    pub(crate) fn can_be_listed(&self) -> bool {
        self.plan.can_be_listed()
    }

    /// Products that a refactorization subtracts.
    #[must_use]
    pub fn products(&self) -> usize {
        self.plan.products()
    }
}

/// Factors on the way.
struct Elimination<T> {
    /// Step at which each row is pivot.
    steps: Vec<u32>,
    pivot_rows: Vec<u32>,
    /// Columns of L without the unit diagonal; rows are those of the matrix.
    lower: Columns<T>,
    /// Columns of U without the diagonal; rows are steps.
    upper: Columns<T>,
    /// One over each pivot.
    inverses: Vec<T>,
    greatest: f64,
    least_left: f64,
    work: Vec<T>,
    search: Search,
}

impl<T: ComplexField<RealField = f64> + Copy> Elimination<T> {
    fn new(size: usize) -> Self {
        Self {
            steps: vec![NOT_YET; size],
            pivot_rows: Vec::with_capacity(size),
            lower: Columns::with_capacity(size),
            upper: Columns::with_capacity(size),
            inverses: Vec::with_capacity(size),
            greatest: 0.0,
            least_left: 1.0,
            work: vec![T::zero(); size],
            search: Search::new(size),
        }
    }

    fn eliminate(&mut self, matrix: &Matrix<T>, column: usize, step: u32) -> Result<(), Singular> {
        self.search.reach(&matrix.rows[matrix.range(column)], step, &self.steps, &self.lower);
        let mut size: f64 = 0.0;
        for (row, value) in matrix.column(column) {
            self.work[row] = value;
            size = size.max(value.norm1());
        }
        // `found` ends with what has to be subtracted first.
        for &row in self.search.found.iter().rev() {
            let pivot_step = self.steps[row as usize];
            if pivot_step == NOT_YET {
                continue;
            }
            let factor = self.work[row as usize];
            self.upper.push(pivot_step, factor);
            for (below, value) in self.lower.column(pivot_step as usize) {
                self.work[below] -= value * factor;
            }
        }
        self.upper.close();
        let pivot_row = self.choose_pivot(column, size);
        let Some(pivot_row) = pivot_row else {
            return Err(Singular { column });
        };
        let pivot = self.work[pivot_row as usize];
        self.least_left = self.least_left.min(pivot.norm1() / size);
        for &row in &self.search.found {
            let value = std::mem::replace(&mut self.work[row as usize], T::zero());
            if self.steps[row as usize] == NOT_YET && row != pivot_row {
                let quotient = value.over(pivot);
                quotient.note(&mut self.greatest);
                self.lower.push(row, quotient);
            }
        }
        self.lower.close();
        self.steps[pivot_row as usize] = step;
        self.pivot_rows.push(pivot_row);
        self.inverses.push(pivot.inverse());
        Ok(())
    }

    fn choose_pivot(&self, diagonal: usize, size: f64) -> Option<u32> {
        let sized = |row: u32| self.work[row as usize].norm1();
        let free = self.search.found.iter().copied().filter(|row| self.steps[*row as usize] == NOT_YET);
        let largest = free.max_by(|a, b| sized(*a).total_cmp(&sized(*b)))?;
        let most = sized(largest);
        if most.is_nan() || most <= SMALLEST_PIVOT * size {
            return None;
        }
        let kept = self.steps[diagonal] == NOT_YET && sized(diagonal as u32) >= THRESHOLD * most;
        Some(if kept { diagonal as u32 } else { largest })
    }
}
