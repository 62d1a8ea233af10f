//! One-step implicit integrators for d/dt q(x) + f(x, t) = 0.
//!
//! A step turns every charge and flux law into its companion model: a conductance dq/dx divided by the step plus a
//! source, solved by Newton's method. The default is TR-BDF2: a trapezoidal stage to `GAMMA` of the step, then the second
//! order backward difference through both (Bank et al., IEEE Trans. CAD 4, 1985; Hosea and Shampine, Applied Numerical
//! Mathematics 20, 1996). It is L-stable, needs no history, so it restarts cleanly at every corner, and brings
//! an estimate of its own error.

mod adaptive;
mod stage;

pub use adaptive::{IntegrationFailure, Solution, Tolerances, integrate};

use crate::linear::Stamp;
use nalgebra::DVector;
use stage::Stage;

/// A system d/dt q(x) + f(x, t) = 0; q may leave some equations without a derivative.
pub trait Problem {
    /// Number of unknowns and of equations.
    fn size(&self) -> usize;
    /// Charges and fluxes q(x).
    fn charges(&self, x: &[f64], out: &mut [f64]);
    /// Currents and voltages f(x, t).
    fn currents(&self, x: &[f64], time: f64, out: &mut [f64]);
    /// Adds `weight` times dq/dx; the same entries in the same order at every call, whatever their values.
    fn charge_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>);
    /// Adds `weight` times df/dx, likewise.
    fn current_slopes(&self, x: &[f64], time: f64, weight: f64, matrix: &mut impl Stamp<f64>);
    /// Whether q and f are straight lines in x, so that one iteration is enough.
    fn is_linear(&self) -> bool {
        false
    }
    /// By what share an update of Newton's method from `x` to `x + update` must be shortened, so that no steep law is overshot.
    fn share_of_update(&self, x: &[f64], update: &[f64], time: f64) -> f64 {
        let _ = (x, update, time);
        1.0
    }
    /// How far Newton's method may be from the solution in unknown `index`.
    fn newton_tolerance(&self, index: usize, value: f64) -> f64 {
        let _ = index;
        1e-10 * value.abs() + 1e-13
    }
}

/// How a step is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Second order, L-stable.
    TrBdf2,
    /// Second order, keeps what rings for ever.
    Trapezoidal,
    /// First order, L-stable.
    BackwardEuler,
}

impl Rule {
    /// Order p of convergence: the error at a fixed time falls with the step to this power.
    #[must_use]
    pub fn order(self) -> u8 {
        match self {
            Self::TrBdf2 | Self::Trapezoidal => 2,
            Self::BackwardEuler => 1,
        }
    }
}

/// Where the trapezoidal stage of TR-BDF2 ends: 2 - sqrt(2), which gives both stages the same matrix.
pub const GAMMA: f64 = 2.0 - std::f64::consts::SQRT_2;

/// Weight of the charges at the middle in the backward difference that ends a step of TR-BDF2 …
pub const NEWER: f64 = 1.0 / (GAMMA * (2.0 - GAMMA));
/// … and, taken away, of those at the start.
pub const OLDER: f64 = (1.0 - GAMMA) * (1.0 - GAMMA) / (GAMMA * (2.0 - GAMMA));

/// Leading error of TR-BDF2: `ERROR_CONSTANT` h^3 y''' (Bank et al. 1985): (-3 g^2 + 4 g - 2) / (12 (2 - g)).
pub const ERROR_CONSTANT: f64 = (-3.0 * GAMMA * GAMMA + 4.0 * GAMMA - 2.0) / (12.0 * (2.0 - GAMMA));

/// Why a step was not made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepFailure {
    /// Newton's method did not converge; a shorter step may. The unknown that moved most.
    TryShorter(usize),
    /// The matrix is singular.
    Singular,
}

