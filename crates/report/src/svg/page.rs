//! The page: headings, legend, and a row of three panels for each pick.

use super::canvas::{Anchor, Canvas, coordinate, escape};
use super::frame::{COMMON, Frame, MAGNIFIED, PANEL, WHOLE, extremes, own_detail, value_scale};
use super::panel::{Panel, Place, TIME_LABELS, placed};
use super::scale::Scale;
use super::subject::{Row, Subject, Waveforms};
use super::theme::{COLOURS, STYLE};
use super::words::{Block, FIGURES, NAME, SUBTITLE, TITLE};
use crate::text;

const WIDTH: f64 = 1000.0;
const MARGIN: f64 = 20.0;
/// From the top of a row to the first baseline of its words, and from there to its panels.
const ROW_WORDS: f64 = 19.0;
const ROW_HEAD: f64 = 14.0;
/// From line to line of running words.
const PITCH: f64 = 21.0;
/// Height of the field that says why there is no waveform, for one line.
const ABSENCE: f64 = 40.0;
const GAP: f64 = 22.0;
/// Room under the last row for the labels of the time axes.
const FOOT: f64 = 44.0;

/// The document for a subject.
pub(super) fn draw(subject: &Subject) -> String {
    let frame = Frame::new(subject);
    let colours = colours(&subject.rows);
    let head = Head::new(subject, &frame);
    let rows: Vec<RowLayout<'_>> =
        subject.rows.iter().zip(&colours).map(|(row, colour)| RowLayout::new(row, colour)).collect();
    let gap = if subject.from_rest { GAP + TIME_LABELS } else { GAP };
    let height = head.height() + rows.iter().map(|row| row.height() + gap).sum::<f64>() - gap + GAP + FOOT;
    let mut canvas = Canvas::default();
    opening(&mut canvas, subject, height);
    head.draw(&mut canvas);
    definitions(&mut canvas, &frame, subject);
    let mut y = head.height();
    for row in &rows {
        row.draw(&mut canvas, &frame, subject, y);
        y += row.height() + gap;
    }
    foot(&mut canvas, &frame, subject.from_rest, y - gap);
    canvas.raw("</svg>");
    canvas.finish()
}

/// A class for each row: black for the baseline, then colours in turn, the same on every page.
fn colours(rows: &[Row]) -> Vec<String> {
    let mut others = 0;
    let mut next = |row: &Row| {
        if row.baseline {
            return "k".to_owned();
        }
        others += 1;
        format!("c{}", (others - 1) % COLOURS)
    };
    rows.iter().map(&mut next).collect()
}

fn opening(canvas: &mut Canvas, subject: &Subject, height: f64) {
    let height = coordinate(height);
    canvas.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         viewBox=\"0 0 {WIDTH} {height}\" width=\"{WIDTH}\" height=\"{height}\" role=\"img\" \
         aria-labelledby=\"title description\">"
    ));
    canvas.raw(&format!("<title id=\"title\">{}</title>", escape(&subject.title)));
    canvas.raw(&format!("<desc id=\"description\">{}</desc>", escape(&subject.description)));
    canvas.raw(&format!("<style>{STYLE}</style>"));
    canvas.raw("<rect class=\"page\" width=\"100%\" height=\"100%\"/>");
}

/// Title, what is seen, the legend and the heads of the columns.
struct Head {
    title: Vec<String>,
    subtitles: Vec<String>,
    legend: Vec<(Sample, Vec<String>)>,
}

