//! Candidates by two quantities of which less is better: those that no other beats in both are connected.

use super::Picture;
use super::canvas::{Canvas, coordinate, through};
use super::document::{Heading, Ids, Keys, Sample, close, open};
use super::field::{AXIS_NAME, Axis, Field, LABELS, Place};
use super::labels::Labels;
use super::style::{MARGIN, WIDTH};
use crate::text;
use quantity::Dimension;
use std::collections::HashSet;

const LEFT: f64 = 96.0;
const HEIGHT: f64 = 460.0;
/// Beyond this ratio of greatest to least an axis is logarithmic.
const LOGARITHMIC_BEYOND: f64 = 20.0;
/// So few candidates are all named, more only where no other beats them.
const FEW: usize = 24;
/// Candidates of one kind that fall on one square of so many pixels are drawn once.
const SQUARE: f64 = 4.0;

/// What to draw.
#[derive(Clone, Debug)]
pub struct Pareto {
    /// A word for its file's name, of letters, digits and `_`: `pareto_noise.svg`.
    pub name: String,
    /// Title of the picture: what is chosen among.
    pub title: String,
    /// Name and dimension of the quantity along the width.
    pub across: (String, Dimension),
    /// Name and dimension of the quantity along the height.
    pub upwards: (String, Dimension),
    /// What must not be exceeded along the height, in words and in SI units.
    pub limit: Option<(String, f64)>,
    /// The candidates.
    pub points: Vec<ParetoPoint>,
}

/// A candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct ParetoPoint {
    /// What it is.
    pub label: String,
    /// Its two quantities in SI units; one that is not finite is not drawn.
    pub at: (f64, f64),
    /// Whether it meets every requirement.
    pub meets: bool,
    /// Whether no other candidate is better in one quantity and no worse in the other.
    pub front: bool,
}

pub(super) fn picture(chart: &Pareto) -> Picture {
    let name = format!("pareto_{}", chart.name);
    let text = draw(chart, &Ids::new(&name));
    Picture { subject: chart.title.clone(), file_name: format!("{name}.svg"), text }
}

