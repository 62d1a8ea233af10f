//! The page for many options: a small picture for each, side by side on one scale, with the waveform before behind it.

use super::frame::Frame;
use super::panel::{Panel, placed};
use super::subject::{Row, Subject, Waveforms, before_id};
use super::{keys, own_colours};
use crate::svg::canvas::{Anchor, Canvas, through};
use crate::svg::document::{Heading, Ids, Keys, close, open};
use crate::svg::field::{AXIS_NAME, LABELS, Place};
use crate::svg::scale::{Scale, Tick};
use crate::svg::style::{FIGURES, MARGIN, NAME, PITCH, TICK, WIDTH};
use crate::text;

/// Small pictures side by side.
const COLUMNS: usize = 3;
/// Left of a panel, for the labels of its values.
const LEFT: f64 = 88.0;
const GAP: f64 = 20.0;
/// As high as the panels of a page with rows, whose scales these are.
const HEIGHT: f64 = super::frame::PANEL;
/// Small pictures at most: more would make a page that nobody scrolls through, and a file of megabytes.
const MOST: usize = 60;

/// The document for a subject.
pub(super) fn draw(subject: &Subject, ids: &Ids) -> String {
    let frame = Frame::new(subject);
    let mut subtitles = subject.subtitles.clone();
    let left_out = subject.rows.len().saturating_sub(MOST);
    if left_out > 0 {
        subtitles.push(format!("The first {MOST} options; {left_out} more are in the table alone"));
    }
    let rows = &subject.rows[..subject.rows.len().min(MOST)];
    let heading = Heading::new(&subject.title, &subtitles);
    let keys = Keys::new(keys(subject, &frame));
    let cells: Vec<Cell<'_>> = rows.iter().map(|row| Cell::new(row, subject)).collect();
    let head = |line: &[Cell<'_>]| line.iter().map(Cell::head).fold(0.0, f64::max);
    let top = heading.height() + 4.0 + keys.height() + 20.0;
    let height =
        top + cells.chunks(COLUMNS).map(|line| head(line) + HEIGHT + LABELS + GAP).sum::<f64>() + AXIS_NAME;

    let mut canvas = Canvas::default();
    open(&mut canvas, ids, height, &subject.title, &subject.description);
    heading.draw(&mut canvas);
    keys.draw(&mut canvas, heading.height() + 4.0);
    let shared = Shared::new(&frame, subject, ids);
    shared.define(&mut canvas, subject);
    let colours = own_colours(rows);
    let mut y = top;
    for (line, colours) in cells.chunks(COLUMNS).zip(colours.chunks(COLUMNS)) {
        let head = head(line);
        for (at, (cell, colour)) in line.iter().zip(colours).enumerate() {
            let x = MARGIN + at as f64 * (column() + GAP);
            cell.draw(&mut canvas, &shared, (x, y), head, colour);
        }
        y += head + HEIGHT + LABELS + GAP;
    }
    let words = if subject.from_rest { "time" } else { "time from the start of the detail" };
    canvas.text(0.5 * WIDTH, y - GAP + AXIS_NAME, Anchor::Middle, TICK.class, words);
    close(canvas)
}

/// Width of a small picture with the labels of its values.
fn column() -> f64 {
    (WIDTH - 2.0 * MARGIN - (COLUMNS - 1) as f64 * GAP) / COLUMNS as f64
}

/// What all small pictures have in common.
struct Shared<'a> {
    frame: &'a Frame,
    time: Scale,
    value: Scale,
    time_ticks: Vec<Tick>,
    value_ticks: Vec<Tick>,
    clip: String,
    ids: &'a Ids,
}

impl<'a> Shared<'a> {
    fn new(frame: &'a Frame, subject: &Subject, ids: &'a Ids) -> Self {
        let width = column() - LEFT;
        let time = Scale::new(frame.detail.reach().0, frame.detail.reach().1, (0.0, width));
        let value = frame.common.clone();
        Self {
            time_ticks: time.ticks(3, quantity::Dimension::TIME),
            value_ticks: value.ticks(4, subject.dimension),
            time,
            value,
            frame,
            clip: ids.of("panel"),
            ids,
        }
    }

    fn define(&self, canvas: &mut Canvas, subject: &Subject) {
        canvas.raw("<defs>");
        canvas.clip(&self.clip, (0.0, 0.0), (column() - LEFT, HEIGHT));
        for (row, name) in subject.behind() {
            if let Ok(seen) = &subject.rows[row].seen {
                let points = self.frame.detail_points(seen);
                let curve = placed(&points, &self.time, &self.value, self.frame.bins);
                let (id, data) = (self.ids.of(&name), through(&curve));
                canvas.raw(&format!("<path id=\"{id}\" d=\"{data}\" class=\"qr-before\"/>"));
            }
        }
        canvas.raw("</defs>");
    }
}

/// One small picture with its words set.
struct Cell<'a> {
    row: &'a Row,
    name: Vec<String>,
    words: Vec<String>,
}

impl<'a> Cell<'a> {
    fn new(row: &'a Row, subject: &Subject) -> Self {
        let figure = match &row.seen {
            Ok(seen) => {
                let size = text::value(height_of(seen, subject.from_rest), subject.dimension);
                let of = if subject.from_rest { "peak" } else { "peak to peak" };
                text::with_micro(&format!("{size} {of}"))
            }
            Err(reason) => reason.clone(),
        };
        let mut words = FIGURES.lines(&figure, column());
        if !row.verdict.is_empty() {
            words.extend(FIGURES.lines(&row.verdict, column()));
        }
        Self { row, name: NAME.lines(&row.name, column()), words }
    }

    /// Height of the words over the panel.
    fn head(&self) -> f64 {
        PITCH * (self.name.len() + self.words.len()) as f64 + 8.0
    }

    fn draw(&self, canvas: &mut Canvas, shared: &Shared<'_>, (x, y): (f64, f64), head: f64, colour: &str) {
        canvas.group("row", &self.row.name);
        let mut baseline = y;
        for line in &self.name {
            baseline += PITCH;
            canvas.text(x, baseline - 4.0, Anchor::Start, NAME.class, line);
        }
        for line in &self.words {
            baseline += PITCH;
            canvas.text(x, baseline - 4.0, Anchor::Start, FIGURES.class, line);
        }
        if let Ok(seen) = &self.row.seen {
            let points = shared.frame.detail_points(seen);
            let before = self.row.before.map(|row| shared.ids.of(&before_id(row)));
            let panel = Panel {
                place: Place { x: x + LEFT, y: y + head, width: column() - LEFT, height: HEIGHT },
                time: &shared.time,
                value: &shared.value,
                time_ticks: &shared.time_ticks,
                value_ticks: &shared.value_ticks,
                clip: &shared.clip,
                time_labels: true,
                allowed: shared.frame.allowed(seen),
                window: None,
                before: before.as_deref(),
                points: &points,
                class: &format!("curve {colour}"),
                bins: shared.frame.bins,
            };
            panel.draw(canvas);
        }
        canvas.end();
    }
}

/// Peak-to-peak, or the peak of a run from rest.
fn height_of(seen: &Waveforms, from_rest: bool) -> f64 {
    let (least, greatest) = seen.extremes;
    match from_rest {
        true if greatest.abs() >= least.abs() => greatest,
        true => least,
        false => seen.peak_to_peak(),
    }
}
