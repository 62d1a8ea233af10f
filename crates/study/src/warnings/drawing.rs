//! Warnings that the drawing alone gives: a coil that cannot act, a capacitor on the wrong side of it.

use language::Kind;
use language::description::{Harness, Part};
use network::lowered::{Lowered, Warning};

/// Looks at every coil and what stands on either side of it.
pub(crate) fn of_drawing(harness: &Harness, lowered: &Lowered) -> Vec<Warning> {
    let coils = harness.parts.iter().filter(|part| part.kind == Kind::Coil);
    coils.flat_map(|coil| of_coil(harness, lowered, coil)).collect()
}

fn of_coil(harness: &Harness, lowered: &Lowered, coil: &Part) -> Vec<Warning> {
    let (near_left, near_right) =
        (drives_beyond(harness, coil, &coil.left), drives_beyond(harness, coil, &coil.right));
    let (source_side, load_side) = match (near_left, near_right) {
        (true, false) => (&coil.left, &coil.right),
        (false, true) => (&coil.right, &coil.left),
        _ => return Vec::new(),
    };
    let mut warnings = Vec::new();
    let at =
        |node: &str, kind: Kind| touching(harness, node).filter(|part| part.kind == kind).collect::<Vec<_>>();
    let bare = touching(harness, load_side)
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

fn touching<'h>(harness: &'h Harness, node: &str) -> impl Iterator<Item = &'h Part> {
    harness.parts.iter().filter(move |part| part.touches(node))
}

fn pushes(part: &Part) -> bool {
    match part.kind {
        Kind::Battery | Kind::Supply | Kind::Generator => true,
        Kind::Source => part.properties.contains_key("voltage"),
        _ => false,
    }
}

/// Whether a part that pushes is reached from a node without passing the coil or `gnd`.
fn drives_beyond(harness: &Harness, coil: &Part, from: &str) -> bool {
    let mut reached = vec![from];
    let mut index = 0;
    while index < reached.len() {
        let node = reached[index];
        index += 1;
        if node == "gnd" {
            continue;
        }
        for part in touching(harness, node).filter(|part| part.name != coil.name) {
            if pushes(part) {
                return true;
            }
            for (left, right) in part.pairs().filter(|(left, right)| *left == node || *right == node) {
                let next = if left == node { right } else { left };
                if !reached.contains(&next) {
                    reached.push(next);
                }
            }
        }
    }
    false
}
