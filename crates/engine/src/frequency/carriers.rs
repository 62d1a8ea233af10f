//! Branches whose currents are unknowns, with the resistors in series with them: the node between a coil (or a source) and a resistor where
//! nothing else meets needs no equation of its own, and of a drawing's wires and coils every one has such a node.
//!
//! What enters the node through one leaves it through the other, so that the pair's equation is v = R i + the branch's own voltage.

use crate::equations::{Ends, Equations};
use network::primitive::NodeIndex;

/// Voltage sources and inductors with their ends and what resistance they carry in ohm.
pub(super) struct Carriers {
    pub(super) sources: Vec<(Ends, f64)>,
    pub(super) inductors: Vec<(Ends, f64)>,
    /// Which resistors are among those carried.
    pub(super) spent: Vec<bool>,
    /// Which nodes have no equation, by their numbers.
    pub(super) inner: Vec<bool>,
}

/// What meets at a node.
#[derive(Clone, Copy, Default)]
struct Meeting {
    resistors: u32,
    carriers: u32,
    others: bool,
    /// The last of each, carriers counted from the sources on.
    resistor: usize,
    carrier: usize,
}

impl Carriers {
    /// Every branch by itself.
    pub(super) fn alone(equations: &Equations<'_>) -> Self {
        Self {
            sources: equations.voltage_sources.iter().map(|(ends, _)| (*ends, 0.0)).collect(),
            inductors: equations.inductors.iter().map(|(ends, _)| (*ends, 0.0)).collect(),
            spent: vec![false; equations.resistors.len()],
            inner: vec![false; equations.nodes + 1],
        }
    }

    /// With all resistors in series but where a node is to be kept, since it is looked at or a current is driven into it.
    pub(super) fn with_resistors(equations: &Equations<'_>, kept: &[NodeIndex]) -> Self {
        let mut carriers = Self::alone(equations);
        let meetings = carriers.meetings(equations, kept);
        for (node, meeting) in meetings.iter().enumerate().skip(1) {
            let Meeting { resistor, carrier, .. } = *meeting;
            if (meeting.resistors, meeting.carriers, meeting.others) != (1, 1, false)
                || carriers.spent[resistor]
            {
                continue;
            }
            let (ends, conductance) = equations.resistors[resistor];
            let resistance = 1.0 / conductance;
            if !resistance.is_finite() {
                continue;
            }
            let far = if ends.left == node { ends.right } else { ends.left };
            let (own, carried) = match carrier.checked_sub(carriers.sources.len()) {
                Some(inductor) => &mut carriers.inductors[inductor],
                None => &mut carriers.sources[carrier],
            };
            *carried += resistance;
            *if own.left == node { &mut own.left } else { &mut own.right } = far;
            carriers.spent[resistor] = true;
            carriers.inner[node] = true;
        }
        carriers
    }

    fn meetings(&self, equations: &Equations<'_>, kept: &[NodeIndex]) -> Vec<Meeting> {
        let mut meetings = vec![Meeting::default(); self.inner.len()];
        for (index, (ends, _)) in equations.resistors.iter().enumerate() {
            for node in [ends.left, ends.right] {
                meetings[node].resistors += 1;
                meetings[node].resistor = index;
            }
        }
        for (index, (ends, _)) in self.sources.iter().chain(&self.inductors).enumerate() {
            for node in [ends.left, ends.right] {
                meetings[node].carriers += 1;
                meetings[node].carrier = index;
            }
        }
        let loads = equations.loads.iter().flat_map(|load| [load.ends, load.control]);
        let others = loads.chain(equations.capacitors.iter().map(|(ends, _)| *ends));
        let others = others.flat_map(|ends| [ends.left, ends.right]);
        for node in others.chain(kept.iter().copied()) {
            meetings[node].others = true;
        }
        meetings
    }
}
