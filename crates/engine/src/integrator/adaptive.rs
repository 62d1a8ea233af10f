//! Steps whose length follows the error: from one time to another with a given accuracy.

use super::{Integrator, Problem, Rule, StepFailure, Work};
use crate::linear::Stamp;
use std::fmt;

/// First step as a share of the span. Nothing is known there yet, and steps grow fourfold at most, so a step far too short costs
/// some twenty steps, while one too long could pass over what happens first.
const FIRST_SHARE: f64 = 1e-12;
/// Aimed at below the allowed error, so that few steps are tried in vain.
const SAFETY: f64 = 0.9;
/// Greatest growth from one step to the next.
const MOST_GROWTH: f64 = 4.0;
/// A step that could grow by less stays as it is, and its matrix with it.
const WORTH_GROWING: f64 = 1.2;
/// Greatest shrinking after an error too large.
const MOST_SHRINKING: f64 = 0.1;
/// Shrinking where Newton's method did not converge.
const AFTER_FAILURE: f64 = 0.25;
/// Steps shorter than this many roundings of the time no longer move it in earnest.
const LEAST_ROUNDINGS: f64 = 16.0;
/// Attempts after which a refused step is the last: a law with a jump can hold a solution to tiny steps for ever.
const MOST_ATTEMPTS: usize = 10_000_000;
/// Newton's method goes on until it is this much closer than the error allowed to a step.
const NEWTON_SHARE: f64 = 1e-3;

/// How accurate a solution shall be.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerances {
    /// Error allowed as a fraction of each unknown, 1e-12 to 1e-1.
    pub relative: f64,
    /// Error allowed on top of it, one for each unknown and in its unit; above 0.
    pub absolute: Vec<f64>,
}

impl Tolerances {
    /// The same absolute tolerance for each of `size` unknowns.
    #[must_use]
    pub fn uniform(relative: f64, absolute: f64, size: usize) -> Self {
        Self { relative, absolute: vec![absolute; size] }
    }

    /// Error wanted in an unknown that has a value.
    #[must_use]
    pub fn weight(&self, index: usize, value: f64) -> f64 {
        self.relative * value.abs() + self.absolute[index]
    }

    /// Error allowed to one step as a share of the error wanted in the end. Errors of order h^(p+1) add up to order h^p, so a
    /// share in proportion to the accuracy to the power 1/p keeps their sum in proportion to the accuracy.
    fn share_of_step(&self, rule: Rule) -> f64 {
        self.relative.powf(1.0 / f64::from(rule.order()))
    }
}

/// The end of an integration.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Time in seconds: the end asked for.
    pub time: f64,
    /// Unknowns there.
    pub x: Vec<f64>,
    /// What it took.
    pub work: Work,
}

/// Why an integration stopped before its end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum IntegrationFailure {
    /// The equations of a step leave something free, or contradict each other.
    Singular {
        /// Time in seconds.
        time: f64,
    },
    /// Newton's method converged at no step, however short.
    NoConvergence {
        /// Time in seconds.
        time: f64,
        /// The unknown that moved most.
        unknown: usize,
    },
    /// The error stayed too large at every step, however short: a jump, or a solution that runs away.
    StepTooSmall {
        /// Time in seconds.
        time: f64,
        /// The unknown with the largest error.
        unknown: usize,
    },
}

impl fmt::Display for IntegrationFailure {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Singular { time } => write!(
                out,
                "the equations are singular at t = {time:.6e} s; look for an unknown that no equation fixes"
            ),
            Self::NoConvergence { time, unknown } => write!(
                out,
                "the equations could not be solved at t = {time:.6e} s, where unknown {unknown} moved most; look for a law with a jump"
            ),
            Self::StepTooSmall { time, unknown } => write!(
                out,
                "unknown {unknown} changes too fast to follow at t = {time:.6e} s; look for a jump, or ask for less accuracy"
            ),
        }
    }
}

impl std::error::Error for IntegrationFailure {}

