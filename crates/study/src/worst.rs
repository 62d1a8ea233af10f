//! Where a reading is worst: over all conditions, and over sweeps between their points too.

mod search;

use crate::options::{Options, OptionsError, product};
use crate::point::run_harness;
use language::Description;
use language::description::{AxisKind, Harness};
use rayon::prelude::*;
use search::{Found, Side, refine};
use std::collections::BTreeMap;
use std::panic::AssertUnwindSafe;

/// Local extremes of the points that are looked at more closely; the best of all points is always among them.
const MOST_PEAKS: usize = 4;

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub struct Question<'a> {
    /// Name of a reading.
    pub reading: &'a str,
    /// Whether its least value is the worst, not its greatest.
    pub least: bool,
    /// Names of the sweeps between whose points is looked; of others only the points are.
    pub over: &'a [&'a str],
}

/// The worst case of one option.
#[derive(Clone, Debug, PartialEq)]
pub struct Worst {
    /// Index on each axis; of a sweep that was refined the nearest point's.
    pub at: Vec<usize>,
    /// For each axis the value found between the points of a sweep, in SI units; `None` where it stays at a point.
    pub swept: Vec<Option<f64>>,
    /// The reading there; `None` where no point has a value.
    pub value: Option<f64>,
    /// The worst of the points alone, with its indices.
    pub of_points: Option<(Vec<usize>, f64)>,
    /// Points that gave no value, for whatever reason.
    pub without: usize,
    /// Runs that it took.
    pub runs: usize,
}

/// The worst case of each option, in the order of the product of the choices.
///
/// Every point is run first. Around each of the best local extremes the sweeps are then refined by golden section, one after
/// the other until none moves: Kiefer, Proceedings of the American Mathematical Society 4 (1953), which asks of the reading only that
/// it has one extreme between two neighbouring points, not that it is smooth.
///
/// # Errors
/// An option that names an axis or a point that the harness does not have; too many points.
pub fn worst(
    description: &Description,
    question: &Question<'_>,
    options: &Options,
) -> Result<Vec<Worst>, OptionsError> {
    let options = Options { pictures: false, ..options.clone() };
    let chosen = options.points(description)?;
    let sign = if question.least { -1.0 } else { 1.0 };
    let axes = description.axes();
    let points: Vec<Vec<usize>> = product(&chosen).collect();
    let values: Vec<Option<f64>> = points
        .par_iter()
        .map(|at| evaluate(description, at, &BTreeMap::new(), question.reading, &options))
        .collect();

    let mut picks: Vec<(Vec<usize>, Vec<usize>)> = Vec::new();
    for (index, at) in points.iter().enumerate() {
        let key: Vec<usize> = at
            .iter()
            .zip(axes)
            .filter(|(_, axis)| axis.kind == AxisKind::Choice)
            .map(|(at, _)| *at)
            .collect();
        match picks.iter_mut().find(|(known, _)| *known == key) {
            Some((_, members)) => members.push(index),
            None => picks.push((key, vec![index])),
        }
    }
    let refined: Vec<usize> = (0..axes.len())
        .filter(|axis| {
            axes[*axis].kind == AxisKind::Sweep
                && chosen[*axis].len() > 1
                && question.over.contains(&axes[*axis].name.as_str())
        })
        .collect();
    let grid = Grid { description, question, options: &options, chosen: &chosen, refined: &refined, sign };
    let of_pick = |(_, members): &(Vec<usize>, Vec<usize>)| {
        let seen: Vec<(&Vec<usize>, Option<f64>)> =
            members.iter().map(|index| (&points[*index], values[*index])).collect();
        grid.worst(&seen)
    };
    Ok(picks.par_iter().map(of_pick).collect())
}

/// The points of one option, and how to look between them.
struct Grid<'a> {
    description: &'a Description,
    question: &'a Question<'a>,
    options: &'a Options,
    /// Indices of the points on each axis.
    chosen: &'a [Vec<usize>],
    /// Axes that are refined.
    refined: &'a [usize],
    /// 1 where the greatest value is the worst, -1 where the least is.
    sign: f64,
}