fn draw(chart: &Pareto, ids: &Ids) -> String {
    let finite = |point: &&ParetoPoint| point.at.0.is_finite() && point.at.1.is_finite();
    let points: Vec<&ParetoPoint> = chart.points.iter().filter(finite).collect();
    let meeting = points.iter().filter(|point| point.meets).count();
    let count = text::count(points.len(), "candidate");
    let held = match (meeting, points.len()) {
        (all, several) if all == several => "which meet every requirement".to_owned(),
        (1, _) => "1 of which meets every requirement".to_owned(),
        (some, _) => format!("{some} of which meet every requirement"),
    };
    let subtitle = format!("{count}, {held}; left and down is better");
    let heading = Heading::new(&chart.title, std::slice::from_ref(&subtitle));
    let mut entries = vec![
        (Sample::Curve("curve strong c0".to_owned()), "no other is better in both".to_owned()),
        (Sample::Field("bar f0".to_owned()), "meets every requirement".to_owned()),
    ];
    if meeting < points.len() {
        entries.push((Sample::Field("bar f1".to_owned()), "does not (crosses)".to_owned()));
    }
    if let Some((words, _)) = &chart.limit {
        entries.push((Sample::Curve("limit".to_owned()), format!("limit: {words}")));
    }
    let keys = Keys::new(entries);
    let top = heading.height() + 6.0 + keys.height() + 40.0;
    let place = Place { x: LEFT, y: top, width: WIDTH - LEFT - MARGIN, height: HEIGHT };
    let limit = chart.limit.as_ref().map(|limit| limit.1);
    let x = axis(points.iter().map(|point| point.at.0), place.across(), 8, chart.across.1);
    let y = axis(points.iter().map(|point| point.at.1).chain(limit), place.upwards(), 9, chart.upwards.1);
    let mut front: Vec<&ParetoPoint> = points.iter().filter(|point| point.front).copied().collect();
    front.sort_by(|one, other| one.at.0.total_cmp(&other.at.0).then(other.at.1.total_cmp(&one.at.1)));
    let told: Vec<String> = front.iter().map(|point| told(chart, point)).collect();
    let description = format!("{subtitle}. Those that no other beats: {}.", told.join("; "));

    let mut canvas = Canvas::default();
    open(&mut canvas, ids, top + HEIGHT + LABELS + AXIS_NAME + 14.0, &chart.title, &description);
    heading.draw(&mut canvas);
    keys.draw(&mut canvas, heading.height() + 6.0);
    canvas.text(MARGIN, top - 14.0, super::canvas::Anchor::Start, "tick", &chart.upwards.0);
    Field { place, x: &x, y: &y, x_labels: true, x_name: &chart.across.0 }.draw(&mut canvas);
    if let Some(limit) = limit {
        let at = y.place(limit);
        canvas.line((place.x, at), (place.right(), at), "limit");
    }
    let at = |point: &ParetoPoint| (x.place(point.at.0), y.place(point.at.1));
    let steps: Vec<(f64, f64)> = front
        .iter()
        .enumerate()
        .flat_map(|(index, point)| {
            let here = at(point);
            // Between two of the front nothing better than the left one is to be had.
            let corner = index.checked_sub(1).map(|before| (here.0, at(front[before]).1));
            corner.into_iter().chain([here])
        })
        .collect();
    if steps.len() > 1 {
        canvas.path(&through(&steps), "curve strong c0");
    }
    let mut labels = Labels::within(place);
    let kept = points.iter().filter(|point| point.front || points.len() <= FEW);
    kept.for_each(|point| labels.keep_free(at(point), 7.0));
    let mut drawn: HashSet<(bool, i64, i64)> = HashSet::new();
    let others = points.iter().filter(|point| !point.front);
    for point in others {
        let (left, top) = at(point);
        if drawn.insert((point.meets, (left / SQUARE) as i64, (top / SQUARE) as i64)) {
            dot(&mut canvas, point, (left, top));
        }
    }
    for point in &front {
        dot(&mut canvas, point, at(point));
        labels.put(&mut canvas, at(point), &point.label);
    }
    if points.len() <= FEW {
        let others = points.iter().filter(|point| !point.front);
        others.for_each(|point| labels.put(&mut canvas, at(point), &point.label));
    }
    close(canvas)
}

/// A disc for what meets every requirement, a cross for what does not.
fn dot(canvas: &mut Canvas, point: &ParetoPoint, (x, y): (f64, f64)) {
    let size = if point.front { 6.0 } else { 4.0 };
    if point.meets {
        canvas.circle((x, y), size, "bar f0");
    } else {
        let [left, right, top, bottom] = [x - size, x + size, y - size, y + size].map(coordinate);
        canvas.path(&format!("M{left} {top}L{right} {bottom}M{left} {bottom}L{right} {top}"), "curve c1");
    }
}

fn told(chart: &Pareto, point: &ParetoPoint) -> String {
    let value = |value: f64, dimension: Dimension| text::with_micro(&text::value(value, dimension));
    format!(
        "{}: {} {}, {} {}",
        point.label,
        chart.across.0,
        value(point.at.0, chart.across.1),
        chart.upwards.0,
        value(point.at.1, chart.upwards.1)
    )
}

fn axis(values: impl Iterator<Item = f64>, ends: (f64, f64), most: usize, dimension: Dimension) -> Axis {
    let reach = (f64::INFINITY, f64::NEG_INFINITY);
    let (low, high) = values.fold(reach, |(low, high), value| (low.min(value), high.max(value)));
    if low > 0.0 && high / low > LOGARITHMIC_BEYOND {
        let pad = (high / low).powf(0.06);
        return Axis::logarithmic((low / pad, high * pad), ends, most, dimension);
    }
    let pad = 0.06 * (high - low);
    let mut axis = Axis::straight((low - pad, high + pad), ends, most, dimension);
    // A rim, so that no dot lies on the edge; but no name for what cannot be.
    axis.ticks.retain(|tick| low < 0.0 || tick.value >= 0.0);
    axis
}
