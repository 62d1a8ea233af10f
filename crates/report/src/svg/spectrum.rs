//! The ripple's spectrum: a row of lines for each option on one scale, the spectrum before behind them.

use super::Picture;
use super::canvas::{Canvas, coordinate};
use super::document::{Heading, Ids, Keys, Sample, close, open};
use super::field::{AXIS_NAME, Axis, Field, LABELS, Place};
use super::style::{FIGURES, MARGIN, NAME, PITCH, Series, WIDTH};
use super::waveforms::{Chosen, chosen};
use super::words::Block;
use crate::text;
use quantity::Dimension;
use std::fmt::Write as _;
use study::result::{Comparison, Spectrum};

const LEFT: f64 = 92.0;
const PANEL: f64 = 120.0;
const GAP: f64 = 22.0;
/// Decades under the greatest line: what is smaller, nobody sees in a picture.
const DECADES: f64 = 5.0;
/// Rows at most.
const MOST: usize = 24;
/// Bytes that the lines of a page may take; a line takes some sixteen, and stands twice in a row.
const BYTES: usize = 140_000;
const BYTES_A_LINE: usize = 2 * 18;
/// The largest lines are named: this many of a row.
const NAMED: usize = 3;

/// A picture for each test point that has a spectrum with some option, in the file's order.
pub(super) fn pictures(comparison: &Comparison) -> Vec<Picture> {
    let each = comparison.testpoints.iter().enumerate();
    each.filter_map(|(at, info)| {
        let name = format!("spectrum_{}", info.name);
        let text = draw(comparison, at, &Ids::new(&name))?;
        Some(Picture { subject: info.name.clone(), file_name: format!("{name}.svg"), text })
    })
    .collect()
}

/// An option with its lines.
struct Row<'a> {
    name: String,
    spectrum: &'a Spectrum,
    words: Block,
    series: Series,
}

fn draw(comparison: &Comparison, testpoint: usize, ids: &Ids) -> Option<String> {
    let info = &comparison.testpoints[testpoint];
    let Chosen { condition, rows: runs } = chosen(comparison, testpoint)?;
    let series = Series::of_each(runs.iter().map(|(pick, _)| pick.baseline));
    let seen = runs.iter().zip(series).filter_map(|((pick, run), series)| {
        let spectrum = (*run)?.testpoints.get(testpoint)?.as_ref()?.spectrum.as_ref()?;
        let largest = largest(spectrum).filter(|line| line.1 > 0.0)?;
        let name = if pick.baseline && runs.len() > 1 {
            format!("{} (before)", pick.label)
        } else {
            pick.label.clone()
        };
        let mut words = Block::new(MARGIN + 38.0, WIDTH - MARGIN, PITCH);
        words.add(NAME, &name, 14.0);
        words.add(FIGURES, &told(spectrum, largest, info.dimension), 0.0);
        Some(Row { name, spectrum, words, series })
    });
    let mut rows: Vec<Row<'_>> = seen.collect();
    let before = rows.iter().find(|row| row.series == Series::Baseline).map(|row| row.spectrum);
    let all = || rows.iter().flat_map(|row| &row.spectrum.lines);
    let ends = |ends: (f64, f64), value: f64| (ends.0.min(value), ends.1.max(value));
    let start = (f64::INFINITY, 0.0_f64);
    let across = all().map(|line| line.0).fold(start, ends);
    let greatest = all().map(|line| line.1).fold(0.0, f64::max);
    if greatest <= 0.0 {
        return None;
    }
    // Lines lie on the field's edges otherwise, and a single line would have no axis.
    let across = (0.8 * across.0, 1.25 * across.1);
    let upwards = (greatest * 10_f64.powf(-DECADES), 1.6 * greatest);
    let left_out = rows.len().saturating_sub(MOST);
    rows.truncate(MOST);

    let title = format!("{}: spectrum of {}", comparison.harness, info.name);
    let mut subtitles =
        vec![format!("Peak amplitude of each line of {}, over frequency; one scale for all", info.signal)];
    if !condition.is_empty() {
        subtitles.push(format!("Worst condition of the waveforms: {condition}"));
    }
    if left_out > 0 {
        subtitles.push(format!("{left_out} more options are left out"));
    }
    let heading = Heading::new(&title, &subtitles);
    let keys = Keys::new(match before {
        Some(_) if rows.len() > 1 => {
            vec![(
                Sample::Curve("before-stem strong".to_owned()),
                format!("{} behind the others", rows[0].name),
            )]
        }
        _ => Vec::new(),
    });
    let top = heading.height() + 6.0 + keys.height() + 8.0;
    let height =
        top + rows.iter().map(|row| row.height() + GAP).sum::<f64>() - GAP + LABELS + AXIS_NAME + 14.0;
    let description: Vec<String> = rows
        .iter()
        .filter_map(|row| {
            Some(format!("{}: {}", row.name, told(row.spectrum, largest(row.spectrum)?, info.dimension)))
        })
        .collect();

    let mut canvas = Canvas::default();
    open(&mut canvas, ids, height, &title, &format!("{}. {}.", subtitles[0], description.join(". ")));
    heading.draw(&mut canvas);
    keys.draw(&mut canvas, heading.height() + 6.0);
    let columns = (BYTES / (BYTES_A_LINE * rows.len().max(1))).clamp(60, 860);
    let mut y = top;
    for (at, row) in rows.iter().enumerate() {
        canvas.group("row", &row.name);
        let baseline = y + 20.0;
        let class = format!("curve strong {}", row.series.colour());
        canvas.line((MARGIN, baseline - 6.0), (MARGIN + 30.0, baseline - 6.0), &class);
        row.words.draw(&mut canvas, baseline);
        let place = Place { x: LEFT, y: y + row.head(), width: WIDTH - LEFT - MARGIN, height: PANEL };
        let frequency = Axis::logarithmic(across, place.across(), 9, Dimension::FREQUENCY);
        let value = Axis::logarithmic(upwards, place.upwards(), 6, info.dimension);
        let last = at + 1 == rows.len();
        let x_name = if last { "frequency" } else { "" };
        Field { place, x: &frequency, y: &value, x_labels: last, x_name }.draw(&mut canvas);
        let stems = |spectrum: &Spectrum| stems(spectrum, (&frequency, &value), place, columns);
        if let Some(before) = before.filter(|_| row.series != Series::Baseline) {
            canvas.path(&stems(before), "before-stem");
        }
        canvas.path(&stems(row.spectrum), &format!("stem {}", row.series.colour()));
        canvas.end();
        y += row.height() + GAP;
    }
    Some(close(canvas))
}

