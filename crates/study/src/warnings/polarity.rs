//! Users of current that are drawn the wrong way round: a drive then pushes its current into the rail, and a camera goes without.

use super::paths::{Paths, feeds};
use super::show;
use crate::meter::Meter;
use language::Kind;
use network::lowered::{Lowered, LoweredPart, Warning};
use network::primitive::{Element, GND, NodeIndex};
use quantity::Dimension;
use std::collections::HashSet;

/// Users that are looked at; a drawing of thousands has no more to say than its first ones.
const MOST_USERS: usize = 200;
/// A mean voltage in volt above this negative one is nothing at all rather than the wrong way round: own choice.
const HARDLY_NEGATIVE: f64 = -0.05;

/// Whether a user of current does something else when it is turned round. A resistance does not mind.
fn has_a_direction(lowered: &Lowered, part: &LoweredPart) -> bool {
    part.kind != Kind::Load || elements(lowered, part).any(|element| matches!(element, Element::Load(_)))
}

fn elements<'l>(lowered: &'l Lowered, part: &'l LoweredPart) -> impl Iterator<Item = &'l Element> {
    let own = lowered.network.branches.iter().filter(|branch| branch.part == part.name);
    own.map(|branch| &branch.element)
}

/// Minus and plus of a part that feeds the harness, once it has risen; `None` where it has no voltage.
fn poles(lowered: &Lowered, part: &LoweredPart) -> Option<(NodeIndex, NodeIndex)> {
    let Element::VoltageSource(waveform) = &lowered.network.branches[part.source?].element else {
        return None;
    };
    let voltage = waveform.piece(1e9).value;
    match voltage.partial_cmp(&0.0)? {
        std::cmp::Ordering::Greater => Some((part.left, part.right)),
        std::cmp::Ordering::Less => Some((part.right, part.left)),
        std::cmp::Ordering::Equal => None,
    }
}

/// The drawing as far as it tells which way a current flows.
struct Directions<'l> {
    paths: Paths<'l>,
    poles: Vec<(NodeIndex, NodeIndex)>,
    /// Whether nothing can put `gnd` above another node.
    gnd_is_lowest: bool,
}

impl<'l> Directions<'l> {
    fn new(lowered: &'l Lowered) -> Option<Self> {
        let paths = Paths::new(lowered)?;
        let feeding = lowered.parts.iter().filter(|part| feeds(part));
        let poles: Vec<_> = feeding.filter_map(|part| poles(lowered, part)).collect();
        let others = lowered
            .parts
            .iter()
            .any(|part| matches!(part.kind, Kind::Source | Kind::HalfBridge | Kind::Generator));
        let gnd_is_lowest = !poles.is_empty() && !others && poles.iter().all(|(_, plus)| *plus != GND);
        Some(Self { paths, poles, gnd_is_lowest })
    }

    /// Whether a part is the wrong way round; `None` where the drawing does not say.
    fn is_reversed(&self, part: &LoweredPart) -> Option<bool> {
        // A resistor may be half of a divider and lead from one pole to the other.
        let open = |part: &LoweredPart| part.kind != Kind::Resistor;
        let from = |node, other| {
            let mut reached = self.paths.reached(node, open, |next| next == other);
            // A diode across the part leads to its other node.
            reached.remove(&other);
            reached
        };
        let (left, right) = (from(part.left, part.right), from(part.right, part.left));
        let between = |low: &HashSet<NodeIndex>, high: &HashSet<NodeIndex>| {
            self.poles.iter().any(|(minus, plus)| low.contains(minus) && high.contains(plus))
        };
        match (between(&right, &left), between(&left, &right)) {
            (true, false) => Some(false),
            (false, true) => Some(true),
            _ => (part.left == GND && part.right != GND && self.gnd_is_lowest).then_some(true),
        }
    }
}

fn users(lowered: &Lowered) -> impl Iterator<Item = &LoweredPart> {
    let users = lowered.parts.iter().filter(|part| {
        matches!(part.kind, Kind::Drive | Kind::Camera | Kind::Servo | Kind::Transmitter | Kind::Load)
    });
    users.take(MOST_USERS).filter(|part| has_a_direction(lowered, part))
}

/// Users that the drawing shows to be the wrong way round. Where a pack is told to be, they follow from that.
pub(crate) fn of_users(lowered: &Lowered) -> Vec<Warning> {
    if users(lowered).next().is_none() || !super::returns::reversed_packs(lowered).is_empty() {
        return Vec::new();
    }
    let Some(directions) = Directions::new(lowered) else { return Vec::new() };
    let reversed = users(lowered).filter(|part| directions.is_reversed(part) == Some(true));
    reversed.map(|part| warning(lowered, part, None)).collect()
}

/// Names of users whose voltage only a run shows, cameras aside, whose supply is watched in any case.
pub(super) fn undecided(lowered: &Lowered) -> Vec<&LoweredPart> {
    let directions = Directions::new(lowered);
    let undecided = users(lowered)
        .filter(|part| part.kind != Kind::Camera)
        .filter(|part| directions.as_ref().is_none_or(|directions| directions.is_reversed(part).is_none()));
    undecided.collect()
}

/// Whether a run shows a user to be the wrong way round.
pub(super) fn is_negative(meter: &Meter) -> bool {
    meter.mean() < HARDLY_NEGATIVE
}

/// What to say of a user's negative voltage, unless the drawing has told it.
pub(super) fn of_voltage(lowered: &Lowered, part: &LoweredPart, meter: &Meter) -> Option<Warning> {
    let told = !super::returns::reversed_packs(lowered).is_empty()
        || of_users(lowered).iter().any(|warning| warning.about == part.name);
    (is_negative(meter) && !told).then(|| warning(lowered, part, Some(meter.mean())))
}

fn warning(lowered: &Lowered, part: &LoweredPart, mean: Option<f64>) -> Warning {
    let (left, right) = (&lowered.network.nodes[part.left], &lowered.network.nodes[part.right]);
    let pushes = elements(lowered, part).any(|element| matches!(element, Element::CurrentSource(_)));
    let effect = if pushes {
        format!("so it pushes current into {right} instead of drawing it")
    } else {
        "so its plus is on the minus and it does not draw what it should".to_owned()
    };
    let shown = mean.map_or_else(String::new, |mean| {
        format!(", and {left} is {} below {right} on average", show(-mean, Dimension::VOLTAGE))
    });
    Warning {
        code: "user_reversed",
        about: part.name.clone(),
        weight: mean.map_or(0.0, f64::abs),
        text: format!(
            "{}: this {} is drawn from {left} to {right}{shown}, {effect}; swap the two nodes: write `{right} -> {left}`",
            part.name,
            part.kind.word(),
        ),
    }
}
