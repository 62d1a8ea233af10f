//! A response over frequency as a page: every option's curve in one field, the drives' rhythms marked.
//!
//! Both axes are logarithmic (a ratio is drawn in dB, which is the same), so that a resonance looks alike wherever it lies.

use super::canvas::{Anchor, Canvas, coordinate, escape};
use super::scale::{Scale, Tick};
use super::theme::{COLOURS, STYLE};
use super::words::{FIGURES, NAME, SUBTITLE, TITLE};
use crate::responses::{Row, level, rows, shown};
use crate::text;
use quantity::Dimension;
use study::result::{Line, Responses};

const WIDTH: f64 = 1000.0;
const MARGIN: f64 = 20.0;
/// The field.
const LEFT: f64 = 96.0;
const FIELD: (f64, f64) = (WIDTH - LEFT - MARGIN, 420.0);
const PITCH: f64 = 22.0;
/// Height of a row of labels over the field.
const LABEL: f64 = 17.0;
/// Most decades of a value's axis: what lies further down is numbers without meaning.
const MOST_DECADES: f64 = 12.0;

/// The document for a response; nothing where no point has its curve.
pub(super) fn draw(responses: &Responses, index: usize) -> Option<String> {
    let info = &responses.responses[index];
    let (rows, axes) = rows(responses, index);
    let ratio = info.dimension.is_none();
    let height_of = |magnitude: f64| if ratio { level(magnitude) } else { magnitude.log10() };
    let curves: Vec<Vec<Vec<(f64, f64)>>> = rows.iter().map(|row| stretches(row, height_of)).collect();
    let reach = reach(&curves)?;
    let frequency = Scale::new(reach.0.0, reach.0.1, (LEFT, LEFT + FIELD.0));
    let value_scale = |top: f64| {
        let (low, high) = reach.1;
        let least: f64 = if ratio { 6.0 } else { 0.3 };
        let pad = least.max(0.05 * (high - low));
        let low = low.max(high - if ratio { 20.0 } else { 1.0 } * MOST_DECADES);
        Scale::new(low - pad, high + pad, (top + FIELD.1, top))
    };
    let legend = legend(&rows, info.dimension);
    let labels = labels(&responses.lines, &frequency, reach.0);
    let title = format!("{}: {}", responses.points.harness, info.name);
    let unit = if ratio { "dB".to_owned() } else { quantity::unit_symbol(info.dimension) };
    let subtitle = format!("Magnitude of {} in {unit}, over frequency", info.words);
    let room = WIDTH - 2.0 * MARGIN;
    let title_lines = TITLE.lines(&title, room);
    let mut subtitles = SUBTITLE.lines(&subtitle, room);
    if !axes.is_empty() {
        let conditions = format!("Strong lines: {axes} {}. Thin lines: the others.", rows[0].condition);
        subtitles.extend(SUBTITLE.lines(&conditions, room));
    }
    let head = 16.0 + 28.0 * title_lines.len() as f64 + PITCH * subtitles.len() as f64 + 8.0;
    let legend_lines: usize = legend.iter().map(|entry| entry.words.len()).sum();
    let label_rows = labels.iter().map(|label| label.row + 1).max().unwrap_or(0);
    let top = head + PITCH * legend_lines as f64 + 14.0 + LABEL * label_rows as f64;
    let height = top + FIELD.1 + 56.0;

    let mut canvas = Canvas::default();
    let described = legend.iter().map(|entry| format!("{}: {}", entry.name, entry.words.join(" ")));
    opening(
        &mut canvas,
        height,
        &title,
        &format!("{subtitle}. {}", described.collect::<Vec<_>>().join(". ")),
    );
    let mut y = 12.0;
    for line in &title_lines {
        y += 28.0;
        canvas.text(MARGIN, y, Anchor::Start, TITLE.class, line);
    }
    y += 4.0;
    for line in &subtitles {
        y += PITCH;
        canvas.text(MARGIN, y, Anchor::Start, SUBTITLE.class, line);
    }
    y += 8.0;
    for entry in &legend {
        canvas.line((MARGIN, y + PITCH - 5.0), (MARGIN + 34.0, y + PITCH - 5.0), &entry.class);
        canvas.text(MARGIN + 42.0, y + PITCH, Anchor::Start, NAME.class, &entry.name);
        for line in &entry.words {
            y += PITCH;
            canvas.text(MARGIN + 42.0 + entry.indent, y, Anchor::Start, FIGURES.class, line);
        }
    }
    let value = value_scale(top);
    field(&mut canvas, top, (&frequency, reach.0), (&value, ratio, info.dimension));
    marks(&mut canvas, top, &labels);
    canvas.raw("<g clip-path=\"url(#field)\">");
    // The baseline last, over the others, so that it can be told where it lies on them.
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by_key(|at| rows[*at].baseline);
    for at in order {
        let first = at == 0 || rows[at - 1].option != rows[at].option;
        let class = format!("curve {}{}", if first { "" } else { "thin " }, colours(&rows)[at]);
        for stretch in &curves[at] {
            let points: Vec<(f64, f64)> =
                stretch.iter().map(|(f, v)| (frequency.place(*f), value.place(*v))).collect();
            canvas.curve(&points, &format!("class=\"{class}\""));
        }
    }
    canvas.raw("</g>\n</svg>");
    Some(canvas.finish())
}

