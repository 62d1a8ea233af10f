//! The page: headings, legend, and a row of three panels for each pick.

use super::canvas::{Anchor, Canvas, coordinate, escape, fit, width};
use super::panel::{Panel, Place, placed};
use super::scale::{Scale, Tick};
use super::subject::{Row, Subject, Waveforms};
use super::theme::{COLOURS, STYLE};
use quantity::Dimension;

const WIDTH: f64 = 1000.0;
const MARGIN: f64 = 20.0;
/// Left edge and width of the three columns; room for tick labels at the left of each, and for the peak-to-peak at
/// the right of the last.
const COMMON: (f64, f64) = (84.0, 232.0);
const MAGNIFIED: (f64, f64) = (392.0, 216.0);
const WHOLE: (f64, f64) = (684.0, 200.0);
const ROW_HEAD: f64 = 33.0;
const PANEL: f64 = 100.0;
/// Height of the field that says why there is no waveform.
const ABSENCE: f64 = 40.0;
const GAP: f64 = 22.0;
/// Room under the last row for the labels of the time axes.
const FOOT: f64 = 44.0;
/// Bytes that the curves of a page may take, so that a page stays well under 200 kB; a point takes about ten, a stretch
/// at most four points, a row has three curves.
const CURVE_BYTES: usize = 150_000;
const BYTES_PER_STRETCH: usize = 3 * 4 * 10;

/// The document for a subject.
pub(super) fn draw(subject: &Subject) -> String {
    let top = head_height(subject);
    let height = top + subject.rows.iter().map(row_height).sum::<f64>() + FOOT;
    let mut canvas = Canvas::default();
    opening(&mut canvas, subject, height);
    head(&mut canvas, subject);
    let frame = Frame::new(subject);
    definitions(&mut canvas, &frame, subject);
    let mut y = top;
    for (row, colour) in subject.rows.iter().zip(colours(&subject.rows)) {
        draw_row(&mut canvas, &frame, subject, (row, &colour), y);
        y += row_height(row);
    }
    foot(&mut canvas, &frame, y - GAP);
    canvas.raw("</svg>");
    canvas.finish()
}

fn row_height(row: &Row) -> f64 {
    ROW_HEAD + GAP + if row.seen.is_ok() { PANEL } else { ABSENCE }
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

/// What all rows share.
struct Frame {
    detail: Scale,
    detail_ticks: Vec<Tick>,
    span: Scale,
    span_ticks: Vec<Tick>,
    common: Scale,
    common_ticks: Vec<Tick>,
    bins: usize,
}

impl Frame {
    fn new(subject: &Subject) -> Self {
        let seen = || subject.rows.iter().filter_map(|row| row.seen.as_ref().ok());
        let longest = seen().map(|one| duration(&one.detail)).fold(0.0, f64::max);
        let (from, to) = seen()
            .filter_map(|one| Some((one.overview.first()?.0, one.overview.last()?.0)))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), (first, last)| {
                (from.min(first), to.max(last))
            });
        let (from, to) = if from < to { (from, to) } else { (0.0, longest) };
        let (low, high) = seen()
            .map(|one| one.extremes)
            .fold((0.0_f64, 0.0_f64), |(low, high), (least, greatest)| (low.min(least), high.max(greatest)));
        let detail = Scale::new(0.0, longest, (0.0, COMMON.1));
        let span = Scale::new(from, to, (0.0, WHOLE.1));
        let common = value_scale((low, high));
        Self {
            detail_ticks: detail.ticks(4, Dimension::TIME),
            span_ticks: span.ticks(4, Dimension::TIME),
            common_ticks: common.ticks(5, subject.dimension),
            bins: (CURVE_BYTES / (BYTES_PER_STRETCH * subject.rows.len().max(1))).clamp(24, 600),
            detail,
            span,
            common,
        }
    }
}

fn value_scale((low, high): (f64, f64)) -> Scale {
    Scale::new(low, high, (PANEL, 0.0)).padded(0.08)
}

/// Least and greatest value.
fn extremes(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let values = || points.iter().map(|(_, value)| *value);
    Some((values().min_by(f64::total_cmp)?, values().max_by(f64::total_cmp)?))
}

