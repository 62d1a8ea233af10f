//! Ways through what passes a current on: wires, connectors, switches, fuses, resistors, coils, beads and diodes.

use language::Kind;
use network::lowered::{Lowered, LoweredPart};
use network::primitive::{GND, NodeIndex};
use std::collections::{HashMap, HashSet};

/// Drawings with more parts go without the hints that look for ways; one made by hand has some dozens.
const MOST_PARTS: usize = 2_000;

/// Which parts are on which node.
pub(super) struct Paths<'l> {
    pub(super) parts: &'l [LoweredPart],
    touching: HashMap<NodeIndex, Vec<&'l LoweredPart>>,
}

/// Whether a current that enters a part leaves it at its other end.
pub(super) fn passes(part: &LoweredPart) -> bool {
    matches!(
        part.kind,
        Kind::Wire
            | Kind::Connector
            | Kind::Switch
            | Kind::Fuse
            | Kind::Resistor
            | Kind::Coil
            | Kind::Bead
            | Kind::Diode
    )
}

impl<'l> Paths<'l> {
    /// `None` where the drawing is too large to be looked through.
    pub(super) fn new(lowered: &'l Lowered) -> Option<Self> {
        if lowered.parts.len() > MOST_PARTS {
            return None;
        }
        let mut touching: HashMap<NodeIndex, Vec<&LoweredPart>> = HashMap::new();
        for part in &lowered.parts {
            touching.entry(part.left).or_default().push(part);
            touching.entry(part.right).or_default().push(part);
        }
        Some(Self { parts: &lowered.parts, touching })
    }

    pub(super) fn at(&self, node: NodeIndex) -> &[&'l LoweredPart] {
        self.touching.get(&node).map_or(&[], Vec::as_slice)
    }

    /// Nodes that are reached from one through parts that `open` lets pass; beyond a node that `ends` it goes on no further.
    pub(super) fn reached(
        &self,
        from: NodeIndex,
        open: impl Fn(&LoweredPart) -> bool,
        ends: impl Fn(NodeIndex) -> bool,
    ) -> HashSet<NodeIndex> {
        let mut reached = HashSet::from([from]);
        let mut queue = vec![from];
        while let Some(node) = queue.pop() {
            if ends(node) {
                continue;
            }
            for part in self.at(node).iter().filter(|part| passes(part) && open(part)) {
                let next = if part.left == node { part.right } else { part.left };
                if reached.insert(next) {
                    queue.push(next);
                }
            }
        }
        reached
    }

    /// Where currents return to: the minus of what feeds the harness, `gnd` where nothing does.
    pub(super) fn sinks(&self) -> HashSet<NodeIndex> {
        let feeding = self.parts.iter().filter(|part| feeds(part));
        let sinks: HashSet<NodeIndex> = feeding.map(|part| part.left).collect();
        if sinks.is_empty() { HashSet::from([GND]) } else { sinks }
    }
}

/// Whether a part feeds the harness.
pub(super) fn feeds(part: &LoweredPart) -> bool {
    matches!(part.kind, Kind::Battery | Kind::Supply)
}
