//! Inductance over current for every coil that saturates, with the range in which it is used and what is left at its peak.

use super::Picture;
use super::canvas::{Canvas, through};
use super::document::{Heading, Ids, Keys, Legend, Sample, close, open};
use super::field::{AXIS_NAME, Axis, Field, LABELS, Place};
use super::style::{MARGIN, Series, WIDTH};
use crate::options::{condition_label, is_baseline, picks};
use crate::text;
use quantity::Dimension;
use study::result::{CoilState, Comparison};

const LEFT: f64 = 92.0;
const HEIGHT: f64 = 380.0;
/// Curves at most, those that lose most first: more than colours and dashes tell apart at a glance.
const MOST: usize = 12;
/// Beyond this ratio of initial inductances the axis is logarithmic, or the small ones would lie on its foot.
const LOGARITHMIC_BEYOND: f64 = 20.0;
/// A curve counts as level while it is above this share of its beginning, and as bottomed out within as little of its end.
const LEVEL: f64 = 0.98;
/// Decades under the greatest inductance that such an axis shows.
const DECADES: f64 = 5.0;

/// A coil as one or several options have it.
struct Coil<'a> {
    /// Labels of the options.
    options: Vec<String>,
    baseline: bool,
    part: &'a str,
    curve: &'a [(f64, f64)],
    /// Least and greatest magnitude of its current over all conditions.
    range: (f64, f64),
    /// The state at the greatest current, and where that is.
    worst: &'a CoilState,
    at: String,
}

/// The picture; nothing where no coil saturates.
pub(super) fn picture(comparison: &Comparison) -> Option<Picture> {
    let name = "inductance";
    let text = draw(comparison, &Ids::new(name))?;
    Some(Picture { subject: "coils".to_owned(), file_name: format!("{name}.svg"), text })
}

/// All coils with a curve, each once for all options that have it alike.
fn coils(comparison: &Comparison) -> Vec<Coil<'_>> {
    let mut coils: Vec<Coil<'_>> = Vec::new();
    for pick in picks(comparison) {
        for run in &pick.runs {
            for state in run.coils.iter().filter(|state| !state.curve.is_empty()) {
                let range = magnitudes(state.range);
                let knee = |curve: &[(f64, f64)]| curve.first().copied();
                // Its end depends on the currents of the run; its beginning and its first inductance are the coil's own.
                let alike = |known: &&mut Coil<'_>| {
                    known.part == state.part && knee(known.curve) == knee(&state.curve)
                };
                match coils.iter_mut().find(alike) {
                    Some(known) => {
                        if !known.options.contains(&pick.label) {
                            known.options.push(pick.label.clone());
                        }
                        known.range = (known.range.0.min(range.0), known.range.1.max(range.1));
                        if state.curve.len() > known.curve.len() {
                            known.curve = &state.curve;
                        }
                        if state.peak_current > known.worst.peak_current {
                            (known.worst, known.at) = (state, condition_label(comparison, run));
                        }
                    }
                    None => coils.push(Coil {
                        options: vec![pick.label.clone()],
                        baseline: is_baseline(comparison, run),
                        part: &state.part,
                        curve: &state.curve,
                        range,
                        worst: state,
                        at: condition_label(comparison, run),
                    }),
                }
            }
        }
    }
    coils.sort_by(|one, other| one.worst.inductance_left.total_cmp(&other.worst.inductance_left));
    coils
}

fn magnitudes((low, high): (f64, f64)) -> (f64, f64) {
    let least = if low <= 0.0 && high >= 0.0 { 0.0 } else { low.abs().min(high.abs()) };
    (least, low.abs().max(high.abs()))
}

