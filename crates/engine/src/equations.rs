//! The equations of a network in modified nodal form: which unknown stands where, and who stamps what.

use crate::failure::Failure;
use crate::linear::Stamp;
use crate::structure;
use network::primitive::{Branch, BranchIndex, ChargeLaw, CurrentLaw, Element, FluxLaw, Network, NodeIndex};
use network::waveform::Waveform;

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
    pub(crate) loads: Vec<(Ends, CurrentLaw)>,
    pub(crate) capacitors: Vec<(Ends, ChargeLaw)>,
    pub(crate) inductors: Vec<(Ends, FluxLaw)>,
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
            voltage_sources: Vec::new(),
            current_sources: Vec::new(),
            sources: Vec::new(),
        };
        for (index, branch) in network.branches.iter().enumerate() {
            equations.sort_in(index, branch);
        }
        Ok(equations)
    }

    fn sort_in(&mut self, index: BranchIndex, branch: &'n Branch) {
        let ends = Ends { branch: index, left: branch.left, right: branch.right };
        match &branch.element {
            Element::Resistor(resistance) => self.resistors.push((ends, 1.0 / resistance)),
            Element::Load(law) => self.loads.push((ends, *law)),
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
    if ends.left > 0 {
        stamp_voltage(ends, ends.left - 1, value, matrix);
    }
    if ends.right > 0 {
        stamp_voltage(ends, ends.right - 1, -value, matrix);
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
    }

    pub(crate) fn currents(&self, x: &[f64], source: impl Fn(usize) -> f64, out: &mut [f64]) {
        out.fill(0.0);
        for (ends, conductance) in &self.resistors {
            leave(*ends, conductance * across(*ends, x), out);
        }
        for (ends, law) in &self.loads {
            leave(*ends, law.current(across(*ends, x)), out);
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

    pub(crate) fn charge_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        for (ends, law) in &self.capacitors {
            stamp_conductance(*ends, weight * law.capacitance(across(*ends, x)), matrix);
        }
        for (k, (_, law)) in self.inductors.iter().enumerate() {
            let unknown = self.inductor_current(k);
            matrix.add(unknown, unknown, weight * law.inductance(x[unknown]));
        }
    }

    pub(crate) fn current_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        for (ends, conductance) in &self.resistors {
            stamp_conductance(*ends, weight * conductance, matrix);
        }
        for (ends, law) in &self.loads {
            stamp_conductance(*ends, weight * law.conductance(across(*ends, x)), matrix);
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
