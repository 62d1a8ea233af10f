//! The network's equations with the sources' clock: what the integrator sees.

use crate::clock::Clock;
use crate::equations::Equations;
use crate::integrator::Problem;
use crate::linear::Stamp;

/// Equations and sources.
pub(super) struct Driven<'e, 'n> {
    pub(super) equations: &'e Equations<'n>,
    pub(super) clock: Clock<'n>,
}

impl Problem for Driven<'_, '_> {
    fn size(&self) -> usize {
        self.equations.size()
    }

    fn charges(&self, x: &[f64], out: &mut [f64]) {
        self.equations.charges(x, out);
    }

    fn currents(&self, x: &[f64], time: f64, out: &mut [f64]) {
        let late = time - self.clock.time;
        let source = |index: usize| self.clock.values[index] + self.clock.slopes[index] * late;
        self.equations.currents(x, source, out);
    }

    fn charge_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        self.equations.charge_slopes(x, weight, matrix);
    }

    fn current_slopes(&self, x: &[f64], _: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        self.equations.current_slopes(x, weight, matrix);
    }

    fn is_linear(&self) -> bool {
        self.equations.storage_is_linear() && self.equations.loads.is_empty()
    }

    /// Far below the error of a step at any accuracy that can be asked for.
    fn newton_tolerance(&self, _: usize, value: f64) -> f64 {
        1e-11 * value.abs() + 1e-12
    }
}
