//! Shapes that the pictures of waveforms have no need for.

use crate::svg::canvas::{Canvas, coordinate};
use crate::svg::style;

/// A point on a circle, its angle in degrees from the bottom, clockwise.
pub(super) fn on_circle(centre: (f64, f64), radius: f64, degrees: f64) -> (f64, f64) {
    let (sin, cos) = degrees.to_radians().sin_cos();
    (centre.0 - radius * sin, centre.1 + radius * cos)
}

pub(super) fn circle(canvas: &mut Canvas, centre: (f64, f64), radius: f64, class: &str) {
    canvas.circle(centre, radius, class);
}

/// A ring between two radii.
pub(super) fn annulus(canvas: &mut Canvas, centre: (f64, f64), radii: (f64, f64), class: &str) {
    let circle = |radius: f64| {
        let [left, right, y] = [centre.0 - radius, centre.0 + radius, centre.1].map(coordinate);
        let radius = coordinate(radius);
        format!("M{left} {y}A{radius} {radius} 0 1 0 {right} {y}A{radius} {radius} 0 1 0 {left} {y}Z")
    };
    let (data, class) = (format!("{}{}", circle(radii.0), circle(radii.1)), style::class(class));
    canvas.raw(&format!("<path d=\"{data}\" fill-rule=\"evenodd\" class=\"{class}\"/>"));
}

/// A line with a width of its own.
pub(super) fn stroke(canvas: &mut Canvas, from: (f64, f64), to: (f64, f64), class: &str, width: f64) {
    let ([x1, y1, x2, y2], class) = ([from.0, from.1, to.0, to.1].map(coordinate), style::class(class));
    canvas.raw(&format!(
        "<line x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\" class=\"{class}\" stroke-width=\"{width:.2}\"/>"
    ));
}

/// A rectangle with round corners and, where it is drawn as wire, a stroke of its own width.
pub(super) fn rounded(
    canvas: &mut Canvas,
    corner: (f64, f64),
    size: (f64, f64),
    radius: f64,
    class: &str,
    width: Option<f64>,
) {
    let [x, y, wide, tall, radius] = [corner.0, corner.1, size.0, size.1, radius].map(coordinate);
    let class = style::class(class);
    let stroke = width.map_or_else(String::new, |width| format!(" stroke-width=\"{width:.2}\""));
    canvas.raw(&format!(
        "<rect x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{tall}\" rx=\"{radius}\" class=\"{class}\"{stroke}/>"
    ));
}

/// A tip of an arrow at `at`, pointing along `towards`.
pub(super) fn tip(canvas: &mut Canvas, at: (f64, f64), towards: (f64, f64)) {
    const LENGTH: f64 = 7.0;
    let size = towards.0.hypot(towards.1).max(1e-9);
    let along = (towards.0 / size, towards.1 / size);
    let back = (at.0 - LENGTH * along.0, at.1 - LENGTH * along.1);
    let side = (-along.1 * 0.4 * LENGTH, along.0 * 0.4 * LENGTH);
    let [x, y, a, b, c, d] =
        [at.0, at.1, back.0 + side.0, back.1 + side.1, back.0 - side.0, back.1 - side.1].map(coordinate);
    canvas.raw(&format!("<path d=\"M{x} {y}L{a} {b}L{c} {d}Z\" class=\"qr-tip\"/>"));
}

/// A measure between two points with tips at both ends.
pub(super) fn measure(canvas: &mut Canvas, from: (f64, f64), to: (f64, f64)) {
    canvas.line(from, to, "measure");
    let along = (to.0 - from.0, to.1 - from.1);
    tip(canvas, to, along);
    tip(canvas, from, (-along.0, -along.1));
}
