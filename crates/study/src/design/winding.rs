//! What can be wound on a ring: how many turns, of which wire.

use language::stock::StockItem;
use parts::copper;
use parts::winding::{enamelled_diameter, turn_length, turns_in_one_layer};
use std::f64::consts::{PI, SQRT_2};

/// A winding that fits a ring in one layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Wound {
    pub(super) turns: f64,
    /// Length of the wire in metre, without what is left over at its ends.
    pub(super) length: f64,
    /// Mass of its copper in kilogram.
    pub(super) copper: f64,
}

/// Share that is cut longer than the winding takes: the ends, and what a hand wastes (common practice, no source).
pub(super) const SPARE: f64 = 1.1;

/// Numbers of turns of a wire on a ring: first the full layer, or as many as are `borne` by the core, then each by the square root of two fewer, so that the inductance
/// halves from one to the next.
pub(super) fn windings(ring: &StockItem, wire: &StockItem, counts: usize, borne: f64) -> Vec<Wound> {
    let size = |name: &str| ring.part.as_ref().and_then(|part| part.number(name)).unwrap_or(0.0);
    let (outer, inner, height) = (size("outer"), size("inner"), size("height"));
    let overall = enamelled_diameter(wire.wire_diameter);
    if overall >= inner {
        return Vec::new();
    }
    let one_turn = turn_length(outer, inner, height, overall, 0);
    let held = turns_in_one_layer(inner, overall);
    let on_hand = wire.length.map_or(f64::INFINITY, |length| (length / SPARE / one_turn).floor());
    let most = held.min(on_hand).min(borne.floor());
    let mut found: Vec<Wound> = Vec::new();
    for step in 0..counts {
        let turns = (most / SQRT_2.powi(i32::try_from(step).unwrap_or(i32::MAX))).round();
        if turns < 1.0 || found.last().is_some_and(|last| last.turns <= turns) {
            break;
        }
        let length = turns * one_turn;
        let section = PI / 4.0 * wire.wire_diameter * wire.wire_diameter;
        found.push(Wound { turns, length, copper: copper::DENSITY * section * length });
    }
    found
}
