//! Elements of an SVG document, with coordinates rounded to a tenth of a pixel.

use super::style;
use std::fmt::Write as _;

/// A document being written.
#[derive(Default)]
pub(crate) struct Canvas {
    text: String,
}

/// Where a text stands relative to its point.
#[derive(Clone, Copy)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

impl Canvas {
    pub(crate) fn raw(&mut self, markup: &str) {
        self.text.push_str(markup);
        self.text.push('\n');
    }

    pub(crate) fn finish(self) -> String {
        self.text
    }

    /// A text with its baseline at `y`.
    pub(crate) fn text(&mut self, x: f64, y: f64, anchor: Anchor, class: &str, words: &str) {
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let (x, y, words, class) = (coordinate(x), coordinate(y), escape(words), style::class(class));
        self.raw(&format!("<text x=\"{x}\" y=\"{y}\"{anchor} class=\"{class}\">{words}</text>"));
    }

    pub(crate) fn line(&mut self, from: (f64, f64), to: (f64, f64), class: &str) {
        let ([x1, y1, x2, y2], class) = ([from.0, from.1, to.0, to.1].map(coordinate), style::class(class));
        self.raw(&format!("<line x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\" class=\"{class}\"/>"));
    }

    pub(crate) fn rectangle(&mut self, corner: (f64, f64), size: (f64, f64), class: &str) {
        let ([x, y, width, height], class) =
            ([corner.0, corner.1, size.0, size.1].map(coordinate), style::class(class));
        self.raw(&format!(
            "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" class=\"{class}\"/>"
        ));
    }

    pub(crate) fn circle(&mut self, (x, y): (f64, f64), radius: f64, class: &str) {
        let ([x, y, radius], class) = ([x, y, radius].map(coordinate), style::class(class));
        self.raw(&format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\" class=\"{class}\"/>"));
    }

    /// A curve through `points`.
    pub(crate) fn curve(&mut self, points: &[(f64, f64)], class: &str) {
        self.path(&through(points), class);
    }

    /// A path with this data.
    pub(crate) fn path(&mut self, data: &str, class: &str) {
        let class = style::class(class);
        self.raw(&format!("<path d=\"{data}\" class=\"{class}\"/>"));
    }

    /// What follows, up to [`Self::end`], cut off at the clip path with this id.
    pub(crate) fn clipped(&mut self, id: &str) {
        self.raw(&format!("<g clip-path=\"url(#{id})\">"));
    }

    /// A group with a name for screen readers, up to [`Self::end`].
    pub(crate) fn group(&mut self, class: &str, name: &str) {
        let (class, name) = (style::class(class), escape(name));
        self.raw(&format!("<g class=\"{class}\" role=\"group\" aria-label=\"{name}\">"));
    }

    pub(crate) fn end(&mut self) {
        self.raw("</g>");
    }

    /// A clip path with this id.
    pub(crate) fn clip(&mut self, id: &str, corner: (f64, f64), size: (f64, f64)) {
        let [x, y, width, height] = [corner.0, corner.1, size.0, size.1].map(coordinate);
        self.raw(&format!(
            "<clipPath id=\"{id}\"><rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"/></clipPath>"
        ));
    }
}

/// Data of a path through `points`.
pub(crate) fn through(points: &[(f64, f64)]) -> String {
    let mut data = String::with_capacity(points.len() * 9);
    for (at, (x, y)) in points.iter().enumerate() {
        let command = if at == 0 { 'M' } else { 'L' };
        let _ = write!(data, "{command}{} {}", coordinate(*x), coordinate(*y));
    }
    data
}

/// At most one decimal, no `-0`, no trailing `.0`.
pub(crate) fn coordinate(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    if tenths == 0.0 { "0".to_owned() } else { tenths.to_string() }
}

pub(crate) fn escape(words: &str) -> String {
    let mut escaped = String::with_capacity(words.len());
    for character in words.chars() {
        match character {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            // XML 1.0 allows no other control characters, not even escaped.
            '\n' | '\r' | '\t' => escaped.push(' '),
            control if control.is_control() => {}
            other => escaped.push(other),
        }
    }
    escaped
}
