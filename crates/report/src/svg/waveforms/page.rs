//! The page for few options: headings, legend, and a row of three panels for each.

use super::frame::{COMMON, Frame, MAGNIFIED, PANEL, WHOLE, extremes, own_detail, value_scale};
use super::panel::{Panel, placed};
use super::subject::{Row, Subject, Waveforms, before_id};
use super::{keys, own_colours};
use crate::svg::canvas::{Anchor, Canvas, through};
use crate::svg::document::{Heading, Ids, Keys, close, open};
use crate::svg::field::{AXIS_NAME, LABELS, Place};
use crate::svg::scale::Scale;
use crate::svg::style::{FIGURES, MARGIN, NAME, PITCH, WIDTH};
use crate::svg::words::Block;
use crate::text;

/// From the top of a row to the first baseline of its words, and from there to its panels.
const ROW_WORDS: f64 = 20.0;
const ROW_HEAD: f64 = 14.0;
/// Height of the field that says why there is no waveform, for one line.
const ABSENCE: f64 = 40.0;
const GAP: f64 = 24.0;
/// Room under the last row for the labels of the time axes.
const FOOT: f64 = 46.0;
/// From the legend to the heads of the columns, and from there to the first row.
const HEADS: f64 = 32.0;
const BELOW_HEADS: f64 = 14.0;

/// The document for a subject.
pub(super) fn draw(subject: &Subject, ids: &Ids) -> String {
    let frame = Frame::new(subject);
    let colours = own_colours(&subject.rows);
    let heading = Heading::new(&subject.title, &subject.subtitles);
    let keys = Keys::new(keys(subject, &frame));
    let rows: Vec<RowLayout<'_>> =
        subject.rows.iter().zip(&colours).map(|(row, colour)| RowLayout::new(row, colour)).collect();
    let gap = if subject.from_rest { GAP + LABELS } else { GAP };
    let heads = heading.height() + 4.0 + keys.height() + HEADS;
    let top = heads + BELOW_HEADS;
    let height = top + rows.iter().map(|row| row.height() + gap).sum::<f64>() - gap + GAP + FOOT;
    let mut canvas = Canvas::default();
    open(&mut canvas, ids, height, &subject.title, &subject.description);
    heading.draw(&mut canvas);
    keys.draw(&mut canvas, heading.height() + 4.0);
    let words = ["One scale for all rows", "Magnified, own scale", "Whole span, own scale"];
    for ((x, _), words) in [COMMON, MAGNIFIED, WHOLE].into_iter().zip(words) {
        canvas.text(x, heads, Anchor::Start, "head", words);
    }
    definitions(&mut canvas, &frame, subject, ids);
    let mut y = top;
    for row in &rows {
        row.draw(&mut canvas, &frame, subject, ids, y);
        y += row.height() + gap;
    }
    foot(&mut canvas, &frame, subject.from_rest, y - gap);
    close(canvas)
}

fn definitions(canvas: &mut Canvas, frame: &Frame, subject: &Subject, ids: &Ids) {
    canvas.raw("<defs>");
    for (name, width) in [("common", COMMON.1), ("magnified", MAGNIFIED.1), ("whole", WHOLE.1)] {
        canvas.clip(&ids.of(name), (0.0, 0.0), (width, PANEL));
    }
    for (row, name) in subject.behind() {
        if let Ok(seen) = &subject.rows[row].seen {
            let curve = placed(&frame.detail_points(seen), &frame.detail, &frame.common, frame.bins);
            let (id, data) = (ids.of(&name), through(&curve));
            canvas.raw(&format!("<path id=\"{id}\" d=\"{data}\" class=\"qr-before\"/>"));
        }
    }
    canvas.raw("</defs>");
}

/// A row with its words set.
struct RowLayout<'a> {
    row: &'a Row,
    colour: &'a str,
    words: Block,
    /// Why there is no waveform, in lines.
    absence: Vec<String>,
}

impl<'a> RowLayout<'a> {
    fn new(row: &'a Row, colour: &'a str) -> Self {
        let mut words = Block::new(MARGIN + 34.0, WIDTH - MARGIN, PITCH);
        words.add(NAME, &row.name, 14.0);
        words.add(FIGURES, &row.figures, 20.0);
        words.add_at_end(FIGURES, &row.verdict);
        let room = WHOLE.0 + WHOLE.1 - COMMON.0 - 30.0;
        let absence = row.seen.as_ref().err().map_or_else(Vec::new, |reason| FIGURES.lines(reason, room));
        Self { row, colour, words, absence }
    }

    /// From the row's top to its field.
    fn head(&self) -> f64 {
        ROW_WORDS + self.words.extra_height() + ROW_HEAD
    }

    fn absence_height(&self) -> f64 {
        ABSENCE + PITCH * self.absence.len().saturating_sub(1) as f64
    }

    fn height(&self) -> f64 {
        self.head() + if self.row.seen.is_ok() { PANEL } else { self.absence_height() }
    }

