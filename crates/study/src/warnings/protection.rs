//! Warnings of fuses: wires that they do not protect, and a voltage that they do not interrupt.

use super::paths::{Paths, feeds};
use super::show;
use language::Kind;
use network::lowered::{Lowered, LoweredPart, Warning};
use network::primitive::{Element, GND, NodeIndex};
use quantity::Dimension;
use std::collections::HashSet;

/// Multiple of its rating at which a blade fuse opens within ten minutes at the latest (ISO 8820-3, from memory).
const OPENS_AT: f64 = 1.35;

/// What the drawing says of its fuses.
pub(crate) fn of_fuses(lowered: &Lowered) -> Vec<Warning> {
    let fuses = || lowered.parts.iter().filter(|part| part.kind == Kind::Fuse);
    if fuses().next().is_none() {
        return Vec::new();
    }
    let mut warnings: Vec<Warning> = fuses().filter_map(|fuse| over_voltage(lowered, fuse)).collect();
    if let Some(paths) = Paths::new(lowered) {
        warnings.extend(fuses().flat_map(|fuse| unprotected(&paths, fuse)));
    }
    warnings
}

fn over_voltage(lowered: &Lowered, fuse: &LoweredPart) -> Option<Warning> {
    let limit = fuse.limits.interrupted_voltage?;
    let voltage = |part: &LoweredPart| match &lowered.network.branches[part.source?].element {
        // What it comes to once it has risen.
        Element::VoltageSource(waveform) => Some(waveform.piece(1e9).value.abs()),
        _ => None,
    };
    let feeding = lowered.parts.iter().filter(|part| feeds(part));
    let (pack, greatest) = feeding
        .filter_map(|part| Some((part, voltage(part)?)))
        .max_by(|(_, one), (_, other)| one.total_cmp(other))?;
    (greatest > limit).then(|| Warning {
        code: "fuse_over_voltage",
        about: fuse.name.clone(),
        weight: greatest / limit,
        text: format!(
            "{}: it interrupts {} at most, and {} has {}; the arc may go on burning; take a fuse for a higher voltage",
            fuse.name,
            show(limit, Dimension::VOLTAGE),
            pack.name,
            show(greatest, Dimension::VOLTAGE),
        ),
    })
}

/// Wires whose current the fuse has to cut off, and that carry less than it lets through.
fn unprotected(paths: &Paths<'_>, fuse: &LoweredPart) -> Vec<Warning> {
    let Some(rated) = fuse.limits.rated_current else { return Vec::new() };
    let behind = behind(paths, fuse);
    let wires = paths.parts.iter().filter(|part| part.kind == Kind::Wire);
    let behind = wires.filter(|wire| behind.contains(&wire.left) && behind.contains(&wire.right));
    behind
        .filter_map(|wire| {
            let most = wire.limits.most_current.filter(|&most| rated > most)?;
            let fact = |name: &str| wire.facts.iter().find(|fact| fact.name == name).map(|fact| fact.value);
            let melts = fact("fusing_current")?;
            let (most, melts_at) = (show(most, Dimension::CURRENT), show(melts, Dimension::CURRENT));
            let worse = if OPENS_AT * rated >= melts {
                format!("it melts at {melts_at}, before the fuse is sure to open")
            } else {
                format!("it gets hot before the fuse opens, and melts at {melts_at}")
            };
            Some(Warning {
                code: "fuse_above_wire",
                about: wire.name.clone(),
                weight: rated / melts,
                text: format!(
                    "{}: a fuse of {} protects {}, which carries {most} at most (500 circular mils an ampere); {worse}; take a smaller fuse, a thicker wire, or a fuse of its own for this wire",
                    fuse.name,
                    show(rated, Dimension::CURRENT),
                    wire.name,
                ),
            })
        })
        .collect()
}

/// Nodes on the fuse's far side from what feeds it, up to the next fuse, and those in one line with it on the near side.
fn behind(paths: &Paths<'_>, fuse: &LoweredPart) -> HashSet<NodeIndex> {
    let open = |part: &LoweredPart| part.kind != Kind::Fuse;
    let side = |from: NodeIndex| paths.reached(from, open, |node| node == GND);
    let fed = |nodes: &HashSet<NodeIndex>| {
        paths
            .parts
            .iter()
            .filter(|part| feeds(part))
            .any(|part| [part.left, part.right].iter().any(|node| *node != GND && nodes.contains(node)))
    };
    let (left, right) = (side(fuse.left), side(fuse.right));
    let mut behind = match (fed(&left), fed(&right)) {
        (true, false) => right,
        (false, true) => left,
        _ => HashSet::from([fuse.left, fuse.right]),
    };
    behind.extend(in_line(paths, fuse, fuse.left));
    behind.extend(in_line(paths, fuse, fuse.right));
    behind
}

/// Nodes that are passed from a fuse's end on for as long as there is one way to go.
fn in_line(paths: &Paths<'_>, fuse: &LoweredPart, end: NodeIndex) -> Vec<NodeIndex> {
    let (mut node, mut last) = (end, fuse);
    let mut nodes = vec![end];
    while node != GND
        && let [one, other] = paths.at(node)
    {
        let next = if std::ptr::eq(*one, last) { *other } else { *one };
        if next.kind != Kind::Wire && next.kind != Kind::Connector && next.kind != Kind::Switch {
            break;
        }
        node = if next.left == node { next.right } else { next.left };
        if nodes.contains(&node) {
            break;
        }
        nodes.push(node);
        last = next;
    }
    nodes
}
