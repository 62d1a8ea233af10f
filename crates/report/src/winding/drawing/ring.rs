//! The wound ring from above.

use super::SUBTITLE;
use super::plan::Plan;
use super::shapes::{annulus, on_circle, stroke, tip};
use crate::svg::canvas::{Anchor, Canvas, coordinate};
use study::winding::Sheet;

/// Degrees between the first and the last turn of a winding that leaves room.
const OPEN: f64 = 30.0;
/// Length in units of the wire's ends.
const END: f64 = 26.0;
/// Units below the wound ring that the ends and their words take.
pub(super) const BELOW: f64 = END + 22.0;

/// Width in metre of the wound ring, wire included.
pub(super) fn width(sheet: &Sheet) -> f64 {
    sheet.core.outer + 2.0 * sheet.layers.len() as f64 * sheet.wire.overall
}

/// Degrees that the turns of an outer layer take, side by side in the hole that the layers below leave.
fn side_by_side(sheet: &Sheet, layer: usize) -> f64 {
    let hole = sheet.core.inner - (2 * layer + 1) as f64 * sheet.wire.overall;
    let turns = sheet.layers.get(layer).copied().unwrap_or(0.0);
    (turns * sheet.wire.overall / (0.5 * hole.max(sheet.wire.overall))).to_degrees().min(360.0)
}

/// Where the turns of a layer lie, in degrees from the bottom, clockwise: evenly with a gap, or side by side where the layer is full.
pub(super) fn angles(turns: f64, held: f64) -> Vec<f64> {
    let closest = 360.0 / held.max(1.0);
    let room = (360.0 - OPEN) / (turns - 1.0).max(1.0);
    let step = room.max(closest);
    let used = step * (turns - 1.0);
    let first = if used < 360.0 { (360.0 - used) / 2.0 } else { 0.0 };
    (0..turns.ceil() as usize).map(|turn| first + step * turn as f64).collect()
}

pub(super) fn draw(canvas: &mut Canvas, plan: &Plan<'_>, centre: (f64, f64)) {
    let sheet = plan.sheet;
    let [outer, inner, wire, bare] =
        [sheet.core.outer / 2.0, sheet.core.inner / 2.0, sheet.wire.overall, sheet.wire.bare]
            .map(|metre| plan.units(metre));
    annulus(canvas, centre, (outer, inner), "core");
    let mut last = 0.0;
    for (layer, turns) in sheet.layers.iter().enumerate() {
        let depth = (layer as f64 + 0.5) * wire;
        let class = if layer.is_multiple_of(2) { "copper" } else { "over" };
        let all = match layer {
            0 => angles(*turns, sheet.one_layer),
            // What does not fill a layer begins where the layer below began, turn beside turn.
            _ => angles(*turns, *turns)
                .iter()
                .map(|angle| angle * side_by_side(sheet, layer) / 360.0)
                .collect(),
        };
        if layer == 0 {
            let first = all.first().copied().unwrap_or(0.0);
            let from = on_circle(centre, outer + depth, first);
            let at = on_circle(centre, outer + depth + END, first);
            stroke(canvas, at, from, "copper", bare);
            label(canvas, centre, on_circle(centre, outer + depth + END, first - CLEAR), "start");
        }
        for angle in &all {
            let (from, to) =
                (on_circle(centre, outer + depth, *angle), on_circle(centre, inner - depth, *angle));
            stroke(canvas, from, to, "enamel", wire);
            stroke(canvas, from, to, class, bare);
        }
        last = all.last().copied().unwrap_or(0.0);
    }
    // The last pass through the hole comes out below the ring.
    let depth = (sheet.layers.len() as f64 - 0.5) * wire;
    let leaves = last + 4.0;
    stroke(canvas, on_circle(centre, inner, last), on_circle(centre, outer, leaves), "under", bare.min(3.0));
    let out = on_circle(centre, outer + depth + END, leaves);
    stroke(canvas, on_circle(centre, outer, leaves), out, "copper", bare);
    // On the far side of the other end.
    let beside = if leaves > 180.0 { CLEAR } else { -CLEAR };
    label(canvas, centre, on_circle(centre, outer + depth + END, leaves + beside), "end, from below");
    direction(canvas, centre, outer + sheet.layers.len() as f64 * wire + 12.0);
}

/// Degrees that a word stands beside the end that it names.
const CLEAR: f64 = 5.0;

/// Words just outside a point of the ring's edge.
fn label(canvas: &mut Canvas, centre: (f64, f64), at: (f64, f64), words: &str) {
    let anchor = if at.0 < centre.0 { Anchor::End } else { Anchor::Start };
    canvas.text(at.0, at.1 + 14.0, anchor, SUBTITLE.class, words);
}

/// An arrow over the ring that tells which way the winding goes on.
fn direction(canvas: &mut Canvas, centre: (f64, f64), radius: f64) {
    let (from, to) = (on_circle(centre, radius, 155.0), on_circle(centre, radius, 205.0));
    let [x1, y1, x2, y2, radius] = [from.0, from.1, to.0, to.1, radius].map(coordinate);
    canvas.raw(&format!(
        "<path d=\"M{x1} {y1}A{radius} {radius} 0 0 1 {x2} {y2}\" class=\"qr-measure\" fill=\"none\"/>"
    ));
    let along = on_circle((0.0, 0.0), 1.0, 205.0 + 90.0);
    tip(canvas, to, along);
    canvas.text(centre.0, from.1 - 12.0, Anchor::Middle, SUBTITLE.class, "from above");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turns_lie_evenly_with_a_gap_or_side_by_side() {
        // 12 turns where 80 have room: 11 steps over 330 degrees, from 15 on.
        let spread = angles(12.0, 80.0);
        assert!((spread[0] - 15.0).abs() < 1e-9 && (spread[11] - 345.0).abs() < 1e-9);
        // 40 turns where 40 have room: 9 degrees each.
        let full = angles(40.0, 40.0);
        assert!((full[1] - full[0] - 9.0).abs() < 1e-9 && full.len() == 40);
        assert_eq!(angles(1.0, 40.0), [180.0]);
    }
}
