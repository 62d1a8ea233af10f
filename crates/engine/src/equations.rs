//! The equations of a network in modified nodal form: which unknown stands where, and who stamps what.

mod coupled;
mod load;
mod stamps;
mod terms;

pub(crate) use coupled::CoupledInductors;
pub(crate) use load::Load;
pub(crate) use stamps::{
    across, leave, stamp_conductance, stamp_current, stamp_transconductance, stamp_voltage,
};

use crate::failure::Failure;
use crate::series::Kept;
use crate::structure;
use load::Law;
use network::primitive::{Branch, BranchIndex, ChargeLaw, Core, Element, FluxLaw, Network, NodeIndex};
use network::waveform::Waveform;
use std::rc::Rc;

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
    /// What is remembered from one network to the next.
    pub(crate) kept: Rc<Kept>,
}

impl<'n> Equations<'n> {
    /// Sorts the branches and checks that every node hangs together.
    ///
    /// # Errors
    /// [`Failure::FloatingNode`], [`Failure::SourceLoop`], [`Failure::OnlyCurrents`].
    pub fn new(network: &'n Network) -> Result<Self, Failure> {
        Self::remembering(network, Rc::default())
    }

    pub(crate) fn remembering(network: &'n Network, kept: Rc<Kept>) -> Result<Self, Failure> {
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
            kept,
        };
        for (index, branch) in network.branches.iter().enumerate() {
            equations.sort_in(index, branch);
        }
        equations.kept.sources.borrow_mut().keep_of(&equations.sources);
        equations.cores = network.cores.iter().map(|core| equations.coupled(core)).collect();
        Ok(equations)
    }

    /// Windings that are no inductors of this network link nothing.
    fn coupled(&self, core: &Core) -> CoupledInductors {
        let number =
            |branch: &BranchIndex| self.inductors.iter().position(|(ends, _)| ends.branch == *branch);
        let windings = core.windings.iter().filter_map(|(branch, turns)| Some((number(branch)?, *turns)));
        CoupledInductors { windings: windings.collect(), law: core.law.clone() }
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
            Element::Capacitor(law) => self.capacitors.push((ends, law.clone())),
            Element::Inductor(law) => self.inductors.push((ends, law.clone())),
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