impl Grid<'_> {
    fn worst(&self, seen: &[(&Vec<usize>, Option<f64>)]) -> Worst {
        let without = seen.iter().filter(|(_, value)| value.is_none()).count();
        let height = |value: f64| self.sign * value;
        let mut peaks: Vec<(&Vec<usize>, f64)> =
            seen.iter().filter_map(|(at, value)| Some((*at, (*value)?))).collect();
        peaks.sort_by(|one, other| height(other.1).total_cmp(&height(one.1)));
        let Some((best, value)) = peaks.first().map(|(at, value)| ((*at).clone(), *value)) else {
            let at = seen.first().map(|(at, _)| (*at).clone()).unwrap_or_default();
            let swept = vec![None; at.len()];
            return Worst { at, swept, value: None, of_points: None, without, runs: seen.len() };
        };
        let runs = seen.len();
        let stays = vec![None; best.len()];
        let mut worst = Worst {
            at: best.clone(),
            swept: stays,
            value: Some(value),
            of_points: Some((best, value)),
            without,
            runs,
        };
        if self.refined.is_empty() {
            return worst;
        }
        let known: BTreeMap<&Vec<usize>, f64> = peaks.iter().copied().collect();
        let tops = peaks.iter().filter(|(at, value)| self.is_top(at, *value, &known)).take(MOST_PEAKS);
        let tops: Vec<&(&Vec<usize>, f64)> = tops.collect();
        let found: Vec<(Found, &Vec<usize>)> =
            tops.par_iter().map(|(at, value)| (self.climb(at, *value), *at)).collect();
        for (found, at) in found {
            worst.runs += found.runs;
            if worst.value.is_none_or(|value| found.height > height(value)) {
                worst.value = Some(self.sign * found.height);
                worst.at = self.nearest(at, &found.place);
                worst.swept = vec![None; at.len()];
                for (axis, value) in self.refined.iter().zip(&found.place) {
                    worst.swept[*axis] = Some(*value);
                }
            }
        }
        worst
    }

    /// Whether no neighbour along a refined axis lies higher.
    fn is_top(&self, at: &[usize], value: f64, known: &BTreeMap<&Vec<usize>, f64>) -> bool {
        self.refined.iter().all(|axis| {
            [-1, 1].into_iter().all(|step| {
                let Some(neighbour) = self.beside(at, *axis, step) else { return true };
                known.get(&neighbour).is_none_or(|other| self.sign * other <= self.sign * value)
            })
        })
    }

    /// The point beside `at` on an axis; `None` beyond its ends.
    fn beside(&self, at: &[usize], axis: usize, step: isize) -> Option<Vec<usize>> {
        let order = self.rising(axis);
        let place = order.iter().position(|index| *index == at[axis])?;
        let next = *order.get(place.checked_add_signed(step)?)?;
        let mut beside = at.to_vec();
        beside[axis] = next;
        Some(beside)
    }

    /// The chosen points of a sweep by rising value.
    fn rising(&self, axis: usize) -> Vec<usize> {
        let mut order = self.chosen[axis].clone();
        let value = |index: &usize| self.description.axes()[axis].values[*index].value;
        order.sort_by(|one, other| value(one).total_cmp(&value(other)));
        order
    }

    fn climb(&self, at: &[usize], value: f64) -> Found {
        let sides: Vec<Side> = self.refined.iter().map(|axis| self.side(at, *axis)).collect();
        let start = Found {
            place: sides.iter().map(|side| side.start).collect(),
            height: self.sign * value,
            runs: 0,
        };
        refine(&sides, start, |place| {
            let axes = self.description.axes();
            let swept = self.refined.iter().zip(place);
            let swept = swept.map(|(axis, value)| (axes[*axis].name.clone(), *value)).collect();
            evaluate(self.description, at, &swept, self.question.reading, self.options)
                .map(|value| self.sign * value)
        })
    }

    /// Between which values the extreme around a point lies.
    fn side(&self, at: &[usize], axis: usize) -> Side {
        let values = &self.description.axes()[axis].values;
        let of = |point: Option<Vec<usize>>| values[point.map_or(at[axis], |point| point[axis])].value;
        let order = self.rising(axis);
        let ends = [order.first(), order.last()].map(|end| end.map_or(0.0, |index| values[*index].value));
        Side {
            low: of(self.beside(at, axis, -1)),
            start: values[at[axis]].value,
            high: of(self.beside(at, axis, 1)),
            span: ends[1] - ends[0],
        }
    }

    fn nearest(&self, at: &[usize], place: &[f64]) -> Vec<usize> {
        let mut nearest = at.to_vec();
        for (axis, value) in self.refined.iter().zip(place) {
            let distance =
                |index: &&usize| (self.description.axes()[*axis].values[**index].value - value).abs();
            if let Some(index) =
                self.chosen[*axis].iter().min_by(|one, other| distance(one).total_cmp(&distance(other)))
            {
                nearest[*axis] = *index;
            }
        }
        nearest
    }
}

/// The reading at a point, with other values of sweeps; `None` where there is none.
fn evaluate(
    description: &Description,
    at: &[usize],
    swept: &BTreeMap<String, f64>,
    reading: &str,
    options: &Options,
) -> Option<f64> {
    let run = || {
        let harness: Harness = description.between(at, swept).ok()?;
        let run = run_harness(&harness, at, options);
        run.readings.into_iter().find(|one| one.name == reading)?.value
    };
    // A fault of the program in one point does not take the others' results away.
    std::panic::catch_unwind(AssertUnwindSafe(run)).ok()?.filter(|value| value.is_finite())
}