/// What was done so far.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Work {
    /// Steps accepted; on the exact road stretches from corner to corner.
    pub steps: usize,
    /// Steps rejected; on the exact road stretches cut short where a load changes from one straight line to another.
    pub rejections: usize,
    /// Newton iterations.
    pub iterations: usize,
    /// Matrices factored, and matrix exponentials made.
    pub factorizations: usize,
    /// Right sides solved for with a factored matrix.
    pub solves: usize,
}

impl std::ops::AddAssign for Work {
    fn add_assign(&mut self, more: Self) {
        self.steps += more.steps;
        self.rejections += more.rejections;
        self.iterations += more.iterations;
        self.factorizations += more.factorizations;
        self.solves += more.solves;
    }
}

/// A point of the solution and the means to make the next.
pub struct Integrator {
    /// Time in seconds.
    pub time: f64,
    /// Unknowns there.
    pub x: Vec<f64>,
    /// Unknowns at `GAMMA` of the last step (TR-BDF2 only).
    pub middle: Vec<f64>,
    /// Slopes -dq/dt at the start, the middle and the end of the last step, equation by equation. The rules of one stage have no
    /// middle; they keep there the slopes at the start of the step before.
    pub slopes: [Vec<f64>; 3],
    /// Local error of the last step in each unknown, as estimated.
    pub error: DVector<f64>,
    /// What was done so far.
    pub work: Work,
    next: Vec<f64>,
    stage: Stage,
    rule: Rule,
    /// Length of the step before, where a rule of one stage made it.
    before: Option<f64>,
}

impl Integrator {
    /// Starts at a consistent point.
    pub fn new(problem: &impl Problem, time: f64, x: Vec<f64>) -> Self {
        let size = problem.size();
        let mut integrator = Self {
            time,
            middle: x.clone(),
            next: x.clone(),
            x,
            slopes: [vec![0.0; size], vec![0.0; size], vec![0.0; size]],
            error: DVector::zeros(size),
            work: Work::default(),
            stage: Stage::new(size),
            rule: Rule::TrBdf2,
            before: None,
        };
        integrator.restart(problem);
        integrator
    }

    /// Takes the point as it stands (after a corner, or after `x` was changed from outside).
    pub fn restart(&mut self, problem: &impl Problem) {
        problem.currents(&self.x, self.time, &mut self.slopes[2]);
        self.before = None;
    }

    /// Tries a step of `step` seconds and leaves the result in `proposed`, the error in `error`.
    ///
    /// # Errors
    /// [`StepFailure`]; the point stays where it was.
    pub fn attempt(&mut self, problem: &impl Problem, rule: Rule, step: f64) -> Result<(), StepFailure> {
        self.rule = rule;
        match rule {
            Rule::TrBdf2 => self.attempt_tr_bdf2(problem, step),
            Rule::Trapezoidal => self.attempt_one_stage(problem, step, 0.5),
            Rule::BackwardEuler => self.attempt_one_stage(problem, step, 1.0),
        }
    }

    /// Unknowns at the end of the step last attempted.
    #[must_use]
    pub fn proposed(&self) -> &[f64] {
        &self.next
    }

    /// Moves to the end of the step last attempted.
    pub fn accept(&mut self, step: f64) {
        self.time += step;
        std::mem::swap(&mut self.x, &mut self.next);
        self.work.steps += 1;
        self.before = None;
        if self.rule != Rule::TrBdf2 {
            self.slopes.swap(0, 1);
            self.before = Some(step);
        }
    }

    /// Takes back the step last attempted, which was made but is not wanted.
    pub fn reject(&mut self) {
        let [start, _, end] = &mut self.slopes;
        end.clone_from(start);
        self.work.rejections += 1;
    }