    fn draw(&self, canvas: &mut Canvas, frame: &Frame, subject: &Subject, ids: &Ids, y: f64) {
        canvas.group("row", &self.row.name);
        let baseline = y + ROW_WORDS;
        canvas.line(
            (MARGIN, baseline - 5.5),
            (MARGIN + 26.0, baseline - 5.5),
            &format!("curve {}", self.colour),
        );
        self.words.draw(canvas, baseline);
        let y = y + self.head();
        if let Ok(seen) = &self.row.seen {
            let before = self.row.before.map(|row| ids.of(&before_id(row)));
            panels(canvas, frame, subject, ids, (seen, self.colour, before.as_deref()), y);
        } else {
            let size = (WHOLE.0 + WHOLE.1 - COMMON.0, self.absence_height());
            canvas.rectangle((COMMON.0, y), size, "field");
            for (at, line) in self.absence.iter().enumerate() {
                let y = y + 0.5 * ABSENCE + 5.0 + PITCH * at as f64;
                canvas.text(COMMON.0 + 15.0, y, Anchor::Start, FIGURES.class, line);
            }
        }
        canvas.end();
    }
}

fn panels(
    canvas: &mut Canvas,
    frame: &Frame,
    subject: &Subject,
    ids: &Ids,
    (seen, colour, before): (&Waveforms, &str, Option<&str>),
    y: f64,
) {
    let dimension = subject.dimension;
    let whole = value_scale(seen.extremes);
    let whole_ticks = whole.ticks(5, dimension);
    let magnified = value_scale(extremes(&seen.detail).unwrap_or(seen.extremes));
    let magnified_ticks = magnified.ticks(5, dimension);
    let magnified_time = frame.magnified_time(subject.from_rest, seen);
    let magnified_time_ticks = magnified_time.ticks(4, quantity::Dimension::TIME);
    let place = |(x, width): (f64, f64)| Place { x, y, width, height: PANEL };
    let (detail, own_detail) = (frame.detail_points(seen), own_detail(seen));
    let allowed = frame.allowed(seen);
    let curve = format!("curve {colour}");
    let thin_curve = format!("curve thin {colour}");
    let [clip_common, clip_magnified, clip_whole] = ["common", "magnified", "whole"].map(|name| ids.of(name));
    let common = Panel {
        place: place(COMMON),
        time: &frame.detail,
        value: &frame.common,
        time_ticks: &frame.detail_ticks,
        value_ticks: &frame.common_ticks,
        clip: &clip_common,
        time_labels: false,
        allowed,
        window: None,
        before,
        points: &detail,
        class: &curve,
        bins: frame.bins,
    };
    common.draw(canvas);
    Panel {
        place: place(MAGNIFIED),
        time: &magnified_time,
        value: &magnified,
        time_ticks: &magnified_time_ticks,
        value_ticks: &magnified_ticks,
        clip: &clip_magnified,
        time_labels: subject.from_rest,
        points: &own_detail,
        allowed: (None, None),
        before: None,
        ..common
    }
    .draw(canvas);
    Panel {
        place: place(WHOLE),
        time: &frame.span,
        value: &whole,
        time_ticks: &frame.span_ticks,
        value_ticks: &whole_ticks,
        clip: &clip_whole,
        window: frame.window(seen),
        before: None,
        points: &seen.overview,
        class: &thin_curve,
        ..common
    }
    .draw(canvas);
    bracket(canvas, subject, seen, &whole, y);
}

/// The peak-to-peak as a measure beside the last panel, its ends at the extremes; of a run from rest the peak, measured
/// from zero.
fn bracket(canvas: &mut Canvas, subject: &Subject, seen: &Waveforms, scale: &Scale, y: f64) {
    let (least, greatest) = seen.extremes;
    let (ends, value, words) = if subject.from_rest {
        let peak = if greatest.abs() >= least.abs() { greatest } else { least };
        ((0.0, peak), peak, ["peak", ""])
    } else {
        ((least, greatest), seen.peak_to_peak(), ["peak", "to peak"])
    };
    let x = WHOLE.0 + WHOLE.1 + 9.0;
    let place = |value: f64| y + scale.place(value).clamp(0.0, PANEL);
    let (first, second) = (place(ends.0), place(ends.1));
    let (top, bottom) = (first.min(second), first.max(second));
    canvas.line((x, top), (x, bottom), "bracket");
    for end in [top, bottom] {
        canvas.line((x - 5.0, end), (x + 5.0, end), "bracket");
    }
    let middle = 0.5 * (top + bottom);
    let words_of = |value: f64| text::with_micro(&text::value(value, subject.dimension));
    canvas.text(x + 10.0, middle - 4.0, Anchor::Start, "span", &words_of(value));
    for (at, words) in words.into_iter().enumerate().filter(|(_, words)| !words.is_empty()) {
        canvas.text(x + 10.0, middle + 15.0 + 18.0 * at as f64, Anchor::Start, "tick", words);
    }
}

fn foot(canvas: &mut Canvas, frame: &Frame, from_rest: bool, y: f64) {
    let magnified = frame.shared_magnified_time();
    let inner = if from_rest { "time" } else { "from the detail's start" };
    let axes = [
        (COMMON, &frame.detail, &frame.detail_ticks, inner),
        (MAGNIFIED, &magnified, &frame.detail_ticks, inner),
        (WHOLE, &frame.span, &frame.span_ticks, "time"),
    ];
    for (at, ((x, width), scale, ticks, words)) in axes.into_iter().enumerate() {
        // Each row has its own magnified time there.
        for tick in ticks.iter().filter(|_| !(from_rest && at == 1)) {
            canvas.text(x + scale.place(tick.value), y + LABELS, Anchor::Middle, "tick", &tick.label);
        }
        canvas.text(x + 0.5 * width, y + LABELS + AXIS_NAME, Anchor::Middle, "tick", words);
    }
}
