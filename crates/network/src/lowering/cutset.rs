//! Drives whose current would have to jump in an inductor.
//!
//! A current that jumps needs a way that doesn't pass through an inductance: a resistance, a capacitance or a source of
//! voltage. Where all such branches leave the drive's two nodes apart, only inductors (and electronic loads, which hold
//! their own current) join them, and a jump would ask for an infinite voltage.

use super::LoweringError;
use crate::lowered::LoweredPart;
use crate::primitive::{Element, Network, NodeIndex};
use language::Kind;
use language::description::{Harness, Part};

/// The drives with an edge of no duration at a place where only inductance takes their current.
pub(super) fn jumps_into_inductance(
    harness: &Harness,
    network: &Network,
    parts: &[LoweredPart],
) -> Vec<LoweringError> {
    let mut joined = Joined::new(network.nodes.len());
    for branch in &network.branches {
        if matches!(branch.element, Element::Resistor(_) | Element::Capacitor(_) | Element::VoltageSource(_))
        {
            joined.join(branch.left, branch.right);
        }
    }
    let drives = harness.parts.iter().zip(parts).filter(|(part, _)| part.kind == Kind::Drive);
    drives
        .filter(|(_, lowered)| {
            lowered.limits.pwm.is_some() && !joined.are_joined(lowered.left, lowered.right)
        })
        .filter_map(|(part, _)| jumping_edge(part))
        .collect()
}

fn jumping_edge(part: &Part) -> Option<LoweringError> {
    let property = ["rise", "fall"].into_iter().find(|property| part.number(property) == Some(0.0))?;
    Some(LoweringError {
        part: part.name.clone(),
        property: property.to_owned(),
        message: format!(
            "`{property}` is 0, but the current of `{}` meets only inductance, where a jump is impossible",
            part.name
        ),
        help: format!(
            "give `{property}` its real duration (200 ns is usual), or add the capacitor at its terminals"
        ),
    })
}

/// Sets of nodes, merged as branches join them (union-find with path halving).
struct Joined {
    parents: Vec<NodeIndex>,
}

impl Joined {
    fn new(nodes: usize) -> Self {
        Self { parents: (0..nodes).collect() }
    }

    fn root(&mut self, mut node: NodeIndex) -> NodeIndex {
        while self.parents[node] != node {
            self.parents[node] = self.parents[self.parents[node]];
            node = self.parents[node];
        }
        node
    }

    fn join(&mut self, a: NodeIndex, b: NodeIndex) {
        let (a, b) = (self.root(a), self.root(b));
        self.parents[a] = b;
    }

    fn are_joined(&self, a: NodeIndex, b: NodeIndex) -> bool {
        let root = |mut node: NodeIndex| {
            while self.parents[node] != node {
                node = self.parents[node];
            }
            node
        };
        root(a) == root(b)
    }
}