    fn attempt_one_stage(
        &mut self,
        problem: &impl Problem,
        step: f64,
        implicitness: f64,
    ) -> Result<(), StepFailure> {
        let [start, _, end] = &mut self.slopes;
        start.clone_from(end);
        let weight = implicitness * step;
        problem.charges(&self.x, &mut self.stage.known);
        for (known, slope) in self.stage.known.iter_mut().zip(start.iter()) {
            *known -= (1.0 - implicitness) * step * slope;
        }
        self.next.copy_from_slice(&self.x);
        let outcome = self.stage.solve(problem, &mut self.next, self.time + step, weight, &mut self.work);
        if let Err(failure) = outcome {
            end.clone_from(start);
            return Err(failure);
        }
        problem.currents(&self.next, self.time + step, end);
        self.estimate_error_of_one_stage(step, weight);
        Ok(())
    }

    /// From the slopes at both ends h^2/2 y'' (backward Euler, and the first trapezoidal step); with those at the start of the
    /// step before h^3/12 y''' (Hairer and Wanner, Solving Ordinary Differential Equations II, from memory).
    fn estimate_error_of_one_stage(&mut self, step: f64, weight: f64) {
        let [start, earlier, end] = &self.slopes;
        for (index, error) in self.error.iter_mut().enumerate() {
            let second = (end[index] - start[index]) / step;
            *error = match self.before {
                Some(before) if self.rule == Rule::Trapezoidal => {
                    let third = 2.0 * (second - (start[index] - earlier[index]) / before) / (step + before);
                    step.powi(3) / 12.0 * third / weight
                }
                _ => 0.5 * step * step * second / weight,
            };
        }
        self.stage.apply_inverse(self.error.as_mut_slice(), &mut self.work);
    }

    fn attempt_tr_bdf2(&mut self, problem: &impl Problem, step: f64) -> Result<(), StepFailure> {
        let kept = self.slopes[2].clone();
        self.slopes[0].clone_from(&kept);
        let outcome = self.stages(problem, step);
        if outcome.is_err() {
            self.slopes[2] = kept;
        }
        outcome
    }

    fn stages(&mut self, problem: &impl Problem, step: f64) -> Result<(), StepFailure> {
        let weight = 0.5 * GAMMA * step;
        let middle_time = self.time + GAMMA * step;
        let size = self.x.len();
        let mut before = vec![0.0; size];
        problem.charges(&self.x, &mut before);
        for ((known, charge), slope) in self.stage.known.iter_mut().zip(&before).zip(&self.slopes[0]) {
            *known = charge - weight * slope;
        }
        self.middle.copy_from_slice(&self.x);
        self.stage.solve(problem, &mut self.middle, middle_time, weight, &mut self.work)?;
        problem.currents(&self.middle, middle_time, &mut self.slopes[1]);

        problem.charges(&self.middle, &mut self.stage.known);
        for (known, charge) in self.stage.known.iter_mut().zip(&before) {
            *known = NEWER * *known - OLDER * charge;
        }
        // Straight on from the start through the middle.
        for ((next, middle), x) in self.next.iter_mut().zip(&self.middle).zip(&self.x) {
            *next = middle + (middle - x) * (1.0 - GAMMA) / GAMMA;
        }
        let end_time = self.time + step;
        self.stage.solve(problem, &mut self.next, end_time, weight, &mut self.work)?;
        problem.currents(&self.next, end_time, &mut self.slopes[2]);
        self.estimate_error(step, weight);
        Ok(())
    }

    /// The third derivative of the charges from the slopes at three points, brought from charges to unknowns (and stiff
    /// parts damped) by the matrix of the last stage (Hosea and Shampine 1996, section 4).
    fn estimate_error(&mut self, step: f64, weight: f64) {
        let [start, middle, end] = &self.slopes;
        for (index, error) in self.error.iter_mut().enumerate() {
            let difference =
                start[index] / GAMMA - middle[index] / (GAMMA * (1.0 - GAMMA)) + end[index] / (1.0 - GAMMA);
            *error = 2.0 * ERROR_CONSTANT * step * difference / weight;
        }
        self.stage.apply_inverse(self.error.as_mut_slice(), &mut self.work);
    }
}
