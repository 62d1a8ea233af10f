//! A response over frequency as a page: every option's curve in one field, the drives' rhythms shaded over the throttle's range,
//! the resonances marked with their heights.
//!
//! Both axes are logarithmic (a ratio is drawn in dB, which is the same), so that a resonance looks alike wherever it lies.

mod bands;
mod marks;

use super::Picture;
use super::canvas::{Canvas, through};
use super::document::{Heading, Ids, Legend, Sample, close, open};
use super::field::{AXIS_NAME, Axis, Field, LABELS, Place};
use super::style::{MARGIN, Series, WIDTH};
use crate::responses::{Row, level, rows, shown};
use crate::text;
use quantity::Dimension;
use study::result::Responses;

const LEFT: f64 = 104.0;
const HEIGHT: f64 = 430.0;
/// Most decades of a value's axis: what lies further down is numbers without meaning.
const MOST_DECADES: f64 = 12.0;

/// A picture for each response that some point has, in the file's order.
pub(super) fn pictures(responses: &Responses) -> Vec<Picture> {
    let each = responses.responses.iter().enumerate();
    each.filter_map(|(at, info)| {
        let name = format!("response_{}", info.name);
        let text = draw(responses, at, &Ids::new(&name))?;
        Some(Picture { subject: info.name.clone(), file_name: format!("{name}.svg"), text })
    })
    .collect()
}

/// A curve's points, one stretch after another.
type Stretches = Vec<Vec<(f64, f64)>>;

/// The document for a response; nothing where no point has its curve.
fn draw(responses: &Responses, index: usize, ids: &Ids) -> Option<String> {
    let info = &responses.responses[index];
    let (rows, axes) = rows(responses, index);
    let ratio = info.dimension.is_none();
    let curves: Vec<Stretches> = rows.iter().map(|row| stretches(row, ratio)).collect();
    let (across, upwards) = reach(&curves)?;
    let series = series(&rows);
    let unit = if ratio { "dB".to_owned() } else { quantity::unit_symbol(info.dimension) };
    let mut subtitles = vec![format!("Magnitude of {} in {unit}, over frequency", info.words)];
    if !axes.is_empty() {
        subtitles.push(format!("Strong lines: {axes} {}. Thin lines: the others.", rows[0].condition));
    }
    let title = format!("{}: {}", responses.points.harness, info.name);
    let heading = Heading::new(&title, &subtitles);
    let entries = entries(&rows, &series, info.dimension);
    let told: Vec<String> = entries.iter().map(|(_, name, words)| format!("{name}: {words}")).collect();
    let legend = Legend::new(entries);
    let bands = bands::layout(&responses.bands, across, (LEFT, WIDTH - MARGIN));
    let top = heading.height() + 8.0 + legend.height() + 16.0 + bands::height(&bands);
    let place = Place { x: LEFT, y: top, width: WIDTH - LEFT - MARGIN, height: HEIGHT };
    let frequency = Axis::logarithmic(across, place.across(), 9, Dimension::FREQUENCY);
    let value = value_axis(upwards, ratio, place, info.dimension);
    let rhythms = bands.iter().map(|band| band.words.clone()).collect::<Vec<_>>().join("; ");
    let description = format!("{}. {}. Rhythms of the drives: {rhythms}.", subtitles[0], told.join(". "));

    let mut canvas = Canvas::default();
    open(&mut canvas, ids, top + HEIGHT + LABELS + AXIS_NAME + 14.0, &title, &description);
    heading.draw(&mut canvas);
    legend.draw(&mut canvas, heading.height() + 8.0);
    canvas.raw("<defs>");
    canvas.clip(&ids.of("field"), (place.x, place.y), (place.width, place.height));
    canvas.raw("</defs>");
    Field { place, x: &frequency, y: &value, x_labels: true, x_name: "frequency" }.draw(&mut canvas);
    bands::draw(&mut canvas, &bands, place);
    canvas.clipped(&ids.of("field"));
    // The baseline last, over the others, so that it can be told where it lies on them.
    let mut order: Vec<usize> = (0..rows.len()).collect();
    order.sort_by_key(|at| rows[*at].baseline);
    for at in order {
        let strong = leads(&rows, at);
        let class = format!("curve {}{}", if strong { "strong " } else { "thin " }, series[at].stroke());
        for stretch in &curves[at] {
            let points: Vec<(f64, f64)> =
                stretch.iter().map(|(f, v)| (frequency.place(*f), value.place(*v))).collect();
            canvas.path(&through(&points), &class);
        }
    }
    canvas.end();
    let found = marks::of(responses, index, &rows, &series);
    marks::draw(&mut canvas, &found, (&frequency, across), &value, place, info.dimension);
    Some(close(canvas))
}

