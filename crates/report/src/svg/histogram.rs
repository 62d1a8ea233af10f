//! Histograms of draws: for each option how a value lies over the draws of its worst point, its limit and its yield beside it.

use super::canvas::{Canvas, coordinate};
use super::document::{Heading, Ids, Keys, Sample, close, open};
use super::field::{Axis, Field, LABELS, Place};
use super::style::{FIGURES, MARGIN, NAME, PITCH, Series, WIDTH};
use super::words::Block;
use crate::sweep::{Asked, PickSummary, Summary, Yield, percentile};
use crate::text;
use quantity::Dimension;
use std::fmt::Write as _;

const LEFT: f64 = 92.0;
const PANEL: f64 = 84.0;
const GAP: f64 = 20.0;
/// Rows at most.
const MOST: usize = 24;
/// Bars of a row: the square root of the draws, as is usual, within these.
const BARS: (f64, f64) = (8.0, 60.0);
/// Values that differ by no more than this fraction are alike; then they are one bar, of so many that there is room for.
const ALIKE: f64 = 1e-6;
const ONE_OF: f64 = 41.0;
/// A limit is drawn where the axis need not grow beyond this many times what the draws take.
const MOST_STRETCH: f64 = 3.0;

/// An option's draws.
struct Row<'a> {
    pick: &'a PickSummary,
    values: &'a [f64],
    words: Block,
    told: String,
}

/// The document for what is asked under this index; nothing where no option has drawn it.
pub(super) fn draw(title: &str, summary: &Summary, index: usize, ids: &Ids) -> Option<String> {
    let asked = &summary.asked[index];
    let drawn = |pick: &'_ PickSummary| {
        let values = pick.worst.as_ref().and_then(|worst| worst.values.get(index));
        values.is_some_and(|values| !values.is_empty())
    };
    let left_out = summary.picks.iter().filter(|pick| drawn(pick)).count().saturating_sub(MOST);
    let rows: Vec<Row<'_>> = summary
        .picks
        .iter()
        .filter(|pick| drawn(pick))
        .take(MOST)
        .filter_map(|pick| row(summary, pick, index))
        .collect();
    let draws = rows.first()?.pick.worst.as_ref()?.all;
    let title = format!("{title}: {} over {draws} draws", asked.text);
    let mut subtitles =
        vec!["Draws of each option where its yield is lowest; every row on a scale of its own".to_owned()];
    if left_out > 0 {
        subtitles.push(format!("{left_out} more options are in the table alone"));
    }
    let heading = Heading::new(&title, &subtitles);
    let mut entries =
        vec![(Sample::Curve("bracket".to_owned()), "5 %, half and 95 % of the draws lie below".to_owned())];
    if asked.limit.is_some() {
        entries.push((Sample::Field("allowed".to_owned()), format!("allowed: {}", asked.text)));
    }
    let keys = Keys::new(entries);
    let top = heading.height() + 6.0 + keys.height() + 10.0;
    let height = top + rows.iter().map(|row| row.height() + GAP).sum::<f64>();
    let told: Vec<&str> = rows.iter().map(|row| row.told.as_str()).collect();

    let mut canvas = Canvas::default();
    open(&mut canvas, ids, height, &title, &format!("{}. {}.", subtitles[0], told.join(". ")));
    heading.draw(&mut canvas);
    keys.draw(&mut canvas, heading.height() + 6.0);
    let series = Series::of_each((0..rows.len()).map(|at| at == 0 && rows.len() > 1));
    let mut y = top;
    for (row, series) in rows.iter().zip(series) {
        canvas.group("row", &row.pick.label);
        let class = format!("curve strong {}", series.colour());
        canvas.line((MARGIN, y + 14.0), (MARGIN + 30.0, y + 14.0), &class);
        row.words.draw(&mut canvas, y + 20.0);
        let place = Place { x: LEFT, y: y + row.head(), width: WIDTH - LEFT - MARGIN - 10.0, height: PANEL };
        panel(&mut canvas, asked, row.values, place, &series.fill());
        canvas.end();
        y += row.height() + GAP;
    }
    Some(close(canvas))
}

fn row<'a>(summary: &Summary, pick: &'a PickSummary, index: usize) -> Option<Row<'a>> {
    let asked = &summary.asked[index];
    let worst = pick.worst.as_ref()?;
    let values = worst.values.get(index)?.as_slice();
    let at = |share: f64| text::value_or_missing(percentile(values, share), asked.dimension);
    let mut told = format!("half below {}, 95 % below {}", at(0.5), at(0.95));
    if let Some((met, all)) = met(asked, values).filter(|(_, all)| *all > 0) {
        let (low, high) = crate::sweep::wilson(met, all);
        let percent = |share: f64| format!("{:.1}", 100.0 * share);
        let share = percent(met as f64 / all as f64);
        let _ = write!(told, "; {share} % hold ({} to {} with 95 % confidence)", percent(low), percent(high));
    }
    let told = format!("{}{}", text::with_micro(&told), place_of(summary, worst));
    let mut words = Block::new(MARGIN + 38.0, WIDTH - MARGIN, PITCH);
    words.add(NAME, &pick.label, 14.0);
    words.add(FIGURES, &told, 0.0);
    Some(Row { pick, values, words, told: format!("{}: {told}", pick.label) })
}

