//! Inductors that share a core.

use network::primitive::FluxLaw;

/// A core with the inductors that it couples, by their numbers, and their turns.
#[derive(Clone, Debug)]
pub(crate) struct CoupledInductors {
    pub(crate) windings: Vec<(usize, f64)>,
    pub(crate) law: FluxLaw,
}

impl CoupledInductors {
    /// Sum of currents times turns.
    pub(crate) fn current(&self, inductor: impl Fn(usize) -> f64) -> f64 {
        self.windings.iter().map(|(k, turns)| turns * inductor(*k)).sum()
    }

    /// Adds `weight` times the core's share of dflux/dcurrent; `unknown` places an inductor.
    pub(crate) fn stamp(
        &self,
        slope: f64,
        unknown: impl Fn(usize) -> usize,
        mut add: impl FnMut(usize, usize, f64),
    ) {
        for (k, turns) in &self.windings {
            for (other, others_turns) in &self.windings {
                add(unknown(*k), unknown(*other), slope * turns * others_turns);
            }
        }
    }
}
