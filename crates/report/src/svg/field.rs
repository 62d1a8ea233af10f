//! A field with two axes, straight or logarithmic, in which curves, stems, bars and dots are drawn.

use super::canvas::{Anchor, Canvas};
use super::scale::{Scale, Tick, powers};
use super::style::{TICK, WIDTH};
use quantity::Dimension;

/// An axis with its ticks.
pub(super) struct Axis {
    scale: Scale,
    logarithmic: bool,
    pub(super) ticks: Vec<Tick>,
}

impl Axis {
    /// A straight axis between two values, at the coordinates `ends`.
    pub(super) fn straight(
        (low, high): (f64, f64),
        ends: (f64, f64),
        most: usize,
        dimension: Dimension,
    ) -> Self {
        let scale = Scale::new(low, high, ends);
        let ticks = scale.ticks(most, dimension);
        Self { scale, logarithmic: false, ticks }
    }

    /// A logarithmic axis between two values above 0; its ticks are values, not logarithms.
    pub(super) fn logarithmic(
        (low, high): (f64, f64),
        ends: (f64, f64),
        most: usize,
        dimension: Dimension,
    ) -> Self {
        let scale = Scale::new(low.log10(), high.log10(), ends);
        let ticks = powers(scale.reach(), dimension, most);
        let ticks: Vec<Tick> =
            ticks.into_iter().map(|tick| Tick { value: 10_f64.powf(tick.value), ..tick }).collect();
        // Within a narrow reach there may be no such number; round steps then serve as well.
        let ticks = if ticks.len() < 2 { Scale::new(low, high, ends).ticks(most, dimension) } else { ticks };
        Self { scale, logarithmic: true, ticks }
    }

    /// The coordinate of a value.
    pub(super) fn place(&self, value: f64) -> f64 {
        if self.logarithmic {
            // Nothing lies far below the axis' foot.
            let value = if value > 0.0 { value.log10() } else { f64::NEG_INFINITY };
            self.scale.place(value)
        } else {
            self.scale.place(value)
        }
    }

    /// Between which values it goes.
    pub(super) fn reach(&self) -> (f64, f64) {
        let (low, high) = self.scale.reach();
        if self.logarithmic { (10_f64.powf(low), 10_f64.powf(high)) } else { (low, high) }
    }
}

/// Where a field stands.
#[derive(Clone, Copy)]
pub(super) struct Place {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Place {
    pub(super) fn right(self) -> f64 {
        self.x + self.width
    }

    pub(super) fn bottom(self) -> f64 {
        self.y + self.height
    }

    /// Coordinates of the ends of an axis along the width.
    pub(super) fn across(self) -> (f64, f64) {
        (self.x, self.right())
    }

    /// Coordinates of the ends of an axis along the height: upwards.
    pub(super) fn upwards(self) -> (f64, f64) {
        (self.bottom(), self.y)
    }
}

/// From a field's lower edge to the baseline of the labels of its axis, and from there to its name.
pub(super) const LABELS: f64 = 22.0;
pub(super) const AXIS_NAME: f64 = 24.0;

/// A field with its axes.
pub(super) struct Field<'a> {
    pub(super) place: Place,
    pub(super) x: &'a Axis,
    pub(super) y: &'a Axis,
    /// Whether the ticks along the width carry their labels.
    pub(super) x_labels: bool,
    /// Name of the axis along the width, under its labels; empty for none.
    pub(super) x_name: &'a str,
}

impl Field<'_> {
    /// The empty field; what is drawn later lies over it.
    pub(super) fn draw(&self, canvas: &mut Canvas) {
        let Place { x, y, width, height } = self.place;
        canvas.rectangle((x, y), (width, height), "field");
        let line = |value: f64| if value == 0.0 { "zero" } else { "grid" };
        for tick in &self.y.ticks {
            let at = self.y.place(tick.value);
            canvas.line((x, at), (self.place.right(), at), line(tick.value));
            canvas.text(x - 7.0, at + 5.5, Anchor::End, TICK.class, &tick.label);
        }
        for tick in &self.x.ticks {
            let at = self.x.place(tick.value);
            canvas.line((at, y), (at, self.place.bottom()), line(tick.value));
        }
        if self.x_labels {
            self.draw_labels(canvas);
        }
        if !self.x_name.is_empty() {
            let baseline = self.place.bottom() + LABELS + AXIS_NAME;
            canvas.text(x + 0.5 * width, baseline, Anchor::Middle, TICK.class, self.x_name);
        }
    }

    /// Labels along the width, of which one that would run into the one before is left out.
    fn draw_labels(&self, canvas: &mut Canvas) {
        let mut end = f64::NEG_INFINITY;
        for tick in &self.x.ticks {
            let half = 0.5 * TICK.width(&tick.label);
            // The last one of a full field must not leave the page.
            let at = self.x.place(tick.value).clamp(4.0 + half, WIDTH - 4.0 - half);
            if at - half < end + 8.0 {
                continue;
            }
            end = at + half;
            canvas.text(at, self.place.bottom() + LABELS, Anchor::Middle, TICK.class, &tick.label);
        }
    }
}
