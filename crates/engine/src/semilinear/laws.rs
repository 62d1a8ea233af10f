//! What is left of a bent storage law when its straight part is taken away.

use crate::equations::Equations;
use crate::snapshot::Bent;
use network::primitive::{ChargeLaw, FluxLaw};

/// The law of one bent element.
#[derive(Clone, Debug)]
pub(crate) enum Law {
    Flux(FluxLaw),
    Charge(ChargeLaw),
}

impl Law {
    /// Flux or charge at a current or voltage.
    pub(crate) fn value(&self, x: f64) -> f64 {
        match self {
            Self::Flux(law) => law.flux(x),
            Self::Charge(law) => law.charge(x),
        }
    }

    /// Its slope: inductance or capacitance.
    pub(crate) fn slope(&self, x: f64) -> f64 {
        match self {
            Self::Flux(law) => law.inductance(x),
            Self::Charge(law) => law.capacitance(x),
        }
    }

    /// Both.
    pub(crate) fn value_and_slope(&self, x: f64) -> (f64, f64) {
        match self {
            Self::Flux(law) => law.flux_and_inductance(x),
            Self::Charge(law) => (law.charge(x), law.capacitance(x)),
        }
    }
}

/// All bent elements with their laws.
pub(crate) fn bent_elements(equations: &Equations<'_>) -> Vec<(Bent, Law)> {
    let inductors = equations.inductors.iter().enumerate().filter(|(_, (_, law))| !law.is_linear());
    let inductors = inductors.map(|(k, (_, law))| (Bent::Inductor(k), Law::Flux(law.clone())));
    let cores = equations.cores.iter().enumerate().filter(|(_, core)| !core.law.is_linear());
    let cores = cores.map(|(k, core)| (Bent::Core(k), Law::Flux(core.law.clone())));
    let capacitors = equations.capacitors.iter().enumerate().filter(|(_, (_, law))| !law.is_linear());
    let capacitors = capacitors.map(|(k, (_, law))| (Bent::Capacitor(k), Law::Charge(law.clone())));
    inductors.chain(cores).chain(capacitors).collect()
}