fn duration(points: &[(f64, f64)]) -> f64 {
    match (points.first(), points.last()) {
        (Some(first), Some(last)) => last.0 - first.0,
        _ => 0.0,
    }
}

/// Times from the start of the detail, so that windows at different places lie over each other.
fn from_start(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let start = points.first().map_or(0.0, |first| first.0);
    points.iter().map(|(time, value)| (time - start, *value)).collect()
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

fn head_height(subject: &Subject) -> f64 {
    let legend = if subject.before.is_some() { 28.0 } else { 0.0 };
    52.0 + 22.0 * subject.subtitles.len() as f64 + legend + 40.0
}

fn head(canvas: &mut Canvas, subject: &Subject) {
    let room = WIDTH - 2.0 * MARGIN;
    canvas.text(MARGIN, 40.0, Anchor::Start, "title", &fit(&subject.title, 24.0, room));
    let mut y = 44.0;
    for line in &subject.subtitles {
        y += 22.0;
        canvas.text(MARGIN, y, Anchor::Start, "subtitle", &fit(line, 15.0, room));
    }
    if let Some(before) = subject.before {
        y += 28.0;
        legend(canvas, y, &subject.rows[before].name);
    }
    y += 32.0;
    let heads = [
        (COMMON, "One scale for all rows"),
        (MAGNIFIED, "Magnified, own scale"),
        (WHOLE, "Whole span, own scale"),
    ];
    for ((x, _), words) in heads {
        canvas.text(x, y, Anchor::Start, "head", words);
    }
}

fn legend(canvas: &mut Canvas, y: f64, before: &str) {
    let sample =
        |canvas: &mut Canvas, x: f64, class: &str| canvas.line((x, y - 5.0), (x + 34.0, y - 5.0), class);
    sample(canvas, MARGIN, "before");
    let words = fit(before, 15.0, 300.0);
    let x = MARGIN + 42.0;
    canvas.text(x, y, Anchor::Start, "figures", &words);
    let x = x + width(&words, 15.0) + 24.0;
    sample(canvas, x, "curve c0");
    canvas.text(x + 42.0, y, Anchor::Start, "figures", "the row's own option (after)");
    let x = x + 42.0 + width("the row's own option (after)", 15.0) + 24.0;
    canvas.rectangle((x, y - 13.0), (16.0, 16.0), "window");
    canvas.text(x + 24.0, y, Anchor::Start, "figures", "where the detail lies in the whole span");
}

fn definitions(canvas: &mut Canvas, frame: &Frame, subject: &Subject) {
    canvas.raw("<defs>");
    for (name, width) in [("common", COMMON.1), ("magnified", MAGNIFIED.1), ("whole", WHOLE.1)] {
        canvas
            .raw(&format!("<clipPath id=\"{name}\"><rect width=\"{width}\" height=\"{PANEL}\"/></clipPath>"));
    }
    if let Some(Ok(seen)) = subject.before.map(|at| &subject.rows[at].seen) {
        let curve = placed(&from_start(&seen.detail), &frame.detail, &frame.common, frame.bins);
        if !curve.is_empty() {
            canvas.curve(&curve, "id=\"before\" class=\"before\"");
        }
    }
    canvas.raw("</defs>");
}

fn draw_row(canvas: &mut Canvas, frame: &Frame, subject: &Subject, (row, colour): (&Row, &str), y: f64) {
    canvas.raw(&format!("<g class=\"row\" role=\"group\" aria-label=\"{}\">", escape(&row.name)));
    row_head(canvas, row, colour, y + 19.0);
    match &row.seen {
        Ok(seen) => {
            let with_before = !row.baseline
                && subject
                    .before
                    .is_some_and(|at| matches!(&subject.rows[at].seen, Ok(seen) if !seen.detail.is_empty()));
            panels(canvas, frame, subject.dimension, (seen, colour, with_before), y + ROW_HEAD);
        }
        Err(reason) => {
            canvas.rectangle((COMMON.0, y + ROW_HEAD), (WHOLE.0 + WHOLE.1 - COMMON.0, ABSENCE), "field");
            let words = fit(reason, 15.0, WHOLE.0 + WHOLE.1 - COMMON.0 - 30.0);
            canvas.text(
                COMMON.0 + 15.0,
                y + ROW_HEAD + 0.5 * ABSENCE + 5.0,
                Anchor::Start,
                "figures",
                &words,
            );
        }
    }
    canvas.raw("</g>");
}

fn row_head(canvas: &mut Canvas, row: &Row, colour: &str, y: f64) {
    canvas.line((MARGIN, y - 5.5), (MARGIN + 26.0, y - 5.5), &format!("curve {colour}"));
    let x = MARGIN + 34.0;
    let name = fit(&row.name, 17.0, 260.0);
    canvas.text(x, y, Anchor::Start, "name", &name);
    let x = x + width(&name, 17.0) + 14.0;
    let figures = fit(&row.figures, 15.0, WIDTH - MARGIN - x);
    canvas.text(x, y, Anchor::Start, "figures", &figures);
    let x = x + width(&figures, 15.0) + 20.0;
    let verdict = fit(&row.verdict, 15.0, (WIDTH - MARGIN - x).max(0.0));
    canvas.text(WIDTH - MARGIN, y, Anchor::End, "figures", &verdict);
}

fn panels(
    canvas: &mut Canvas,
    frame: &Frame,
    dimension: Dimension,
    (seen, colour, with_before): (&Waveforms, &str, bool),
    y: f64,
) {
    let whole = value_scale(seen.extremes);
    let whole_ticks = whole.ticks(5, dimension);
    let magnified = value_scale(extremes(&seen.detail).unwrap_or(seen.extremes));
    let magnified_ticks = magnified.ticks(5, dimension);
    let place = |(x, width): (f64, f64)| Place { x, y, width, height: PANEL };
    let detail = from_start(&seen.detail);
    let magnified_time = Scale::new(0.0, frame.detail_end(), (0.0, MAGNIFIED.1));
    let start = seen.detail.first().map(|first| first.0);
    let curve = format!("curve {colour}");
    let thin_curve = format!("curve thin {colour}");
    let common = Panel {
        place: place(COMMON),
        time: &frame.detail,
        value: &frame.common,
        time_ticks: &frame.detail_ticks,
        value_ticks: &frame.common_ticks,
        clip: "common",
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
        value_ticks: &magnified_ticks,
        clip: "magnified",
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
        window: start.map(|start| (start, start + duration(&seen.detail))),
        with_before: false,
        points: &seen.overview,
        class: &thin_curve,
        bins: frame.bins,
    }
    .draw(canvas);
    bracket(canvas, seen, &whole, dimension, y);
}

/// The peak-to-peak as a measure beside the last panel, its ends at the extremes.
fn bracket(canvas: &mut Canvas, seen: &Waveforms, scale: &Scale, dimension: Dimension, y: f64) {
    let x = WHOLE.0 + WHOLE.1 + 9.0;
    let (top, bottom) = (y + scale.place(seen.extremes.1), y + scale.place(seen.extremes.0));
    canvas.line((x, top), (x, bottom), "bracket");
    for end in [top, bottom] {
        canvas.line((x - 5.0, end), (x + 5.0, end), "bracket");
    }
    let middle = 0.5 * (top + bottom);
    let room = WIDTH - x - 12.0;
    let words = crate::text::value(seen.peak_to_peak(), dimension);
    canvas.text(x + 10.0, middle - 1.0, Anchor::Start, "span", &fit(&words, 15.0, room));
    canvas.text(x + 10.0, middle + 15.0, Anchor::Start, "tick", &fit("peak to peak", 13.0, room + 10.0));
}

impl Frame {
    fn detail_end(&self) -> f64 {
        self.detail.high()
    }
}

fn foot(canvas: &mut Canvas, frame: &Frame, y: f64) {
    let magnified = Scale::new(0.0, frame.detail_end(), (0.0, MAGNIFIED.1));
    let axes = [
        (COMMON, &frame.detail, &frame.detail_ticks, "time from the start of the detail"),
        (MAGNIFIED, &magnified, &frame.detail_ticks, "time from the start of the detail"),
        (WHOLE, &frame.span, &frame.span_ticks, "time"),
    ];
    for ((x, width), scale, ticks, words) in axes {
        for tick in ticks {
            canvas.text(x + scale.place(tick.value), y + 19.0, Anchor::Middle, "tick", &tick.label);
        }
        canvas.text(x + 0.5 * width, y + 39.0, Anchor::Middle, "tick", words);
    }
}
