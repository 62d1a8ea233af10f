//! Warnings that the drawing alone gives: a coil that cannot act, a capacitor on the wrong side of it, and what packs and fuses say.

use language::Kind;
use language::description::{Harness, Part};
use network::lowered::{Lowered, Warning};
use std::collections::{HashMap, HashSet};

/// Looks at every coil and what stands on either side of it, at packs and at fuses.
pub(crate) fn of_drawing(harness: &Harness, lowered: &Lowered) -> Vec<Warning> {
    let mut drawing = Drawing::new(harness);
    let coils = harness.parts.iter().filter(|part| part.kind == Kind::Coil);
    let mut warnings = super::pack_voltage::of_packs(harness, lowered);
    warnings.extend(coils.flat_map(|coil| of_coil(&mut drawing, lowered, coil)));
    warnings.extend(super::returns::reversed_packs(lowered));
    warnings.extend(super::polarity::of_users(lowered));
    warnings.extend(super::magnitude::of_values(harness));
    warnings.extend(super::protection::of_fuses(lowered));
    warnings
}

/// Parts that are looked at over all coils. A drawing made by hand needs some hundreds; in one of many thousand coils every
/// coil would be followed through all of it, so the last ones go without these hints.
const MOST_WORK: usize = 2_000_000;

/// Which parts are on which node.
struct Drawing<'h> {
    touching: HashMap<&'h str, Vec<&'h Part>>,
    work: usize,
}

impl<'h> Drawing<'h> {
    fn new(harness: &'h Harness) -> Self {
        let mut touching: HashMap<&str, Vec<&Part>> = HashMap::new();
        for part in &harness.parts {
            for node in part.pairs().flat_map(|(left, right)| [left, right]) {
                let on = touching.entry(node).or_default();
                // A part with both ends on one node is on it once.
                if on.last().is_none_or(|last| !std::ptr::eq(*last, part)) {
                    on.push(part);
                }
            }
        }
        Self { touching, work: 0 }
    }

    fn at(&self, node: &str) -> &[&'h Part] {
        self.touching.get(node).map_or(&[], Vec::as_slice)
    }
}

fn of_coil(drawing: &mut Drawing<'_>, lowered: &Lowered, coil: &Part) -> Vec<Warning> {
    let (near_left, near_right) =
        (drives_beyond(drawing, coil, &coil.left), drives_beyond(drawing, coil, &coil.right));
    if drawing.work > MOST_WORK {
        return Vec::new();
    }
    let (source_side, load_side) = match (near_left, near_right) {
        (true, false) => (&coil.left, &coil.right),
        (false, true) => (&coil.right, &coil.left),
        _ => return Vec::new(),
    };
    let mut warnings = Vec::new();
    drawing.work += drawing.at(source_side).len() + drawing.at(load_side).len();
    let at =
        |node: &str, kind: Kind| drawing.at(node).iter().filter(|part| part.kind == kind).collect::<Vec<_>>();
    let bare = drawing
        .at(load_side)
        .iter()
        .find(|part| lowered.part(&part.name).is_some_and(|part| part.limits.bare_constant_load));
    if let Some(load) = bare
        && at(load_side, Kind::Capacitor).is_empty()
    {
        warnings.push(Warning {
            code: "coil_cannot_act",
            about: coil.name.clone(),
            weight: 0.0,
            text: format!(
                "{}: {} draws a constant current and has no capacitance, so the current in the coil never changes and the coil drops no ripple; put a capacitor from {load_side} to gnd, or state the input capacitance",
                coil.name, load.name,
            ),
        });
    }
    let capacitors = at(source_side, Kind::Capacitor);
    // Where a drive meets the same node, the capacitor is the drive's own.
    if let Some(capacitor) = capacitors.first()
        && at(source_side, Kind::Drive).is_empty()
        && at(load_side, Kind::Capacitor).is_empty()
    {
        warnings.push(Warning {
            code: "capacitor_on_source_side",
            about: capacitor.name.clone(),
            weight: 0.0,
            text: format!(
                "{} stands on the source side of {}, where it sees the pack's few milliohms and does almost nothing for the camera; move it to {load_side}",
                capacitor.name, coil.name,
            ),
        });
    }
    warnings
}

fn pushes(part: &Part) -> bool {
    match part.kind {
        Kind::Battery | Kind::Supply | Kind::Generator => true,
        Kind::Source => part.properties.contains_key("voltage"),
        _ => false,
    }
}

/// Whether a part that pushes is reached from a node without passing the coil or `gnd`.
fn drives_beyond(drawing: &mut Drawing<'_>, coil: &Part, from: &str) -> bool {
    let mut queue = vec![from];
    let mut reached = HashSet::from([from]);
    let mut work = 0;
    let mut found = false;
    while let Some(node) = queue.pop().filter(|_| !found && drawing.work + work <= MOST_WORK) {
        if node == "gnd" {
            continue;
        }
        for part in drawing.at(node).iter().filter(|part| part.name != coil.name) {
            work += 1;
            found |= pushes(part);
            for (left, right) in part.pairs().filter(|(left, right)| *left == node || *right == node) {
                let next = if left == node { right } else { left };
                if reached.insert(next) {
                    queue.push(next);
                }
            }
        }
    }
    drawing.work += work;
    found
}
