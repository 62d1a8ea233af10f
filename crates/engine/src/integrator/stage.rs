//! One implicit stage: q(x) + weight f(x, t) = known, by Newton's method on companion models.

use super::{Problem, StepFailure, Work};
use nalgebra::{DMatrix, DVector, Dyn, LU};

/// Newton iterations after which a shorter step is tried: it converges in two or three where it does at all.
const MOST_ITERATIONS: usize = 25;

pub(super) struct Stage {
    /// Right side in charges and fluxes.
    pub(super) known: Vec<f64>,
    charges: Vec<f64>,
    currents: Vec<f64>,
    matrix: DMatrix<f64>,
    factors: Option<(f64, LU<f64, Dyn, Dyn>)>,
    update: DVector<f64>,
}

impl Stage {
    pub(super) fn new(size: usize) -> Self {
        Self {
            known: vec![0.0; size],
            charges: vec![0.0; size],
            currents: vec![0.0; size],
            matrix: DMatrix::zeros(size, size),
            factors: None,
            update: DVector::zeros(size),
        }
    }

    /// Solves for `x`, which comes as a first guess. Divided by `weight` the system is that of a resistive network: dq/dx
    /// over `weight` is the companion conductance (or resistance) of each storage element.
    pub(super) fn solve(
        &mut self,
        problem: &impl Problem,
        x: &mut [f64],
        time: f64,
        weight: f64,
        work: &mut Work,
    ) -> Result<(), StepFailure> {
        let mut last_size = f64::INFINITY;
        for iteration in 0..MOST_ITERATIONS {
            self.factor(problem, x, time, weight, work)?;
            problem.charges(x, &mut self.charges);
            problem.currents(x, time, &mut self.currents);
            for index in 0..x.len() {
                self.update[index] =
                    (self.known[index] - self.charges[index]) / weight - self.currents[index];
            }
            let mut update = std::mem::replace(&mut self.update, DVector::zeros(0));
            self.factors_solve(&mut update);
            self.update = update;
            work.iterations += 1;
            let (size, worst) = self.size_of_update(problem, x);
            if !size.is_finite() {
                return Err(StepFailure::TryShorter(worst));
            }
            // An update that grows is halved: laws with a knee send Newton too far.
            let damping = if size > 2.0 * last_size { 0.5 } else { 1.0 };
            for (value, update) in x.iter_mut().zip(self.update.iter()) {
                *value += damping * update;
            }
            if damping == 1.0 && (problem.is_linear() || size <= 1.0) {
                return Ok(());
            }
            last_size = size;
            if iteration + 1 == MOST_ITERATIONS {
                return Err(StepFailure::TryShorter(worst));
            }
        }
        Ok(())
    }

    /// Largest update in units of what is allowed, and where.
    fn size_of_update(&self, problem: &impl Problem, x: &[f64]) -> (f64, usize) {
        let mut worst = (0.0, 0);
        for (index, (value, update)) in x.iter().zip(self.update.iter()).enumerate() {
            let size = update.abs() / problem.newton_tolerance(index, *value);
            if size > worst.0 || size.is_nan() {
                worst = (size, index);
            }
        }
        worst
    }

    fn factor(
        &mut self,
        problem: &impl Problem,
        x: &[f64],
        time: f64,
        weight: f64,
        work: &mut Work,
    ) -> Result<(), StepFailure> {
        if let Some((kept, _)) = &self.factors
            && problem.is_linear()
            && *kept == weight
        {
            return Ok(());
        }
        self.matrix.fill(0.0);
        problem.charge_slopes(x, 1.0 / weight, &mut self.matrix);
        problem.current_slopes(x, time, 1.0, &mut self.matrix);
        let factors = self.matrix.clone().lu();
        work.factorizations += 1;
        if !factors.is_invertible() {
            return Err(StepFailure::Singular);
        }
        self.factors = Some((weight, factors));
        Ok(())
    }

    /// Applies the inverse of the last matrix.
    pub(super) fn factors_solve(&self, right: &mut DVector<f64>) {
        if let Some((_, factors)) = &self.factors {
            factors.solve_mut(right);
        }
    }
}