fn opening(canvas: &mut Canvas, height: f64, title: &str, description: &str) {
    let height = coordinate(height);
    canvas.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height}\" width=\"{WIDTH}\" \
         height=\"{height}\" role=\"img\" aria-labelledby=\"title description\">"
    ));
    canvas.raw(&format!("<title id=\"title\">{}</title>", escape(title)));
    canvas.raw(&format!("<desc id=\"description\">{}</desc>", escape(description)));
    canvas.raw(&format!("<style>{STYLE}</style>"));
    canvas.raw("<rect class=\"page\" width=\"100%\" height=\"100%\"/>");
}

/// A curve as (log10 of frequency, height) where it has values above 0, one stretch after another.
fn stretches(row: &Row<'_>, height_of: impl Fn(f64) -> f64) -> Vec<Vec<(f64, f64)>> {
    let Some(curve) = row.curve else { return Vec::new() };
    let mut points: Vec<(f64, Option<f64>)> = curve
        .frequencies
        .iter()
        .zip(&curve.values)
        .map(|(frequency, value)| {
            (frequency.log10(), value.map(|value| height_of(value.magnitude())).filter(|it| it.is_finite()))
        })
        .collect();
    // The peak is worked out between the points, and a picture without its top would contradict the words.
    points.extend(curve.peak.map(|(frequency, magnitude)| (frequency.log10(), Some(height_of(magnitude)))));
    points.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut stretches = vec![Vec::new()];
    for (frequency, height) in points {
        match height {
            Some(height) => {
                if let Some(last) = stretches.last_mut() {
                    last.push((frequency, height));
                }
            }
            None => stretches.push(Vec::new()),
        }
    }
    stretches.retain(|stretch| !stretch.is_empty());
    stretches
}

type Reach = ((f64, f64), (f64, f64));

/// Least and greatest coordinate of all curves, along both axes.
fn reach(curves: &[Vec<Vec<(f64, f64)>>]) -> Option<Reach> {
    let mut points = curves.iter().flatten().flatten();
    let first = points.next()?;
    let start = ((first.0, first.0), (first.1, first.1));
    Some(points.fold(start, |(x, y), point| {
        ((x.0.min(point.0), x.1.max(point.0)), (y.0.min(point.1), y.1.max(point.1)))
    }))
}

