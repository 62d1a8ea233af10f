//! What stands where on the drawing, and at what scale.

use super::SUBTITLE;
use super::{FINE, MARGIN, PITCH, UNITS, WIDTH, can, ring, section, shapes};
use crate::svg::canvas::{Anchor, Canvas};
use study::winding::{Can, Sheet};

/// Scales that a ruler can be laid against, the greatest first.
const SCALES: [f64; 9] = [10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.5];
/// Height in units that the drawings may take.
const TALLEST: f64 = 100.0 * UNITS;
/// Room between two drawings, for measures.
const GAP: f64 = 78.0;
/// Room for words above the drawings.
const ABOVE: f64 = 44.0;
/// Cans that are drawn at most; all are listed.
const MOST_CANS: usize = 3;

/// A sheet with the scale of its drawings.
pub(super) struct Plan<'s> {
    pub(super) sheet: &'s Sheet,
    cans: Vec<(&'s Can, (f64, f64))>,
    /// Millimetres on paper for one of the thing.
    scale: f64,
}

impl<'s> Plan<'s> {
    pub(super) fn new(sheet: &'s Sheet) -> Self {
        let cans: Vec<(&Can, (f64, f64))> =
            sheet.cans.iter().filter_map(|can| Some((can, can.size?))).take(MOST_CANS).collect();
        let wide = 2.0 * ring::width(sheet) + cans.iter().map(|(_, size)| size.0).sum::<f64>();
        let tall = cans.iter().map(|(_, size)| can::height(*size)).fold(ring::width(sheet), f64::max);
        let room = WIDTH - MARGIN - left(sheet) - GAP * (1 + cans.len()) as f64;
        let fits =
            |scale: &&f64| wide * 1e3 * UNITS * **scale <= room && tall * 1e3 * UNITS * **scale <= TALLEST;
        let least = SCALES[SCALES.len() - 1];
        Self { sheet, cans, scale: SCALES.iter().find(fits).copied().unwrap_or(least) }
    }

    /// Units of the drawing for a length in metre.
    pub(super) fn units(&self, metre: f64) -> f64 {
        metre * 1e3 * UNITS * self.scale
    }

    fn scale_in_words(&self) -> String {
        if self.scale < 1.0 { format!("1:{}", 1.0 / self.scale) } else { format!("{}:1", self.scale) }
    }
}

/// Left edge of the ring: an outer layer may end anywhere, with its words left of it.
fn left(sheet: &Sheet) -> f64 {
    if sheet.layers.len() > 1 { MARGIN + 115.0 } else { MARGIN }
}

/// Draws ring, section and cans below `top`; gives where the next begins.
pub(super) fn draw(canvas: &mut Canvas, plan: &Plan<'_>, top: f64) -> f64 {
    let wide = plan.units(ring::width(plan.sheet));
    let tallest = plan.cans.iter().map(|(_, size)| plan.units(can::height(*size))).fold(wide, f64::max);
    let middle = top + ABOVE + tallest / 2.0;
    let left = left(plan.sheet);
    ring::draw(canvas, plan, (left + wide / 2.0, middle));
    section::draw(canvas, plan, (left + wide + GAP + wide / 2.0, middle));
    let mut x = left + 2.0 * (wide + GAP);
    for (can, size) in &plan.cans {
        can::draw(canvas, plan, can, *size, (x, middle));
        x += plan.units(size.0) + GAP;
    }
    let below = (wide / 2.0 + ring::BELOW).max(tallest / 2.0 + can::BELOW);
    let words = format!(
        "Drawn {}. Printed at 100 % the bar is 20 mm long; beside it the ring{} in true size: lay yours on it.",
        plan.scale_in_words(),
        if plan.cans.is_empty() { "" } else { " and the can" }
    );
    let mut line = middle + below;
    for text in FINE.lines(&words, WIDTH - 2.0 * MARGIN) {
        line += PITCH;
        canvas.text(MARGIN, line, Anchor::Start, FINE.class, &text);
    }
    true_size(canvas, plan, line + 0.8 * PITCH)
}

/// A bar to check the print with, and outlines in true size; gives where the next begins.
fn true_size(canvas: &mut Canvas, plan: &Plan<'_>, top: f64) -> f64 {
    let units = |metre: f64| metre * 1e3 * UNITS;
    let core = &plan.sheet.core;
    let cans: Vec<(f64, f64)> = plan.cans.iter().map(|(_, size)| *size).collect();
    let tall = cans.iter().map(|size| units(size.1)).fold(units(core.outer), f64::max).max(24.0);
    let middle = top + tall / 2.0;
    let bar = [(MARGIN, middle), (MARGIN + units(20e-3), middle)];
    canvas.line(bar[0], bar[1], "bracket");
    for (x, _) in bar {
        canvas.line((x, middle - 6.0), (x, middle + 6.0), "bracket");
    }
    canvas.text(MARGIN + units(10e-3), middle - 10.0, Anchor::Middle, SUBTITLE.class, "20 mm");
    let mut x = MARGIN + units(20e-3) + 40.0;
    let centre = (x + units(core.outer) / 2.0, middle);
    shapes::circle(canvas, centre, units(core.outer) / 2.0, "outline");
    shapes::circle(canvas, centre, units(core.inner) / 2.0, "outline");
    x += units(core.outer) + 30.0;
    for size in cans {
        let (wide, tall) = (units(size.0), units(size.1));
        shapes::rounded(canvas, (x, middle - tall / 2.0), (wide, tall), 3.0, "outline", None);
        x += wide + 20.0;
    }
    top + tall + 6.0
}