/// Whether a row is the first of its option.
fn leads(rows: &[Row<'_>], at: usize) -> bool {
    at == 0 || rows[at - 1].option != rows[at].option
}

/// One series an option.
fn series(rows: &[Row<'_>]) -> Vec<Series> {
    let leading = (0..rows.len()).filter(|at| leads(rows, *at)).map(|at| rows[at].baseline);
    let of_options = Series::of_each(leading);
    let mut option = 0;
    (0..rows.len())
        .map(|at| {
            option += usize::from(at > 0 && leads(rows, at));
            of_options[option]
        })
        .collect()
}

fn value_axis((low, high): (f64, f64), ratio: bool, place: Place, dimension: Dimension) -> Axis {
    if ratio {
        let pad = f64::max(6.0, 0.05 * (high - low));
        let low = low.max(high - 20.0 * MOST_DECADES);
        return Axis::straight((low - pad, high + pad), place.upwards(), 8, Dimension::LEVEL);
    }
    let (low, high) = (low.log10().max(high.log10() - MOST_DECADES), high.log10());
    let pad = f64::max(0.3, 0.05 * (high - low));
    let ends = (10_f64.powf(low - pad), 10_f64.powf(high + pad));
    Axis::logarithmic(ends, place.upwards(), 9, dimension)
}

/// A curve as (frequency, magnitude; of a ratio in dB) where it has values above 0, one stretch after another.
fn stretches(row: &Row<'_>, ratio: bool) -> Stretches {
    let Some(curve) = row.curve else { return Vec::new() };
    let drawn = |magnitude: f64| {
        let value = if ratio { level(magnitude) } else { magnitude };
        Some(value).filter(|value| value.is_finite() && magnitude > 0.0)
    };
    let values = curve.values.iter().map(|value| value.and_then(|value| drawn(value.magnitude())));
    let mut points: Vec<(f64, Option<f64>)> = curve.frequencies.iter().copied().zip(values).collect();
    // The peak is worked out between the points, and a picture without its top would contradict the words.
    points.extend(curve.peak.map(|(frequency, magnitude)| (frequency, drawn(magnitude))));
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

/// Least and greatest coordinate of all curves, along both axes.
fn reach(curves: &[Stretches]) -> Option<((f64, f64), (f64, f64))> {
    let mut points = curves.iter().flatten().flatten();
    let first = points.next()?;
    let start = ((first.0, first.0), (first.1, first.1));
    Some(points.fold(start, |(x, y), point| {
        ((x.0.min(point.0), x.1.max(point.0)), (y.0.min(point.1), y.1.max(point.1)))
    }))
}

/// A line for each option, with its highest peak.
fn entries(rows: &[Row<'_>], series: &[Series], dimension: Dimension) -> Vec<(Sample, String, String)> {
    let leading = (0..rows.len()).filter(|at| leads(rows, *at));
    let entry = |at: usize| {
        let own: Vec<&Row<'_>> =
            rows[at..].iter().take_while(|other| other.option == rows[at].option).collect();
        let class = format!("curve strong {}", series[at].stroke());
        (Sample::Curve(class), name(&rows[at]), text::with_micro(&about(&own, dimension)))
    };
    leading.map(entry).collect()
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