/// A class for each row: black for the baseline, then colours in turn, one an option.
fn colours(rows: &[Row<'_>]) -> Vec<String> {
    let mut options: Vec<&str> = Vec::new();
    let mut class = |row| {
        let Row { option, baseline, .. }: &Row<'_> = row;
        if *baseline {
            return "k".to_owned();
        }
        if options.last() != Some(&option.as_str()) {
            options.push(option);
        }
        format!("c{}", (options.len() - 1) % COLOURS)
    };
    rows.iter().map(&mut class).collect()
}

struct Entry {
    class: String,
    name: String,
    /// From the name's left edge to its words.
    indent: f64,
    words: Vec<String>,
}

/// A line for each option, with its highest peak.
fn legend(rows: &[Row<'_>], dimension: Dimension) -> Vec<Entry> {
    let colours = colours(rows);
    let widest = rows.iter().map(|row| NAME.width(&name(row))).fold(0.0, f64::max);
    let indent = (widest + 14.0).min(360.0);
    let mut entries: Vec<Entry> = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        if at > 0 && rows[at - 1].option == row.option {
            continue;
        }
        let own: Vec<&Row<'_>> = rows[at..].iter().take_while(|other| other.option == row.option).collect();
        let room = WIDTH - 2.0 * MARGIN - 42.0 - indent;
        entries.push(Entry {
            class: format!("curve {}", colours[at]),
            name: name(row),
            indent,
            words: FIGURES.lines(&text::with_micro(&about(&own, dimension)), room),
        });
    }
    entries
}

fn name(row: &Row<'_>) -> String {
    if row.baseline { format!("{} (baseline)", row.option) } else { row.option.clone() }
}

/// `peak 1.01 ohm at 482 Hz (soft)`.
fn about(rows: &[&Row<'_>], dimension: Dimension) -> String {
    if rows.iter().all(|row| row.curve.is_none()) {
        let failed = rows.iter().find_map(|row| row.run.error.as_deref());
        return failed
            .map_or_else(|| "lacks what the response names".to_owned(), |text| format!("no result: {text}"));
    }
    let peaks = rows.iter().filter_map(|row| Some((row, row.curve?.peak?)));
    let highest = peaks.max_by(|one, other| one.1.1.total_cmp(&other.1.1));
    match highest {
        None => "no peak".to_owned(),
        Some((row, (frequency, magnitude))) => {
            let place = if rows.len() > 1 { format!(" ({})", row.condition) } else { String::new() };
            let frequency = text::value(frequency, Dimension::FREQUENCY);
            format!("peak {} at {frequency}{place}", shown(Some(magnitude), dimension))
        }
    }
}

struct Label {
    x: f64,
    /// Left edge of its words.
    from: f64,
    words: String,
    row: usize,
}

/// The drives' rhythms within the field, each with a row for its words where they do not run into another's.
fn labels(lines: &[Line], frequency: &Scale, reach: (f64, f64)) -> Vec<Label> {
    let mut ends: Vec<f64> = Vec::new();
    let mut labels: Vec<Label> = Vec::new();
    for line in lines {
        let place = line.frequency.log10();
        if place < reach.0 || place > reach.1 {
            continue;
        }
        let words = format!(
            "{} {} {}",
            line.drive,
            line.what.word(),
            text::value(line.frequency, Dimension::FREQUENCY)
        );
        let x = frequency.place(place);
        let width = FIGURES.width(&words);
        let from = (x - 0.5 * width).clamp(LEFT, (LEFT + FIELD.0 - width).max(LEFT));
        let row = ends.iter().position(|end| *end + 10.0 <= from).unwrap_or(ends.len());
        if row == ends.len() {
            ends.push(0.0);
        }
        ends[row] = from + width;
        labels.push(Label { x, from: from + 0.5 * width, words, row });
    }
    labels
}

fn marks(canvas: &mut Canvas, top: f64, labels: &[Label]) {
    for label in labels {
        let y = top - 5.0 - LABEL * label.row as f64;
        canvas.line((label.x, y + 3.0), (label.x, top + FIELD.1), "limit");
        canvas.text(label.from, y, Anchor::Middle, "tick", &label.words);
    }
}

fn field(
    canvas: &mut Canvas,
    top: f64,
    (frequency, reach): (&Scale, (f64, f64)),
    (value, ratio, dimension): (&Scale, bool, Dimension),
) {
    let (left, right, bottom) = (LEFT, LEFT + FIELD.0, top + FIELD.1);
    canvas.raw(&format!(
        "<defs><clipPath id=\"field\"><rect x=\"{left}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath></defs>",
        coordinate(top),
        FIELD.0,
        FIELD.1
    ));
    canvas.rectangle((left, top), FIELD, "field");
    for tick in powers(reach, Dimension::FREQUENCY, 9) {
        let x = frequency.place(tick.value);
        canvas.line((x, top), (x, bottom), "grid");
        canvas.text(x, bottom + 20.0, Anchor::Middle, "tick", &tick.label);
    }
    let ticks = if ratio { value.ticks(8, Dimension::LEVEL) } else { powers(value.reach(), dimension, 9) };
    for tick in ticks {
        let y = value.place(tick.value);
        canvas.line((left, y), (right, y), if ratio && tick.value == 0.0 { "zero" } else { "grid" });
        canvas.text(left - 7.0, y + 4.5, Anchor::End, "tick", &tick.label);
    }
    canvas.text(0.5 * (left + right), bottom + 42.0, Anchor::Middle, "tick", "frequency");
}

/// Ticks at powers of ten between two logarithms, at most `most`; at 2 and 5 times them too where there would be few.
fn powers((low, high): (f64, f64), dimension: Dimension, most: usize) -> Vec<Tick> {
    let steps: &[f64] = match high - low {
        span if span < 1.0 => &[1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0],
        span if span < 2.5 => &[1.0, 2.0, 5.0],
        _ => &[1.0],
    };
    let exponents = low.floor() as i32..=high.ceil() as i32;
    let stride = ((high - low) / most as f64).ceil().max(1.0) as i32;
    let exponents = exponents.filter(|exponent| exponent.rem_euclid(stride) == 0);
    let places = exponents.flat_map(|exponent| steps.iter().map(move |step| step * 10_f64.powi(exponent)));
    places
        .filter(|value| (low - 1e-9..=high + 1e-9).contains(&value.log10()))
        .map(|value| Tick { value: value.log10(), label: text::with_micro(&text::value(value, dimension)) })
        .collect()
}
