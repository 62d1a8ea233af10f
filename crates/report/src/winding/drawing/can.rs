//! An electrolytic can from the side, with its stripe and its leads.

use super::SUBTITLE;
use super::plan::Plan;
use super::shapes::{measure, rounded, stroke};
use crate::svg::canvas::{Anchor, Canvas};
use crate::text::value;
use quantity::Dimension;
use study::winding::Can;

/// Length in metre of the leads as they are drawn: that of plus, and how much shorter that of minus is.
const LEAD: f64 = 5e-3;
const SHORTER: f64 = 1.5e-3;
/// Units below the leads that words take.
pub(super) const BELOW: f64 = 24.0;
/// Share of the can's diameter that the stripe takes.
const STRIPE: f64 = 0.26;

/// Height in metre with its leads.
pub(super) fn height(size: (f64, f64)) -> f64 {
    size.1 + LEAD
}

/// Draws it with its left edge at `x`, its middle height at `middle`.
pub(super) fn draw(
    canvas: &mut Canvas,
    plan: &Plan<'_>,
    can: &Can,
    size: (f64, f64),
    (x, middle): (f64, f64),
) {
    let [wide, tall, lead, shorter] = [size.0, size.1, LEAD, SHORTER].map(|metre| plan.units(metre));
    let top = middle - (tall + lead) / 2.0;
    let base = top + tall;
    let (plus, minus) = (x + 0.25 * wide, x + 0.75 * wide);
    stroke(canvas, (plus, base), (plus, base + lead), "lead", 2.5);
    stroke(canvas, (minus, base), (minus, base + lead - shorter), "lead", 2.5);
    rounded(canvas, (x, top), (wide, tall), 0.06 * wide, "can", None);
    let stripe = STRIPE * wide;
    let left = x + wide - stripe - 0.04 * wide;
    canvas.rectangle((left, top + 0.03 * tall), (stripe, 0.94 * tall), "stripe");
    for sign in 0..3 {
        let y = top + tall * (0.22 + 0.28 * f64::from(sign));
        canvas.line((left + 0.2 * stripe, y), (left + 0.8 * stripe, y), "minus");
    }
    let below = base + lead + 16.0;
    canvas.text(plus, below, Anchor::End, SUBTITLE.class, &format!("+ {}", can.plus));
    canvas.text(minus - 6.0, below, Anchor::Start, SUBTITLE.class, &format!("− {}", can.minus));
    let words = |metre: f64| value(metre, Dimension::LENGTH);
    measure(canvas, (x, top - 10.0), (x + wide, top - 10.0));
    let label = format!("{}, a usual can", can.part);
    canvas.text(x + wide / 2.0, top - 34.0, Anchor::Middle, SUBTITLE.class, &label);
    let across = format!("{} x {}", words(size.0), words(size.1));
    canvas.text(x + wide / 2.0, top - 16.0, Anchor::Middle, SUBTITLE.class, &across);
}
