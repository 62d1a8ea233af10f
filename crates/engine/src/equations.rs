//! The equations of a network in modified nodal form: which unknown stands where, and who stamps what.

use crate::failure::Failure;
use crate::linear::Stamp;
use crate::structure;
use network::primitive::{
    Branch, BranchIndex, ChargeLaw, Core, CurrentLaw, Element, FluxLaw, Network, NodeIndex,
};
use network::waveform::Waveform;

/// A branch whose current follows from a voltage.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Load {
    pub(crate) ends: Ends,
    /// The nodes whose voltage controls it; for most loads its own.
    pub(crate) control: Ends,
    law: Law,
}

#[derive(Clone, Copy, Debug)]
enum Law {
    Voltage(CurrentLaw),
    /// Conductances where closed and open, and the source that tells which.
    Switch {
        closed: f64,
        open: f64,
        source: usize,
    },
}

impl Load {
    /// The law that holds while sources have the given values.
    pub(crate) fn law(&self, source: impl Fn(usize) -> f64) -> CurrentLaw {
        match self.law {
            Law::Voltage(law) => law,
            Law::Switch { closed, source: position, .. } if source(position) > 0.5 => {
                CurrentLaw::Conductance(closed)
            }
            Law::Switch { open, .. } => CurrentLaw::Conductance(open),
        }
    }
}

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

/// Where a branch runs.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ends {
    pub(crate) branch: BranchIndex,
    pub(crate) left: NodeIndex,
    pub(crate) right: NodeIndex,
}

/// The branches of a network sorted by what they do, and the numbering of unknowns.
///
/// Unknowns, in this order: voltages of all nodes but `gnd`, currents of voltage sources, currents of inductors.
/// Equations, in the same order: currents that leave each node sum to zero; each voltage source's voltage; each
/// inductor's flux changes as its voltage says.
pub struct Equations<'n> {
    pub(crate) network: &'n Network,
    /// Node voltages: unknowns `0..nodes`.
    pub(crate) nodes: usize,
    pub(crate) resistors: Vec<(Ends, f64)>,
    pub(crate) loads: Vec<Load>,
    pub(crate) capacitors: Vec<(Ends, ChargeLaw)>,
    pub(crate) inductors: Vec<(Ends, FluxLaw)>,
    pub(crate) cores: Vec<CoupledInductors>,
    /// Ends, and index into `sources`.
    pub(crate) voltage_sources: Vec<(Ends, usize)>,
    pub(crate) current_sources: Vec<(Ends, usize)>,
    pub(crate) sources: Vec<&'n Waveform>,
}

impl<'n> Equations<'n> {
    /// Sorts the branches and checks that every node hangs together.
    ///
    /// # Errors
    /// [`Failure::FloatingNode`], [`Failure::SourceLoop`], [`Failure::OnlyCurrents`].
    pub fn new(network: &'n Network) -> Result<Self, Failure> {
        structure::check(network)?;
        let mut equations = Self {
            network,
            nodes: network.nodes.len().saturating_sub(1),
            resistors: Vec::new(),
            loads: Vec::new(),
            capacitors: Vec::new(),
            inductors: Vec::new(),
            cores: Vec::new(),
            voltage_sources: Vec::new(),
            current_sources: Vec::new(),
            sources: Vec::new(),
        };
        for (index, branch) in network.branches.iter().enumerate() {
            equations.sort_in(index, branch);
        }
        equations.cores = network.cores.iter().map(|core| equations.coupled(core)).collect();
        Ok(equations)
    }

    /// Windings that are no inductors of this network link nothing.
    fn coupled(&self, core: &Core) -> CoupledInductors {
        let number =
            |branch: &BranchIndex| self.inductors.iter().position(|(ends, _)| ends.branch == *branch);
        let windings = core.windings.iter().filter_map(|(branch, turns)| Some((number(branch)?, *turns)));
        CoupledInductors { windings: windings.collect(), law: core.law }
    }