/// Goes from `start` to `end` (in seconds, `start < end`) with steps as long as the tolerances allow.
///
/// The initial values must satisfy the equations without a derivative. Wherever a solution forgets its errors, and in the limit
/// of high accuracy everywhere, the error at the end is in proportion to the tolerances.
///
/// # Errors
/// [`IntegrationFailure`].
pub fn integrate(
    problem: &impl Problem,
    rule: Rule,
    start: f64,
    end: f64,
    initial: Vec<f64>,
    tolerances: &Tolerances,
) -> Result<Solution, IntegrationFailure> {
    let problem = Weighted { problem, tolerances, share: tolerances.share_of_step(rule) };
    let integrator = Integrator::new(&problem, start, initial);
    let mut walk = Walk { problem, rule, integrator, refused: false };
    let mut step = FIRST_SHARE * (end - start);
    while walk.integrator.time < end {
        let (tried, reaches_end) = walk.predict(step, end);
        step = match walk.integrator.attempt(&walk.problem, rule, tried) {
            Ok(()) => match walk.test_error() {
                (error, _) if error <= 1.0 => walk.accept(tried, error, reaches_end.then_some(end)),
                (error, unknown) => walk.refuse(tried, error, unknown)?,
            },
            Err(failure) => walk.handle_failure(tried, failure)?,
        };
    }
    Ok(Solution { time: end, x: walk.integrator.x, work: walk.integrator.work })
}

struct Walk<'p, P: Problem> {
    problem: Weighted<'p, P>,
    rule: Rule,
    integrator: Integrator,
    /// Whether the last step tried was refused: then the next does not grow.
    refused: bool,
}

impl<P: Problem> Walk<'_, P> {
    /// The step to try, and whether it reaches the end: two halves rather than a step and a crumb.
    fn predict(&self, step: f64, end: f64) -> (f64, bool) {
        let left = end - self.integrator.time;
        if step >= left * (1.0 - 1e-9) {
            (left, true)
        } else if step > 0.5 * left {
            (0.5 * left, false)
        } else {
            (step, false)
        }
    }

    /// The largest error of the step just made in units of what is allowed, and the unknown that has it.
    fn test_error(&self) -> (f64, usize) {
        let (before, after) = (&self.integrator.x, self.integrator.proposed());
        let mut worst = (0.0, 0);
        for (index, error) in self.integrator.error.iter().enumerate() {
            let size = before[index].abs().max(after[index].abs());
            let ratio = error.abs() / (self.problem.share * self.problem.tolerances.weight(index, size));
            if ratio.is_nan() {
                return (f64::INFINITY, index);
            }
            if ratio > worst.0 {
                worst = (ratio, index);
            }
        }
        worst
    }

    /// Moves on; returns the next step.
    fn accept(&mut self, tried: f64, error: f64, end: Option<f64>) -> f64 {
        self.integrator.accept(tried);
        if let Some(end) = end {
            self.integrator.time = end;
        }
        let growth = self.factor(error).min(if self.refused { 1.0 } else { MOST_GROWTH });
        self.refused = false;
        if (1.0..WORTH_GROWING).contains(&growth) { tried } else { tried * growth }
    }

    /// Stays; returns a shorter step.
    fn refuse(&mut self, tried: f64, error: f64, unknown: usize) -> Result<f64, IntegrationFailure> {
        self.integrator.reject();
        self.refused = true;
        let time = self.integrator.time;
        if self.is_stuck(tried) {
            return Err(IntegrationFailure::StepTooSmall { time, unknown });
        }
        Ok(tried * self.factor(error).clamp(MOST_SHRINKING, SAFETY))
    }

    /// Stays where no step was made; returns a shorter one, if that can help.
    fn handle_failure(&mut self, tried: f64, failure: StepFailure) -> Result<f64, IntegrationFailure> {
        self.integrator.work.rejections += 1;
        self.refused = true;
        let time = self.integrator.time;
        match failure {
            StepFailure::Singular => Err(IntegrationFailure::Singular { time }),
            StepFailure::TryShorter(unknown) if self.is_stuck(tried) => {
                Err(IntegrationFailure::NoConvergence { time, unknown })
            }
            StepFailure::TryShorter(_) => Ok(tried * AFTER_FAILURE),
        }
    }

    /// By how much a step may be longer for its error to be what is aimed at.
    fn factor(&self, error: f64) -> f64 {
        SAFETY * error.max(1e-12).powf(-1.0 / f64::from(self.rule.order() + 1))
    }

    /// Whether a shorter step than this one has no sense any more.
    fn is_stuck(&self, step: f64) -> bool {
        let least = LEAST_ROUNDINGS * f64::EPSILON * self.integrator.time.abs();
        let work = self.integrator.work;
        step < least || step < f64::MIN_POSITIVE || work.steps + work.rejections >= MOST_ATTEMPTS
    }
}

