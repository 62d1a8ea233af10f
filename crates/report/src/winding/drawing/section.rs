//! The ring cut through its axis, with the wire around it.

use super::SUBTITLE;
use super::plan::Plan;
use super::shapes::{measure, rounded};
use crate::svg::canvas::{Anchor, Canvas};
use crate::text::value;
use quantity::Dimension;

pub(super) fn draw(canvas: &mut Canvas, plan: &Plan<'_>, centre: (f64, f64)) {
    let sheet = plan.sheet;
    let core = &sheet.core;
    let [outer, inner, height, wire, bare] =
        [core.outer / 2.0, core.inner / 2.0, core.height, sheet.wire.overall, sheet.wire.bare]
            .map(|metre| plan.units(metre));
    let top = centre.1 - height / 2.0;
    for left in [centre.0 - outer, centre.0 + inner] {
        for layer in (0..sheet.layers.len()).rev() {
            let depth = (layer as f64 + 0.5) * wire;
            let corner = (left - depth, top - depth);
            let size = (outer - inner + 2.0 * depth, height + 2.0 * depth);
            let class = if layer.is_multiple_of(2) { "copper" } else { "over" };
            rounded(canvas, corner, size, depth, "enamel", Some(wire));
            rounded(canvas, corner, size, depth, class, Some(bare));
        }
        canvas.rectangle((left, top), (outer - inner, height), "core");
    }
    let build = sheet.layers.len() as f64 * wire;
    let words = |metre: f64| value(metre, Dimension::LENGTH);
    let below = top + height + build + 16.0;
    measure(canvas, (centre.0 - outer, below), (centre.0 + outer, below));
    canvas.text(centre.0, below + 17.0, Anchor::Middle, SUBTITLE.class, &words(core.outer));
    let above = top - build - 12.0;
    measure(canvas, (centre.0 - inner, above), (centre.0 + inner, above));
    canvas.text(centre.0, above - 7.0, Anchor::Middle, SUBTITLE.class, &words(core.inner));
    let beside = centre.0 + outer + build + 10.0;
    measure(canvas, (beside, top), (beside, top + height));
    canvas.text(beside + 7.0, centre.1 + 5.0, Anchor::Start, SUBTITLE.class, &words(core.height));
    let over = (above - 26.0).min(centre.1 - outer - 24.0);
    canvas.text(centre.0, over, Anchor::Middle, SUBTITLE.class, "cut through the axis");
}