fn place_of(summary: &Summary, worst: &Yield) -> String {
    match summary.place(worst.number, false) {
        place if place.is_empty() => place,
        place => format!("; at {place}"),
    }
}

/// How many of the values keep to the limit.
fn met(asked: &Asked, values: &[f64]) -> Option<(usize, usize)> {
    let comparison = asked.comparison?;
    let limit = asked.limit?;
    Some((values.iter().filter(|value| comparison.holds(**value, limit)).count(), values.len()))
}

fn panel(canvas: &mut Canvas, asked: &Asked, values: &[f64], place: Place, fill: &str) {
    let (Some(first), Some(last)) = (values.first().copied(), values.last().copied()) else { return };
    // What no drawn value moves is one bar, not its rounding magnified.
    let alike = last - first <= ALIKE * last.abs().max(first.abs());
    let (least, greatest) = if alike { around(last) } else { (first, last) };
    let spread = greatest - least;
    let pad = 0.06 * spread;
    let near = |limit: &f64| (limit - least).abs().max((limit - greatest).abs()) <= MOST_STRETCH * spread;
    let limit = asked.limit.filter(near);
    let low = limit.map_or(least, |limit| least.min(limit)) - pad;
    let high = limit.map_or(greatest, |limit| greatest.max(limit)) + pad;
    let x = Axis::straight((low, high), place.across(), 7, asked.dimension);
    let bars = if alike { ONE_OF } else { (values.len() as f64).sqrt().ceil().clamp(BARS.0, BARS.1) };
    let mut counts = vec![0_usize; bars as usize];
    for value in values {
        let at = ((value - least) / spread * bars) as usize;
        counts[at.min(bars as usize - 1)] += 1;
    }
    let share = |count: usize| 100.0 * count as f64 / values.len() as f64;
    let most = counts.iter().copied().max().map_or(0.0, share);
    let mut y = Axis::straight((0.0, 1.08 * most), place.upwards(), 3, Dimension::NONE);
    y.ticks.iter_mut().for_each(|tick| tick.label.push_str(" %"));
    Field { place, x: &x, y: &y, x_labels: true, x_name: "" }.draw(canvas);
    allowed(canvas, asked, &x, place);
    let mut data = String::new();
    for (at, count) in counts.iter().enumerate().filter(|(_, count)| **count > 0) {
        let edge = |at: usize| x.place(least + spread * at as f64 / bars);
        let (left, right, top) = (edge(at), edge(at + 1), y.place(share(*count)));
        let [left, width, bottom, rise] =
            [left, right - left, place.bottom(), top - place.bottom()].map(coordinate);
        let _ = write!(data, "M{left} {bottom}v{rise}h{width}V{bottom}z");
    }
    canvas.path(&data, &format!("bar {fill}"));
    for share in [0.05, 0.5, 0.95] {
        if let Some(value) = percentile(values, share) {
            let at = x.place(value);
            let top = if share == 0.5 { place.y } else { place.y + 0.35 * place.height };
            canvas.line((at, top), (at, place.bottom()), "bracket");
        }
    }
}

/// Ends of an axis in whose middle a value stands alone.
fn around(value: f64) -> (f64, f64) {
    let half = if value == 0.0 { 1.0 } else { 0.05 * value.abs() };
    (value - half, value + half)
}

/// The part of the field that the requirement allows, with a line at the limit.
fn allowed(canvas: &mut Canvas, asked: &Asked, x: &Axis, place: Place) {
    let (Some(limit), Some(comparison)) = (asked.limit, asked.comparison) else { return };
    let at = x.place(limit).clamp(place.x, place.right());
    let (from, to) = if comparison.holds(limit - 1.0, limit) { (place.x, at) } else { (at, place.right()) };
    if to > from {
        canvas.rectangle((from, place.y), (to - from, place.height), "allowed");
    }
    let (low, high) = x.reach();
    if limit >= low && limit <= high {
        canvas.line((at, place.y), (at, place.bottom()), "limit");
    }
}

impl Row<'_> {
    fn head(&self) -> f64 {
        20.0 + self.words.extra_height() + 12.0
    }

    fn height(&self) -> f64 {
        self.head() + PANEL + LABELS
    }
}
