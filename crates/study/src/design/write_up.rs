//! A winner's parts in the terms of the stock, with what is to be wound.

use super::candidate::Candidate;
use super::element::Element;
use super::judge::Judge;
use super::outcome::{Piece, Winding};
use super::winding::SPARE;
use language::description::{Harness, Start, Tolerance, Value};
use parts::copper;
use parts::winding::{enamelled_diameter, turns_in_one_layer};
use std::f64::consts::PI;

/// Tolerance of a ring's inductance factor where the stock states none: that of most ferrite rings (common practice, no source).
const RING_TOLERANCE: f64 = 0.25;

/// The parts of a filter, from the source's side on.
pub(super) fn pieces(
    candidate: &Candidate,
    all: &[Element],
    judge: &Judge<'_>,
    harness: &Harness,
) -> Vec<Piece> {
    let stock = judge.task.stock;
    let lowered = network::lowering::lower(harness, Start::Steady).ok();
    let slots = candidate.topology.slots().iter().zip(candidate.elements(all));
    let piece = |(slot, element): (&super::topology::Slot, &Element)| {
        let part = judge.names.of(slot.name);
        let ring = &stock.items[element.line];
        let winding = element.wound.map(|(line, wound)| {
            let wire = &stock.items[line];
            let diameter = wire.wire_diameter;
            let inner = ring.part.as_ref().and_then(|part| part.number("inner")).unwrap_or(0.0);
            let inductor = lowered.as_ref().and_then(|lowered| lowered.part(&part)?.inductor.as_ref());
            let nominal = inductor.map_or(0.0, |core| core.law.initial_inductance());
            let share = ring.part.as_ref().and_then(tolerance).unwrap_or(RING_TOLERANCE);
            Winding {
                wire: wire.name.clone(),
                wire_diameter: diameter,
                turns: wound.turns,
                one_layer: turns_in_one_layer(inner, enamelled_diameter(diameter)),
                length: wound.length,
                cut: wound.length * SPARE,
                inductance: [nominal, nominal * (1.0 - share), nominal * (1.0 + share)],
                resistance: copper::resistance(
                    wound.length,
                    PI / 4.0 * diameter * diameter,
                    copper::REFERENCE_TEMPERATURE,
                ),
                copper: wound.copper,
            }
        });
        Piece { part, stock: ring.name.clone(), winding }
    };
    slots.map(piece).collect()
}

/// What the ring's values allow its inductance, as a share.
fn tolerance(ring: &language::description::Part) -> Option<f64> {
    ["al", "permeability", "test_inductance"].iter().find_map(|name| match ring.properties.get(*name)? {
        Value::Number(_, Some(Tolerance::Relative(share))) => Some(*share),
        Value::Number(value, Some(Tolerance::Absolute(by))) => Some(by / value.value),
        _ => None,
    })
}
