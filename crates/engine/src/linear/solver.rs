//! A linear system that is stamped, factored and solved again and again.

use super::{Assembly, Factors, Singular, error_of_solution, minimum_degree};
use nalgebra::{ComplexField, DMatrix};

/// Systems up to this size are looked at as a whole when they are singular; larger ones name one column.
const WHOLE: usize = 400;
/// Unknowns that move by this fraction of the one that moves most count as free.
const MOVED: f64 = 0.3;

/// The ladder from cheap to dear: refactor with kept pivots, factor with fresh pivots, analyse a new pattern.
#[derive(Clone, Debug)]
pub struct Solver<T> {
    assembly: Assembly<T>,
    order: Vec<u32>,
    factors: Option<Factors<T>>,
}

impl<T: ComplexField<RealField = f64> + Copy> Solver<T> {
    /// A system of `size` equations.
    #[must_use]
    pub fn new(size: usize) -> Self {
        Self { assembly: Assembly::new(size), order: Vec::new(), factors: None }
    }

    /// An empty matrix to stamp into; [`Self::factor`] takes it up.
    pub fn stamps(&mut self) -> &mut Assembly<T> {
        self.assembly.clear();
        &mut self.assembly
    }

    /// Factors what was stamped.
    ///
    /// # Errors
    /// [`Singular`]; the next round starts afresh.
    pub fn factor(&mut self) -> Result<(), Singular> {
        let (matrix, same_pattern) = self.assembly.finish();
        if same_pattern && let Some(factors) = &mut self.factors {
            if factors.refactor(matrix) {
                return Ok(());
            }
        } else if !same_pattern || self.order.len() != matrix.size() {
            self.order = minimum_degree(matrix);
        }
        self.factors = None;
        self.factors = Some(Factors::new(matrix, &self.order)?);
        Ok(())
    }

    /// Number of equations.
    #[must_use]
    pub fn size(&self) -> usize {
        self.assembly.size()
    }

    /// Keeps the pattern and the order of elimination alone.
    pub fn forget_values(&mut self) {
        self.factors = None;
    }

    /// Whether there are factors to solve with.
    #[must_use]
    pub fn is_factored(&self) -> bool {
        self.factors.is_some()
    }

    /// What [`Factors::least_left`] tells; 0 before [`Self::factor`] succeeded.
    #[must_use]
    pub fn least_left(&self) -> f64 {
        self.factors.as_ref().map_or(0.0, Factors::least_left)
    }

    /// Solves A x = b in place; does nothing before [`Self::factor`] succeeded.
    pub fn solve(&self, right: &mut [T]) {
        if let Some(factors) = &self.factors {
            factors.solve(right);
        }
    }

    /// The same for right sides one after the other.
    pub fn solve_all(&self, rights: &mut [T]) {
        if let Some(factors) = &self.factors {
            factors.solve_all(rights);
        }
    }

    /// Solves A^T x = b in place (transposed, not conjugated), likewise.
    pub fn solve_transposed(&self, right: &mut [T]) {
        if let Some(factors) = &self.factors {
            factors.solve_transposed(right);
        }
    }
}

impl Solver<f64> {
    /// Estimate of the greatest error of any unknown of `x` by rounding, where `x` solves what was stamped and factored last for
    /// some right side; see [`super::error_of_solution`].
    pub fn error_of_solution(&mut self, x: &[f64]) -> f64 {
        let (matrix, _) = self.assembly.finish();
        let Some(factors) = &self.factors else { return 0.0 };
        error_of_solution(matrix, factors, x, &matrix.times(x))
    }
}

/// The unknowns that a singular system leaves free: those that its null direction moves.
pub fn free_unknowns(solver: &mut Solver<f64>, singular: Singular) -> Vec<usize> {
    let (matrix, _) = solver.assembly.finish();
    let size = matrix.size();
    if size > WHOLE {
        return vec![singular.column];
    }
    let mut dense = DMatrix::zeros(size, size);
    for column in 0..size {
        matrix.column(column).for_each(|(row, value)| dense[(row, column)] = value);
    }
    let decomposition = dense.svd(false, true);
    let values = decomposition.singular_values.iter().enumerate();
    let smallest = values.min_by(|a, b| a.1.total_cmp(b.1)).map(|(index, _)| index);
    let (Some(smallest), Some(right)) = (smallest, &decomposition.v_t) else { return vec![singular.column] };
    let direction = right.row(smallest).abs();
    let largest = direction.max();
    (0..size).filter(|unknown| direction[*unknown] > MOVED * largest).collect()
}