    fn sort_in(&mut self, index: BranchIndex, branch: &'n Branch) {
        let ends = Ends { branch: index, left: branch.left, right: branch.right };
        match &branch.element {
            Element::Resistor(resistance) => self.resistors.push((ends, 1.0 / resistance)),
            Element::Load(law) => {
                self.loads.push(Load { ends, control: ends, law: Law::Voltage(*law) });
            }
            Element::Controlled { law, plus, minus } => {
                let control = Ends { branch: index, left: *plus, right: *minus };
                self.loads.push(Load { ends, control, law: Law::Voltage(*law) });
            }
            Element::Switch { closed, open, control } => {
                let law = Law::Switch { closed: *closed, open: *open, source: self.sources.len() };
                self.loads.push(Load { ends, control: ends, law });
                self.sources.push(control);
            }
            Element::Capacitor(law) => self.capacitors.push((ends, *law)),
            Element::Inductor(law) => self.inductors.push((ends, *law)),
            Element::VoltageSource(waveform) => {
                self.voltage_sources.push((ends, self.sources.len()));
                self.sources.push(waveform);
            }
            Element::CurrentSource(waveform) => {
                self.current_sources.push((ends, self.sources.len()));
                self.sources.push(waveform);
            }
        }
    }

    /// Number of unknowns.
    #[must_use]
    pub fn size(&self) -> usize {
        self.nodes + self.voltage_sources.len() + self.inductors.len()
    }

    /// Number of inductors and capacitors.
    #[must_use]
    pub fn states(&self) -> usize {
        self.inductors.len() + self.capacitors.len()
    }

    /// Index of the k-th voltage source's current among the unknowns.
    pub(crate) fn source_current(&self, k: usize) -> usize {
        self.nodes + k
    }

    /// Index of the k-th inductor's current among the unknowns.
    pub(crate) fn inductor_current(&self, k: usize) -> usize {
        self.nodes + self.voltage_sources.len() + k
    }

    /// Name of the part or node that an unknown belongs to, for messages.
    pub(crate) fn name_of(&self, unknown: usize) -> String {
        if unknown < self.nodes {
            return format!("node {}", self.network.nodes[unknown + 1]);
        }
        let k = unknown - self.nodes;
        let branch = match self.voltage_sources.get(k) {
            Some((ends, _)) => ends.branch,
            None => self.inductors[k - self.voltage_sources.len()].0.branch,
        };
        self.network.branches[branch].part.clone()
    }

    /// Name of the part a branch belongs to.
    pub(crate) fn part_of(&self, ends: Ends) -> String {
        self.network.branches[ends.branch].part.clone()
    }

    /// Whether every law is a straight line for all voltages and currents, loads aside.
    #[must_use]
    pub(crate) fn storage_is_linear(&self) -> bool {
        self.capacitors.iter().all(|(_, law)| law.is_linear())
            && self.inductors.iter().all(|(_, law)| law.is_linear())
            && self.cores.iter().all(|core| core.law.is_linear())
    }
}

/// Voltage of a branch from the vector of unknowns.
pub(crate) fn across(ends: Ends, x: &[f64]) -> f64 {
    let voltage = |node: NodeIndex| if node == 0 { 0.0 } else { x[node - 1] };
    voltage(ends.left) - voltage(ends.right)
}

/// Adds a current that leaves the left node and enters the right one.
pub(crate) fn leave(ends: Ends, current: f64, out: &mut [f64]) {
    if ends.left > 0 {
        out[ends.left - 1] += current;
    }
    if ends.right > 0 {
        out[ends.right - 1] -= current;
    }
}

/// Adds `weight` times the branch's voltage to an equation.
pub(crate) fn stamp_voltage<T: Weight>(ends: Ends, row: usize, weight: T, matrix: &mut impl Stamp<T>) {
    if ends.left > 0 {
        matrix.add(row, ends.left - 1, weight);
    }
    if ends.right > 0 {
        matrix.add(row, ends.right - 1, -weight);
    }
}

/// Adds `weight` times the branch current in unknown `column` to the sums of both end nodes.
pub(crate) fn stamp_current<T: Weight>(ends: Ends, column: usize, weight: T, matrix: &mut impl Stamp<T>) {
    if ends.left > 0 {
        matrix.add(ends.left - 1, column, weight);
    }
    if ends.right > 0 {
        matrix.add(ends.right - 1, column, -weight);
    }
}

/// Adds a conductance (or a capacitance) between the branch's nodes.
pub(crate) fn stamp_conductance<T: Weight>(ends: Ends, value: T, matrix: &mut impl Stamp<T>) {
    stamp_transconductance(ends, ends, value, matrix);
}

/// Adds a conductance whose current flows between the branch's nodes and whose voltage lies between others.
pub(crate) fn stamp_transconductance<T: Weight>(
    ends: Ends,
    control: Ends,
    value: T,
    matrix: &mut impl Stamp<T>,
) {
    if ends.left > 0 {
        stamp_voltage(control, ends.left - 1, value, matrix);
    }
    if ends.right > 0 {
        stamp_voltage(control, ends.right - 1, -value, matrix);
    }
}