/// What a line of the legend explains.
#[derive(Clone, Copy)]
enum Sample {
    Curve(&'static str),
    Field(&'static str),
}

impl Head {
    const TITLE_PITCH: f64 = 28.0;
    const SUBTITLE_PITCH: f64 = 22.0;
    /// Width of a sample with the space after it.
    const SAMPLE: f64 = 42.0;

    fn new(subject: &Subject, frame: &Frame) -> Self {
        let room = WIDTH - 2.0 * MARGIN;
        let mut seen = subject.rows.iter().filter_map(|row| row.seen.as_ref().ok());
        let mut legend: Vec<(Sample, String)> = Vec::new();
        if let Some(before) = subject.before.filter(|_| subject.rows.len() > 1) {
            legend.push((Sample::Curve("before"), subject.rows[before].name.clone()));
            legend.push((Sample::Curve("curve c0"), "each row's option (after)".to_owned()));
        }
        if seen.any(|seen| frame.window(seen).is_some()) {
            legend.push((Sample::Field("window"), "magnified stretch".to_owned()));
        }
        if !subject.limits.is_empty() {
            let texts: Vec<&str> = subject.limits.iter().map(|limit| limit.text.as_str()).collect();
            legend.push((Sample::Field("allowed"), format!("allowed: {}", texts.join(", "))));
        }
        let lines = |(sample, words): (Sample, String)| (sample, FIGURES.lines(&words, room - Self::SAMPLE));
        Self {
            title: TITLE.lines(&subject.title, room),
            subtitles: subject.subtitles.iter().flat_map(|line| SUBTITLE.lines(line, room)).collect(),
            legend: legend.into_iter().map(lines).collect(),
        }
    }

    /// The legend's entries with their places: left edge and line.
    fn legend_places(&self) -> (Vec<(f64, usize)>, usize) {
        let (mut x, mut line) = (MARGIN, 0);
        let mut places = Vec::new();
        for (_, words) in &self.legend {
            let width = Self::SAMPLE + words.iter().map(|words| FIGURES.width(words)).fold(0.0, f64::max);
            if x > MARGIN && x + width > WIDTH - MARGIN {
                (x, line) = (MARGIN, line + 1);
            }
            places.push((x, line));
            if words.len() > 1 {
                (x, line) = (MARGIN, line + words.len());
            } else {
                x += width + 24.0;
            }
        }
        let lines = if x > MARGIN { line + 1 } else { line };
        (places, lines)
    }

    fn height(&self) -> f64 {
        self.legend_top() + self.legend_places().1 as f64 * PITCH + 32.0 + 15.0
    }

    /// The baseline before the legend's first.
    fn legend_top(&self) -> f64 {
        16.0 + Self::TITLE_PITCH * self.title.len() as f64
            + Self::SUBTITLE_PITCH * self.subtitles.len() as f64
            + 4.0
    }

    fn draw(&self, canvas: &mut Canvas) {
        let mut y = 12.0;
        for line in &self.title {
            y += Self::TITLE_PITCH;
            canvas.text(MARGIN, y, Anchor::Start, TITLE.class, line);
        }
        y += 4.0;
        for line in &self.subtitles {
            y += Self::SUBTITLE_PITCH;
            canvas.text(MARGIN, y, Anchor::Start, SUBTITLE.class, line);
        }
        let (places, lines) = self.legend_places();
        for ((sample, words), (x, line)) in self.legend.iter().zip(places) {
            let y = self.legend_top() + (line + 1) as f64 * PITCH + 4.0;
            match sample {
                Sample::Curve(class) => canvas.line((x, y - 5.0), (x + 34.0, y - 5.0), class),
                Sample::Field(class) => canvas.rectangle((x, y - 13.0), (34.0, 16.0), class),
            }
            for (at, words) in words.iter().enumerate() {
                canvas.text(x + Self::SAMPLE, y + at as f64 * PITCH, Anchor::Start, FIGURES.class, words);
            }
        }
        let y = self.legend_top() + lines as f64 * PITCH + 34.0;
        let heads = [
            (COMMON, "One scale for all rows"),
            (MAGNIFIED, "Magnified, own scale"),
            (WHOLE, "Whole span, own scale"),
        ];
        for ((x, _), words) in heads {
            canvas.text(x, y, Anchor::Start, "head", words);
        }
    }
}

fn definitions(canvas: &mut Canvas, frame: &Frame, subject: &Subject) {
    canvas.raw("<defs>");
    for (name, width) in [("common", COMMON.1), ("magnified", MAGNIFIED.1), ("whole", WHOLE.1)] {
        canvas
            .raw(&format!("<clipPath id=\"{name}\"><rect width=\"{width}\" height=\"{PANEL}\"/></clipPath>"));
    }
    if let Some(Ok(seen)) = subject.before.map(|at| &subject.rows[at].seen) {
        let curve = placed(&frame.detail_points(seen), &frame.detail, &frame.common, frame.bins);
        if !curve.is_empty() {
            canvas.curve(&curve, "id=\"before\" class=\"before\"");
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

    fn draw(&self, canvas: &mut Canvas, frame: &Frame, subject: &Subject, y: f64) {
        canvas.raw(&format!("<g class=\"row\" role=\"group\" aria-label=\"{}\">", escape(&self.row.name)));
        let baseline = y + ROW_WORDS;
        canvas.line(
            (MARGIN, baseline - 5.5),
            (MARGIN + 26.0, baseline - 5.5),
            &format!("curve {}", self.colour),
        );
        self.words.draw(canvas, baseline);
        let y = y + self.head();
        if let Ok(seen) = &self.row.seen {
            let drawn = |at: usize| matches!(&subject.rows[at].seen, Ok(seen) if !seen.detail.is_empty());
            let with_before = !self.row.baseline && subject.before.is_some_and(drawn);
            panels(canvas, frame, subject, (seen, self.colour, with_before), y);
        } else {
            let size = (WHOLE.0 + WHOLE.1 - COMMON.0, self.absence_height());
            canvas.rectangle((COMMON.0, y), size, "field");
            for (at, line) in self.absence.iter().enumerate() {
                let y = y + 0.5 * ABSENCE + 5.0 + PITCH * at as f64;
                canvas.text(COMMON.0 + 15.0, y, Anchor::Start, FIGURES.class, line);
            }
        }
        canvas.raw("</g>");
    }
}

fn panels(
    canvas: &mut Canvas,
    frame: &Frame,
    subject: &Subject,
    (seen, colour, with_before): (&Waveforms, &str, bool),
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
    let common = Panel {
        place: place(COMMON),
        time: &frame.detail,
        value: &frame.common,
        time_ticks: &frame.detail_ticks,
        value_ticks: &frame.common_ticks,
        clip: "common",
        time_labels: false,
        allowed,
        window: None,
        with_before,
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
        clip: "magnified",
        time_labels: subject.from_rest,
        points: &own_detail,
        allowed: (None, None),
        with_before: false,
        ..common
    }
    .draw(canvas);
    Panel {
        place: place(WHOLE),
        time: &frame.span,
        value: &whole,
        time_ticks: &frame.span_ticks,
        value_ticks: &whole_ticks,
        clip: "whole",
        window: frame.window(seen),
        with_before: false,
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
        canvas.text(x + 10.0, middle + 12.0 + 15.0 * at as f64, Anchor::Start, "tick", words);
    }
}

fn foot(canvas: &mut Canvas, frame: &Frame, from_rest: bool, y: f64) {
    let magnified = frame.shared_magnified_time();
    let inner = if from_rest { "time" } else { "time from the start of the detail" };
    let axes = [
        (COMMON, &frame.detail, &frame.detail_ticks, inner),
        (MAGNIFIED, &magnified, &frame.detail_ticks, inner),
        (WHOLE, &frame.span, &frame.span_ticks, "time"),
    ];
    for (at, ((x, width), scale, ticks, words)) in axes.into_iter().enumerate() {
        // Each row has its own magnified time there.
        for tick in ticks.iter().filter(|_| !(from_rest && at == 1)) {
            canvas.text(x + scale.place(tick.value), y + TIME_LABELS, Anchor::Middle, "tick", &tick.label);
        }
        canvas.text(x + 0.5 * width, y + TIME_LABELS + 20.0, Anchor::Middle, "tick", words);
    }
}