/// A problem whose Newton iterations go as far as the tolerances ask.
struct Weighted<'p, P> {
    problem: &'p P,
    tolerances: &'p Tolerances,
    share: f64,
}

impl<P: Problem> Problem for Weighted<'_, P> {
    fn size(&self) -> usize {
        self.problem.size()
    }
    fn charges(&self, x: &[f64], out: &mut [f64]) {
        self.problem.charges(x, out);
    }
    fn currents(&self, x: &[f64], time: f64, out: &mut [f64]) {
        self.problem.currents(x, time, out);
    }
    fn charge_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        self.problem.charge_slopes(x, weight, matrix);
    }
    fn current_slopes(&self, x: &[f64], time: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        self.problem.current_slopes(x, time, weight, matrix);
    }
    fn is_linear(&self) -> bool {
        self.problem.is_linear()
    }
    fn share_of_update(&self, x: &[f64], update: &[f64], time: f64) -> f64 {
        self.problem.share_of_update(x, update, time)
    }
    fn newton_tolerance(&self, index: usize, value: f64) -> f64 {
        let rounding = LEAST_ROUNDINGS * f64::EPSILON * value.abs();
        NEWTON_SHARE * self.share * self.tolerances.weight(index, value) + rounding
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// d/dt (m x) + f(x) = 0 with one unknown.
    struct One {
        mass: f64,
        /// f(x, t).
        current: fn(f64, f64) -> f64,
        slope: fn(f64) -> f64,
    }

    impl Problem for One {
        fn size(&self) -> usize {
            1
        }
        fn charges(&self, x: &[f64], out: &mut [f64]) {
            out[0] = self.mass * x[0];
        }
        fn currents(&self, x: &[f64], time: f64, out: &mut [f64]) {
            out[0] = (self.current)(x[0], time);
        }
        fn charge_slopes(&self, _: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
            matrix.add(0, 0, weight * self.mass);
        }
        fn current_slopes(&self, x: &[f64], _: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
            matrix.add(0, 0, weight * (self.slope)(x[0]));
        }
    }

    fn end(problem: &One, rule: Rule) -> Result<Solution, IntegrationFailure> {
        integrate(problem, rule, 0.0, 2.0, vec![1.0], &Tolerances::uniform(1e-4, 1e-4, 1))
    }

    /// x' = x^2 from 1 is 1 / (1 - t): there is nothing beyond t = 1.
    #[test]
    fn what_runs_away_is_told_with_its_time() {
        let problem = One { mass: 1.0, current: |x, _| -x * x, slope: |x| -2.0 * x };
        for rule in [Rule::TrBdf2, Rule::Trapezoidal] {
            let (time, unknown) = match end(&problem, rule) {
                Err(
                    IntegrationFailure::StepTooSmall { time, unknown }
                    | IntegrationFailure::NoConvergence { time, unknown },
                ) => (time, unknown),
                other => panic!("{rule:?}: {other:?}"),
            };
            assert_eq!(unknown, 0);
            assert!((time - 1.0).abs() < 1e-3, "{rule:?}: {time}");
        }
    }

    #[test]
    fn what_nothing_fixes_is_singular() {
        let problem = One { mass: 0.0, current: |_, _| 0.0, slope: |_| 0.0 };
        assert_eq!(end(&problem, Rule::TrBdf2), Err(IntegrationFailure::Singular { time: 0.0 }));
    }

    /// x^2 = 1 - t has no solution beyond t = 1.
    #[test]
    fn a_solution_that_ends_is_told_with_its_time() {
        let problem = One { mass: 0.0, current: |x, t| x * x + t - 1.0, slope: |x| 2.0 * x };
        match end(&problem, Rule::TrBdf2) {
            Err(failure @ IntegrationFailure::NoConvergence { time, .. }) => {
                assert!((time - 1.0).abs() < 1e-3, "{time}");
                assert!(failure.to_string().contains("unknown 0"), "{failure}");
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_end_is_hit_exactly() {
        let problem = One { mass: 1.0, current: |x, _| x, slope: |_| 1.0 };
        let solution = end(&problem, Rule::TrBdf2).expect("it decays");
        assert_eq!(solution.time, 2.0);
        // Every step may add its share, sqrt(1e-4), of the tolerance.
        let allowed = solution.work.steps as f64 * 1e-2 * 1e-4;
        assert!((solution.x[0] - f64::exp(-2.0)).abs() < allowed, "{}", solution.x[0]);
    }
}