/// What a stamp is made of: real, or complex in frequency.
pub(crate) trait Weight: Copy + std::ops::Neg<Output = Self> {}

impl<T: Copy + std::ops::Neg<Output = T>> Weight for T {}

/// The terms of the equations at given unknowns; `source` gives each source's value.
impl Equations<'_> {
    pub(crate) fn charges(&self, x: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        for (ends, law) in &self.capacitors {
            leave(*ends, law.charge(across(*ends, x)), out);
        }
        for (k, (_, law)) in self.inductors.iter().enumerate() {
            let unknown = self.inductor_current(k);
            out[unknown] = law.flux(x[unknown]);
        }
        for core in &self.cores {
            let flux = core.law.flux(core.current(|k| x[self.inductor_current(k)]));
            core.windings.iter().for_each(|(k, turns)| out[self.inductor_current(*k)] += turns * flux);
        }
    }

    pub(crate) fn currents(&self, x: &[f64], source: impl Fn(usize) -> f64, out: &mut [f64]) {
        out.fill(0.0);
        for (ends, conductance) in &self.resistors {
            leave(*ends, conductance * across(*ends, x), out);
        }
        for load in &self.loads {
            leave(load.ends, load.law(&source).current(across(load.control, x)), out);
        }
        for (ends, index) in &self.current_sources {
            leave(*ends, source(*index), out);
        }
        for (k, (ends, index)) in self.voltage_sources.iter().enumerate() {
            let unknown = self.source_current(k);
            leave(*ends, x[unknown], out);
            out[unknown] = across(*ends, x) - source(*index);
        }
        for (k, (ends, _)) in self.inductors.iter().enumerate() {
            let unknown = self.inductor_current(k);
            leave(*ends, x[unknown], out);
            out[unknown] = -across(*ends, x);
        }
    }

    /// Turns the currents and voltages of [`Self::currents`] into those at `height` times the independent sources.
    pub(crate) fn scale_sources(&self, height: f64, source: impl Fn(usize) -> f64, out: &mut [f64]) {
        if height == 1.0 {
            return;
        }
        for (ends, index) in &self.current_sources {
            leave(*ends, (height - 1.0) * source(*index), out);
        }
        for (k, (_, index)) in self.voltage_sources.iter().enumerate() {
            out[self.source_current(k)] -= (height - 1.0) * source(*index);
        }
    }

    /// By what share an update of Newton's method from `x` to `x + update` must be shortened, so that no steep law is overshot.
    pub(crate) fn share_of_update(&self, x: &[f64], update: &[f64], source: impl Fn(usize) -> f64) -> f64 {
        let mut share = 1.0f64;
        for load in &self.loads {
            let (now, step) = (across(load.control, x), across(load.control, update));
            let next = now + step;
            let limited = load.law(&source).limited(now, next);
            if limited != next {
                share = share.min((limited - now) / step);
            }
        }
        share
    }

    pub(crate) fn charge_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        for (ends, law) in &self.capacitors {
            stamp_conductance(*ends, weight * law.capacitance(across(*ends, x)), matrix);
        }
        for (k, (_, law)) in self.inductors.iter().enumerate() {
            let unknown = self.inductor_current(k);
            matrix.add(unknown, unknown, weight * law.inductance(x[unknown]));
        }
        for core in &self.cores {
            let slope = core.law.inductance(core.current(|k| x[self.inductor_current(k)]));
            core.stamp(
                weight * slope,
                |k| self.inductor_current(k),
                |row, column, it| matrix.add(row, column, it),
            );
        }
    }

    pub(crate) fn current_slopes(
        &self,
        x: &[f64],
        source: impl Fn(usize) -> f64,
        weight: f64,
        matrix: &mut impl Stamp<f64>,
    ) {
        for (ends, conductance) in &self.resistors {
            stamp_conductance(*ends, weight * conductance, matrix);
        }
        for load in &self.loads {
            let conductance = load.law(&source).conductance(across(load.control, x));
            stamp_transconductance(load.ends, load.control, weight * conductance, matrix);
        }
        for (k, (ends, _)) in self.voltage_sources.iter().enumerate() {
            let unknown = self.source_current(k);
            stamp_current(*ends, unknown, weight, matrix);
            stamp_voltage(*ends, unknown, weight, matrix);
        }
        for (k, (ends, _)) in self.inductors.iter().enumerate() {
            let unknown = self.inductor_current(k);
            stamp_current(*ends, unknown, weight, matrix);
            stamp_voltage(*ends, unknown, -weight, matrix);
        }
    }
}
