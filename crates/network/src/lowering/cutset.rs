//! Drives whose current would have to jump in an inductor.
//!
//! A current that jumps needs a way that doesn't pass through an inductance: a resistance, a capacitance or a source of
//! voltage. Where all such branches leave the drive's two nodes apart, only inductors (and electronic loads, which hold
//! their own current) join them, and a jump would ask for an infinite voltage.

use super::LoweringError;
use crate::primitive::{Element, Network, NodeIndex};
use crate::waveform::Edge;
use language::description::{Harness, Part};

/// The sources of current that jump at a place where only inductance takes their current.
///
/// Whether a drive jumps depends on the start: one at 100 % duty has an edge only where it is switched on. Loads follow
/// their voltage and never jump by themselves; generators, supplies and batteries impose a voltage.
pub(super) fn jumps_into_inductance(harness: &Harness, network: &Network) -> Vec<LoweringError> {
    let mut joined = Joined::new(network.nodes.len());
    for branch in &network.branches {
        if matches!(
            branch.element,
            Element::Resistor(_) | Element::Capacitor(_) | Element::VoltageSource(_) | Element::Switch { .. }
        ) {
            joined.join(branch.left, branch.right);
        }
    }
    let mut found = Vec::new();
    for branch in &network.branches {
        let Element::CurrentSource(waveform) = &branch.element else { continue };
        if let Some(edge) = waveform.jump()
            && !joined.are_joined(branch.left, branch.right)
            && let Some(part) = harness.parts.iter().find(|part| part.name == branch.part)
        {
            found.push(told(part, edge));
        }
    }
    found
}

fn told(part: &Part, edge: Edge) -> LoweringError {
    let property = match edge {
        Edge::Rise => "rise",
        Edge::Fall => "fall",
    };
    let how = if part.number(property) == Some(0.0) { "is 0" } else { "is too short to be told from a jump" };
    LoweringError {
        part: part.name.clone(),
        property: property.to_owned(),
        message: format!(
            "`{property}` {how}, but the current of `{}` meets only inductance, where a jump is impossible",
            part.name
        ),
        help: format!(
            "give `{property}` its real duration (200 ns is usual), or add the capacitor at its terminals"
        ),
    }
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
