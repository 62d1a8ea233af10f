//! Whether anything feeds a part: a way for direct current from a source to both of its nodes.

use language::Kind;
use network::lowered::{Lowered, LoweredPart};
use network::primitive::{Branch, Element, NodeIndex};
use std::collections::{HashMap, HashSet};

/// The first of a part's two nodes that no direct current reaches from a source, except through the part itself.
pub(super) fn unfed_node(lowered: &Lowered, part: &LoweredPart) -> Option<NodeIndex> {
    let kinds: HashMap<&str, Kind> =
        lowered.parts.iter().map(|part| (part.name.as_str(), part.kind)).collect();
    let mut touching: HashMap<NodeIndex, Vec<&Branch>> = HashMap::new();
    for branch in lowered.network.branches.iter().filter(|branch| branch.part != part.name) {
        if conducts(&branch.element) {
            touching.entry(branch.left).or_default().push(branch);
            touching.entry(branch.right).or_default().push(branch);
        }
    }
    let is_source = |branch: &Branch| kinds.get(branch.part.as_str()).is_some_and(|kind| pushes(*kind));
    let fed = |from: NodeIndex, other: NodeIndex| {
        let (mut reached, mut queue) = (HashSet::from([from]), vec![from]);
        while let Some(node) = queue.pop().filter(|node| *node != other) {
            for branch in touching.get(&node).map_or(&[][..], Vec::as_slice) {
                if is_source(branch) {
                    return true;
                }
                let next = if branch.left == node { branch.right } else { branch.left };
                if next != other && reached.insert(next) {
                    queue.push(next);
                }
            }
        }
        false
    };
    if !fed(part.left, part.right) {
        return Some(part.left);
    }
    (!fed(part.right, part.left)).then_some(part.right)
}

fn conducts(element: &Element) -> bool {
    !matches!(element, Element::Capacitor(_))
}

fn pushes(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Battery | Kind::Supply | Kind::Generator | Kind::Source | Kind::Regulator | Kind::HalfBridge
    )
}