impl Row<'_> {
    fn head(&self) -> f64 {
        20.0 + self.words.extra_height() + 12.0
    }

    fn height(&self) -> f64 {
        self.head() + PANEL
    }
}

fn largest(spectrum: &Spectrum) -> Option<(f64, f64)> {
    spectrum.lines.iter().copied().max_by(|one, other| one.1.total_cmp(&other.1))
}

/// `largest 238 mV at 20 kHz, then 66.5 mV at 40 kHz, 23 mV at 480 Hz`.
fn told(spectrum: &Spectrum, largest: (f64, f64), dimension: Dimension) -> String {
    let mut lines = spectrum.lines.clone();
    lines.sort_by(|one, other| other.1.total_cmp(&one.1));
    let worth = lines.iter().take(NAMED).filter(|line| line.1 > 0.01 * largest.1);
    let each: Vec<String> = worth
        .map(|(frequency, amplitude)| {
            format!(
                "{} at {}",
                text::value(*amplitude, dimension),
                text::value(*frequency, Dimension::FREQUENCY)
            )
        })
        .collect();
    text::with_micro(&match each.split_first() {
        Some((first, rest)) if !rest.is_empty() => format!("largest {first}, then {}", rest.join(", ")),
        Some((first, _)) => format!("largest {first}"),
        None => String::new(),
    })
}

/// Upright lines from the field's foot, of each of `columns` stretches the largest.
fn stems(spectrum: &Spectrum, (x, y): (&Axis, &Axis), place: Place, columns: usize) -> String {
    let mut highest: Vec<Option<(f64, f64)>> = vec![None; columns];
    for &(frequency, amplitude) in &spectrum.lines {
        let (at, top) = (x.place(frequency), y.place(amplitude));
        if top >= place.bottom() {
            continue;
        }
        let share = (at - place.x) / place.width;
        let column = &mut highest[((share * columns as f64).max(0.0) as usize).min(columns - 1)];
        if column.is_none_or(|known| top < known.1) {
            *column = Some((at, top));
        }
    }
    let mut data = String::new();
    for (at, top) in highest.into_iter().flatten() {
        let _ = write!(
            data,
            "M{} {}V{}",
            coordinate(at),
            coordinate(place.bottom()),
            coordinate(top.max(place.y))
        );
    }
    data
}
