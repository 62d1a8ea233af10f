//! One implicit stage: q(x) + weight f(x, t) = known, by Newton's method on companion models.

use super::{Problem, StepFailure, Work};
use crate::linear::Solver;

/// Newton iterations after which a shorter step is tried: it converges in two or three on most laws, while a junction that stops to conduct
/// comes down by its thermal voltage each time.
const MOST_ITERATIONS: usize = 50;
/// An old matrix is kept while each iteration shrinks the update at least to this fraction.
const SLOW: f64 = 0.2;

pub(super) struct Stage {
    /// Right side in charges and fluxes.
    pub(super) known: Vec<f64>,
    charges: Vec<f64>,
    currents: Vec<f64>,
    solver: Solver<f64>,
    /// Weight that the factors were made with.
    factored: Option<f64>,
    update: Vec<f64>,
}

impl Stage {
    pub(super) fn new(size: usize) -> Self {
        Self {
            known: vec![0.0; size],
            charges: vec![0.0; size],
            currents: vec![0.0; size],
            solver: Solver::new(size),
            factored: None,
            update: vec![0.0; size],
        }
    }

    /// Solves for `x`, which comes as a first guess. Divided by `weight` the system is that of a resistive network: dq/dx
    /// over `weight` is the companion conductance (or resistance) of each storage element.
    ///
    /// A matrix of the same weight is used again while it serves: laws bend little over a step, so the iteration with the matrix
    /// of the step's start still gains several digits each time.
    pub(super) fn solve(
        &mut self,
        problem: &impl Problem,
        x: &mut [f64],
        time: f64,
        weight: f64,
        work: &mut Work,
    ) -> Result<(), StepFailure> {
        let kept = self.factored == Some(weight);
        if !kept {
            self.factor(problem, x, time, weight, work)?;
        }
        let mut fresh = !kept;
        let mut last_size = f64::INFINITY;
        let mut worst = 0;
        for _ in 0..MOST_ITERATIONS {
            self.update(problem, x, time, weight);
            work.iterations += 1;
            work.solves += 1;
            let (size, place) = self.size_of_update(problem, x);
            worst = place;
            if !size.is_finite() {
                return Err(StepFailure::TryShorter(worst));
            }
            // 0 before the second update: nothing is known yet.
            let rate = if last_size.is_finite() { size / last_size } else { 0.0 };
            if !fresh && rate > SLOW {
                self.factor(problem, x, time, weight, work)?;
                fresh = true;
                last_size = f64::INFINITY;
                continue;
            }
            // An update that grows is halved: laws with a knee send Newton too far.
            let knee = if rate > 2.0 { 0.5 } else { 1.0 };
            let damping = problem.share_of_update(x, &self.update, time).min(knee);
            for (value, update) in x.iter_mut().zip(self.update.iter()) {
                *value += damping * update;
            }
            // What is left after an update is about the update times the rate of convergence.
            let left = if rate > 0.0 && rate < SLOW { size * rate } else { size };
            if damping == 1.0 && (problem.is_linear() || left <= 1.0) {
                return Ok(());
            }
            // Where an update had to be shortened, the law there has nothing to do with the one that the matrix knows.
            if rate > SLOW || damping < 1.0 {
                self.factor(problem, x, time, weight, work)?;
            }
            last_size = size;
        }
        Err(StepFailure::TryShorter(worst))
    }

    /// Puts the Newton update at `x` into `update`.
    fn update(&mut self, problem: &impl Problem, x: &[f64], time: f64, weight: f64) {
        problem.charges(x, &mut self.charges);
        problem.currents(x, time, &mut self.currents);
        for index in 0..x.len() {
            self.update[index] = (self.known[index] - self.charges[index]) / weight - self.currents[index];
        }
        self.solver.solve(&mut self.update);
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
        let stamps = self.solver.stamps();
        problem.charge_slopes(x, 1.0 / weight, stamps);
        problem.current_slopes(x, time, 1.0, stamps);
        work.factorizations += 1;
        self.factored = None;
        self.solver.factor().map_err(|_| StepFailure::Singular)?;
        self.factored = Some(weight);
        Ok(())
    }

    /// Applies the inverse of the last matrix.
    pub(super) fn apply_inverse(&self, right: &mut [f64], work: &mut Work) {
        work.solves += 1;
        self.solver.solve(right);
    }
}
