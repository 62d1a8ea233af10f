//! The network's equations with the sources' clock: what the integrator sees.

use crate::clock::Clock;
use crate::equations::Equations;
use crate::integrator::Problem;
use crate::linear::Stamp;

/// How far Newton's method may be from the solution of a step in an unknown of this value: far below the error of a step at any accuracy
/// that can be asked for, wherever the unknown swings by more than a thousandth of its value.
pub(super) fn newton_tolerance(value: f64) -> f64 {
    1e-11 * value.abs() + 1e-12
}

/// Equations and sources.
pub(super) struct Driven<'e, 'n> {
    pub(super) equations: &'e Equations<'n>,
    pub(super) clock: Clock<'n>,
}

impl Driven<'_, '_> {
    fn source_at(&self, time: f64) -> impl Fn(usize) -> f64 + '_ {
        let late = time - self.clock.time;
        move |index| self.clock.values[index] + self.clock.slopes[index] * late
    }
}

impl Problem for Driven<'_, '_> {
    fn size(&self) -> usize {
        self.equations.size()
    }

    fn charges(&self, x: &[f64], out: &mut [f64]) {
        self.equations.charges(x, out);
    }

    fn currents(&self, x: &[f64], time: f64, out: &mut [f64]) {
        self.equations.currents(x, self.source_at(time), out);
    }

    fn charge_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        self.equations.charge_slopes(x, weight, matrix);
    }

    fn current_slopes(&self, x: &[f64], time: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        self.equations.current_slopes(x, self.source_at(time), weight, matrix);
    }

    fn share_of_update(&self, x: &[f64], update: &[f64], time: f64) -> f64 {
        self.equations.share_of_update(x, update, self.source_at(time))
    }

    fn is_linear(&self) -> bool {
        self.equations.storage_is_linear() && self.equations.loads.is_empty()
    }

    fn newton_tolerance(&self, _: usize, value: f64) -> f64 {
        newton_tolerance(value)
    }
}