fn draw(comparison: &Comparison, ids: &Ids) -> Option<String> {
    let mut coils = coils(comparison);
    let left_out = coils.len().saturating_sub(MOST);
    coils.truncate(MOST);
    let ends = |ends: (f64, f64), own: (f64, f64)| (ends.0.min(own.0), ends.1.max(own.1));
    let across = coils.iter().map(Coil::of_interest).fold((f64::INFINITY, 0.0), ends);
    let inside = |point: &&(f64, f64)| point.0 >= across.0 && point.0 <= across.1;
    let points = || coils.iter().flat_map(|coil| coil.curve).filter(inside);
    let highest = points().map(|point| point.1).fold(0.0, f64::max);
    if highest <= 0.0 {
        return None;
    }
    let smallest =
        coils.iter().filter_map(|coil| coil.curve.first()).map(|point| point.1).fold(highest, f64::min);
    let title = format!("{}: inductance over current", comparison.harness);
    let mut subtitles = vec!["Inductance for small changes, at each current through the coil".to_owned()];
    if left_out > 0 {
        subtitles.push(format!("{left_out} more coils, which keep more of theirs, are left out"));
    }
    let heading = Heading::new(&title, &subtitles);
    let series = Series::of_each(coils.iter().map(|coil| coil.baseline));
    let entries: Vec<(Sample, String, String)> = coils
        .iter()
        .zip(&series)
        .map(|(coil, series)| {
            (Sample::Curve(format!("curve strong {}", series.stroke())), coil.name(), coil.told())
        })
        .collect();
    let told: Vec<String> = entries.iter().map(|(_, name, words)| format!("{name}: {words}")).collect();
    let legend = Legend::new(entries);
    // A field of each colour that is drawn, the words beside the last.
    let mut fields: Vec<(Sample, String)> = series
        .iter()
        .map(|series| (Sample::Field(format!("area {}", series.fill())), String::new()))
        .collect();
    if let Some((_, words)) = fields.last_mut() {
        "currents that occur in use (where they overlap, both); the dot is the peak".clone_into(words);
    }
    let keys = Keys::new(fields);
    let top = heading.height() + 8.0 + legend.height() + keys.height() + 18.0;
    let place = Place { x: LEFT, y: top, width: WIDTH - LEFT - MARGIN, height: HEIGHT };
    let current = Axis::logarithmic(across, place.across(), 9, Dimension::CURRENT);
    let inductance = if highest / smallest > LOGARITHMIC_BEYOND {
        let foot = highest * 10_f64.powf(-DECADES);
        let least = points().map(|point| point.1).fold(highest, f64::min).max(foot);
        Axis::logarithmic((0.7 * least, 1.5 * highest), place.upwards(), 7, Dimension::INDUCTANCE)
    } else {
        Axis::straight((0.0, 1.08 * highest), place.upwards(), 7, Dimension::INDUCTANCE)
    };

    let mut canvas = Canvas::default();
    let description = format!("{}. {}.", subtitles[0], told.join(". "));
    open(&mut canvas, ids, top + HEIGHT + LABELS + AXIS_NAME + 14.0, &title, &description);
    heading.draw(&mut canvas);
    legend.draw(&mut canvas, heading.height() + 8.0);
    keys.draw(&mut canvas, heading.height() + 8.0 + legend.height());
    canvas.raw("<defs>");
    canvas.clip(&ids.of("field"), (place.x, place.y), (place.width, place.height));
    canvas.raw("</defs>");
    Field { place, x: &current, y: &inductance, x_labels: true, x_name: "current through the coil" }
        .draw(&mut canvas);
    let at = |(ampere, henry): &(f64, f64)| (current.place(*ampere), inductance.place(*henry));
    canvas.clipped(&ids.of("field"));
    for (coil, series) in coils.iter().zip(&series) {
        let mut area: Vec<(f64, f64)> = coil.used().iter().map(at).collect();
        if let (Some(first), Some(last)) = (area.first().copied(), area.last().copied()) {
            area.extend([(last.0, place.bottom()), (first.0, place.bottom())]);
            canvas.path(&format!("{}Z", through(&area)), &format!("area {}", series.fill()));
        }
    }
    for (coil, series) in coils.iter().zip(&series) {
        let points: Vec<(f64, f64)> = coil.curve.iter().map(at).collect();
        canvas.path(&through(&points), &format!("curve strong {}", series.stroke()));
    }
    canvas.end();
    for (coil, series) in coils.iter().zip(&series) {
        let dot = at(&(coil.worst.peak_current, coil.worst.inductance));
        if dot.0 >= place.x && dot.0 <= place.right() {
            canvas.circle(dot, 5.5, &format!("dot {}", series.colour()));
        }
    }
    Some(close(canvas))
}

impl Coil<'_> {
    fn name(&self) -> String {
        format!("{}: {}", self.options.join(", "), self.part)
    }

    /// From where it is still level to where it is left with little more than it ends with, and the range of its use.
    fn of_interest(&self) -> (f64, f64) {
        let (Some(first), Some(last)) = (self.curve.first(), self.curve.last()) else { return self.range };
        let level = self.curve.iter().take_while(|point| point.1 > LEVEL * first.1).last();
        let left = self.curve.iter().find(|point| point.1 < last.1 + (1.0 - LEVEL) * first.1);
        let from = 0.5 * level.map_or(first.0, |point| point.0);
        let to = left.map_or(last.0, |point| point.0).max(1.5 * self.range.1);
        let low = if self.range.0 > 0.0 { from.min(self.range.0) } else { from };
        (low.max(first.0), to.min(last.0))
    }

    /// `330 µH, 83 % left at 505 mA (soft, full)`.
    fn told(&self) -> String {
        let rest = self.curve.first().map_or(0.0, |point| point.1);
        let place = if self.at.is_empty() { String::new() } else { format!(" ({})", self.at) };
        text::with_micro(&format!(
            "{}, {} left at {}{place}",
            text::value(rest, Dimension::INDUCTANCE),
            text::percent(self.worst.inductance_left),
            text::value(self.worst.peak_current, Dimension::CURRENT),
        ))
    }

    /// The curve's points within the range of use, with the range's own ends between its points.
    fn used(&self) -> Vec<(f64, f64)> {
        let (low, high) = self.range;
        let between = |current: f64| {
            let after = self.curve.iter().position(|point| point.0 >= current)?;
            let (one, other) = (self.curve[after.checked_sub(1)?], self.curve[after]);
            let share = (current - one.0) / (other.0 - one.0);
            Some((current, one.1 + share * (other.1 - one.1)))
        };
        let inside = self.curve.iter().filter(|point| point.0 > low && point.0 < high).copied();
        between(low).into_iter().chain(inside).chain(between(high)).collect()
    }
}
