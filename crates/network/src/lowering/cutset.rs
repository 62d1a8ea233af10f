//! Drives whose current would have to jump in an inductor, and sources whose voltage would have to jump across a capacitor.
//!
//! A current that jumps needs a way that doesn't pass through an inductance: a resistance, a capacitance or a source of
//! voltage. Where all such branches leave the drive's two nodes apart, only inductors (and electronic loads, which hold
//! their own current) join them, and a jump would ask for an infinite voltage. A voltage that jumps needs a resistance or an
//! inductance in every loop with it: around a loop of capacitors and other sources it would ask for an infinite current.

use super::LoweringError;
use crate::primitive::{Element, Network, NodeIndex};
use crate::waveform::{Edge, Waveform};
use language::description::{Harness, Part, Start};

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

/// The sources of voltage that jump across nothing but capacitance; in a start from rest every constant one does.
pub(super) fn jumps_into_capacitance(
    harness: &Harness,
    network: &Network,
    start: Start,
) -> Vec<LoweringError> {
    let mut found = Vec::new();
    for (index, branch) in network.branches.iter().enumerate() {
        let Element::VoltageSource(waveform) = &branch.element else { continue };
        let Some(property) = jumping_property(waveform, start) else { continue };
        let mut joined = Joined::new(network.nodes.len());
        let mut capacitors = Vec::new();
        for (other, across) in network.branches.iter().enumerate() {
            let is_capacitor = matches!(across.element, Element::Capacitor(_));
            if other != index && (is_capacitor || matches!(across.element, Element::VoltageSource(_))) {
                joined.join(across.left, across.right);
            }
            if is_capacitor {
                capacitors.push(across);
            }
        }
        if !joined.are_joined(branch.left, branch.right) {
            continue;
        }
        let near = capacitors.into_iter().find(|capacitor| joined.are_joined(capacitor.left, branch.left));
        if let Some(part) = harness.parts.iter().find(|part| part.name == branch.part)
            && let Some(capacitor) = near
        {
            found.push(LoweringError {
                code: "jump_into_capacitance",
                part: part.name.clone(),
                property: property.to_owned(),
                message: format!(
                    "the voltage of `{}` jumps, but across `{}` it meets only capacitance, where a jump is impossible",
                    part.name, capacitor.part
                ),
                help: format!(
                    "give `{}` its real resistance, or `{}` its resistance in series (`esr`), or the jump its rise time",
                    part.name, capacitor.part
                ),
            });
        }
    }
    found
}

/// The property that makes a voltage jump.
fn jumping_property(waveform: &Waveform, start: Start) -> Option<&'static str> {
    match waveform {
        Waveform::Constant(level) => (start == Start::Rest && *level != 0.0).then_some("resistance"),
        Waveform::Ramp { level, rise } if *rise == 0.0 && *level != 0.0 => Some("resistance"),
        Waveform::Points(points) => points
            .points()
            .windows(2)
            .any(|two| two[0].0 == two[1].0 && two[0].1 != two[1].1)
            .then_some("rise"),
        other => other.jump().map(|edge| match edge {
            Edge::Rise => "rise",
            Edge::Fall => "fall",
        }),
    }
}

fn told(part: &Part, edge: Edge) -> LoweringError {
    let property = match edge {
        Edge::Rise => "rise",
        Edge::Fall => "fall",
    };
    let how = if part.number(property) == Some(0.0) { "is 0" } else { "is too short to be told from a jump" };
    LoweringError {
        code: "jump_into_inductance",
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
