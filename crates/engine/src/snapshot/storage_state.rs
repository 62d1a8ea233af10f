//! Currents and voltages that store energy, and the slopes of their laws.

use crate::equations::Equations;

/// A storage element whose law is not a straight line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bent {
    Inductor(usize),
    Core(usize),
    Capacitor(usize),
}

/// Slopes of the storage laws: inductances in henry and capacitances in farad.
#[derive(Clone, Debug)]
pub(crate) struct Slopes {
    pub(crate) inductances: Vec<f64>,
    pub(crate) cores: Vec<f64>,
    pub(crate) capacitances: Vec<f64>,
}

impl Slopes {
    pub(crate) fn at(equations: &Equations<'_>, state: &State) -> Self {
        let inductors = equations.inductors.iter().zip(&state.currents);
        let cores = equations.cores.iter();
        let capacitors = equations.capacitors.iter().zip(&state.voltages);
        Self {
            inductances: inductors.map(|((_, law), i)| law.inductance(*i)).collect(),
            cores: cores.map(|core| core.law.inductance(core.current(|k| state.currents[k]))).collect(),
            capacitances: capacitors.map(|((_, law), v)| law.capacitance(*v)).collect(),
        }
    }

    /// Inductance of each inductor with its share of its core, the others held still.
    pub(crate) fn whole_inductances(&self, equations: &Equations<'_>) -> Vec<f64> {
        let mut whole = self.inductances.clone();
        for (core, slope) in equations.cores.iter().zip(&self.cores) {
            core.windings.iter().for_each(|(k, turns)| whole[*k] += slope * turns * turns);
        }
        whole
    }
}

/// The energy-storing state: all inductor currents in ampere and capacitor voltages in volt.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct State {
    pub(crate) currents: Vec<f64>,
    pub(crate) voltages: Vec<f64>,
}
