//! One small picture: a field with ticks and a curve. Coordinates inside are from its upper left corner.

use crate::svg::canvas::{Anchor, Canvas, coordinate};
use crate::svg::field::{LABELS, Place};
use crate::svg::scale::{Scale, Tick};
use crate::svg::thin::thin;

/// The values between which a waveform is allowed.
pub(super) type Allowed = (Option<f64>, Option<f64>);

/// What a panel shows.
pub(super) struct Panel<'a> {
    pub(super) place: Place,
    /// Along the width.
    pub(super) time: &'a Scale,
    /// Along the height.
    pub(super) value: &'a Scale,
    pub(super) time_ticks: &'a [Tick],
    pub(super) value_ticks: &'a [Tick],
    /// Id of a clip path of its size.
    pub(super) clip: &'a str,
    /// Whether the time ticks carry their labels, under the field.
    pub(super) time_labels: bool,
    /// What requirements allow here, least and greatest value; an end that is missing is no limit.
    pub(super) allowed: Allowed,
    /// A stretch of time to shade.
    pub(super) window: Option<(f64, f64)>,
    /// Id of the waveform before, where it stands behind the curve.
    pub(super) before: Option<&'a str>,
    pub(super) points: &'a [(f64, f64)],
    /// Classes of the curve.
    pub(super) class: &'a str,
    /// Greatest number of stretches to draw it in.
    pub(super) bins: usize,
}

/// The points of a curve in a panel's own pixels.
pub(super) fn placed(points: &[(f64, f64)], time: &Scale, value: &Scale, bins: usize) -> Vec<(f64, f64)> {
    let placed: Vec<(f64, f64)> = points.iter().map(|(t, v)| (time.place(*t), value.place(*v))).collect();
    thin(&placed, bins)
}

impl Panel<'_> {
    pub(super) fn draw(&self, canvas: &mut Canvas) {
        let Place { x, y, width, height } = self.place;
        canvas.raw(&format!(
            "<g class=\"qr-panel\" transform=\"translate({} {})\">",
            coordinate(x),
            coordinate(y)
        ));
        canvas.rectangle((0.0, 0.0), (width, height), "field");
        if let Some((from, to)) = self.window {
            let from = self.time.place(from).clamp(0.0, width);
            // Never thinner than can be seen.
            let shaded = (self.time.place(to).clamp(0.0, width) - from).max(2.0).min(width - from);
            canvas.rectangle((from, 0.0), (shaded, height), "window");
        }
        self.draw_allowed(canvas);
        for tick in self.value_ticks {
            let at = self.value.place(tick.value);
            canvas.line((0.0, at), (width, at), if tick.value == 0.0 { "zero" } else { "grid" });
            canvas.text(-6.0, at + 5.5, Anchor::End, "tick", &tick.label);
        }
        for tick in self.time_ticks {
            let at = self.time.place(tick.value);
            canvas.line((at, height), (at, height + 4.0), "zero");
            if self.time_labels {
                canvas.text(at, height + LABELS, Anchor::Middle, "tick", &tick.label);
            }
        }
        canvas.clipped(self.clip);
        if let Some(before) = self.before {
            canvas.raw(&format!("<use href=\"#{before}\" xlink:href=\"#{before}\"/>"));
        }
        let curve = placed(self.points, self.time, self.value, self.bins);
        if !curve.is_empty() {
            canvas.curve(&curve, self.class);
        }
        canvas.end();
        canvas.end();
    }

    /// What is allowed as a shaded stretch of the field, with a line at each limit that lies in it.
    fn draw_allowed(&self, canvas: &mut Canvas) {
        let Place { width, height, .. } = self.place;
        if self.allowed == (None, None) {
            return;
        }
        let at = |limit: Option<f64>| limit.map(|limit| self.value.place(limit));
        let (top, bottom) = (at(self.allowed.1), at(self.allowed.0));
        let (upper, lower) =
            (top.unwrap_or(0.0).clamp(0.0, height), bottom.unwrap_or(height).clamp(0.0, height));
        if lower > upper {
            canvas.rectangle((0.0, upper), (width, lower - upper), "allowed");
        }
        for line in [top, bottom].into_iter().flatten().filter(|line| (0.0..=height).contains(line)) {
            canvas.line((0.0, line), (width, line), "limit");
        }
    }
}
