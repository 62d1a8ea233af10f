//! The numbers behind a verdict, each taken at its worst condition.

use crate::options::{Outcome, Pick, baseline_of, condition_label, met};
use crate::text;
use language::description::Comparison as Comparator;
use quantity::Dimension;
use study::result::{CoilState, Comparison, RequirementResult, Run, TestpointResult};

/// What is known about one pick.
#[derive(Clone, Debug)]
pub struct Facts {
    /// Its name.
    pub label: String,
    /// Whether others are compared with it.
    pub baseline: bool,
    /// What became of its requirements.
    pub outcome: Outcome,
    /// How many conditions it was run under.
    pub conditions: usize,
    /// How many requirements there are.
    pub requirements: usize,
    /// How many of its runs failed, and the first one's reason.
    pub failed: Option<(usize, String)>,
    /// Noise where most is left; `None` without a test point that was seen.
    pub noise: Option<Noise>,
    /// The same where the baseline is noisiest, if that is another condition.
    pub noise_where_worst_before: Option<Noise>,
    /// What it costs in mean voltage against the baseline, greatest over the conditions, in volt (negative: a gain).
    pub cost: Option<f64>,
    /// Each coil at the condition that leaves it least inductance.
    pub coils: Vec<CoilState>,
    /// The requirement that is missed by most, with the number of other requirements missed.
    pub miss: Option<(Miss, usize)>,
    /// Requirements with no value somewhere, as written, each once.
    pub unjudged: Vec<String>,
}

/// Peak-to-peak at the first test point that a requirement reads, under the condition where most is left.
#[derive(Clone, Debug)]
pub struct Noise {
    /// Name of the test point.
    pub testpoint: String,
    /// Dimension of what is seen there.
    pub dimension: Dimension,
    /// Peak-to-peak of this pick in SI units.
    pub here: f64,
    /// Peak-to-peak of the baseline under the same condition, in SI units.
    pub before: Option<f64>,
    /// The condition: `soft, full`.
    pub condition: String,
}

/// A requirement that is not met, at the condition where it is missed by most.
#[derive(Clone, Debug)]
pub struct Miss {
    /// The requirement as written.
    pub text: String,
    /// Why it matters.
    pub why: Option<String>,
    /// Value found, in SI units.
    pub value: f64,
    /// How far it lies beyond the limit, in SI units, never negative.
    pub excess: f64,
    /// Whether the value is too great (otherwise too small).
    pub above: bool,
    /// Dimension of both.
    pub dimension: Dimension,
    /// The condition: `soft, full`.
    pub condition: String,
}

impl Noise {
    /// 20 log10(before / here): positive where the pick is quieter; `None` without a baseline or where one is zero.
    #[must_use]
    pub fn reduction(&self) -> Option<f64> {
        let level = 20.0 * (self.before? / self.here).log10();
        level.is_finite().then_some(level)
    }
}

/// Collects what is known about `pick`.
#[must_use]
pub fn facts(comparison: &Comparison, pick: &Pick<'_>) -> Facts {
    let testpoint = judged_testpoint(comparison);
    let errors: Vec<&String> = pick.runs.iter().filter_map(|run| run.error.as_ref()).collect();
    Facts {
        label: pick.label.clone(),
        baseline: pick.baseline,
        outcome: pick.outcome(),
        conditions: pick.runs.len(),
        requirements: pick.runs.iter().map(|run| run.requirements.len()).max().unwrap_or(0),
        failed: errors.first().map(|first| (errors.len(), (*first).clone())),
        noise: testpoint.and_then(|testpoint| noise(comparison, pick, testpoint)),
        noise_where_worst_before: testpoint.and_then(|testpoint| worst_before(comparison, pick, testpoint)),
        cost: testpoint.and_then(|testpoint| cost(comparison, pick, testpoint)),
        coils: coils(pick),
        miss: miss(comparison, pick),
        unjudged: unjudged(pick),
    }
}

/// Index of the first test point that a requirement reads; the first of all where none does.
#[must_use]
pub fn judged_testpoint(comparison: &Comparison) -> Option<usize> {
    let read = comparison
        .runs
        .iter()
        .flat_map(|run| &run.requirements)
        .flat_map(|requirement| &requirement.testpoints);
    let position = |name: &String| comparison.testpoints.iter().position(|testpoint| testpoint.name == *name);
    read.filter_map(position).next().or((!comparison.testpoints.is_empty()).then_some(0))
}

/// Greatest less least value seen at the test point with this index.
#[must_use]
pub fn peak_to_peak(run: &Run, testpoint: usize) -> Option<f64> {
    let seen = seen(run, testpoint)?;
    let span =
        text::without_rounding(seen.maximum - seen.minimum, seen.maximum.abs().max(seen.minimum.abs()));
    span.is_finite().then_some(span)
}

/// The greatest magnitude that test points of a dimension show in a run: what its readings are sums of.
#[must_use]
pub fn scale(comparison: &Comparison, run: &Run, dimension: Dimension) -> f64 {
    let seen =
        comparison.testpoints.iter().zip(&run.testpoints).filter(|(info, _)| info.dimension == dimension);
    let seen = seen.filter_map(|(_, seen)| seen.as_ref());
    seen.map(|seen| seen.maximum.abs().max(seen.minimum.abs())).fold(0.0, f64::max)
}

fn seen(run: &Run, testpoint: usize) -> Option<&TestpointResult> {
    run.testpoints.get(testpoint)?.as_ref()
}

fn noise(comparison: &Comparison, pick: &Pick<'_>, testpoint: usize) -> Option<Noise> {
    let spans = pick.runs.iter().filter_map(|run| peak_to_peak(run, testpoint).map(|span| (*run, span)));
    let (run, here) = spans.max_by(|(_, a), (_, b)| a.total_cmp(b))?;
    Some(noise_of(comparison, pick, (run, here), testpoint))
}

/// Where the baseline is noisiest, unless most of this pick's own noise is left there too.
fn worst_before(comparison: &Comparison, pick: &Pick<'_>, testpoint: usize) -> Option<Noise> {
    if pick.baseline {
        return None;
    }
    let found = pick.runs.iter().filter_map(|run| {
        let before = peak_to_peak(baseline_of(comparison, run)?, testpoint)?;
        Some((*run, peak_to_peak(run, testpoint)?, before))
    });
    let (run, here, _) = found.max_by(|(.., a), (.., b)| a.total_cmp(b))?;
    let noise_here = noise_of(comparison, pick, (run, here), testpoint);
    (noise(comparison, pick, testpoint)?.condition != noise_here.condition).then_some(noise_here)
}

fn noise_of(comparison: &Comparison, pick: &Pick<'_>, (run, here): (&Run, f64), testpoint: usize) -> Noise {
    let before = if pick.baseline { None } else { baseline_of(comparison, run) };
    let info = &comparison.testpoints[testpoint];
    Noise {
        testpoint: info.name.clone(),
        dimension: info.dimension,
        here,
        before: before.and_then(|before| peak_to_peak(before, testpoint)),
        condition: condition_label(comparison, run),
    }
}

fn cost(comparison: &Comparison, pick: &Pick<'_>, testpoint: usize) -> Option<f64> {
    if pick.baseline || comparison.testpoints[testpoint].dimension != Dimension::VOLTAGE {
        return None;
    }
    let drop = |run: &&Run| {
        let before = seen(baseline_of(comparison, run)?, testpoint)?;
        Some(before.mean - seen(run, testpoint)?.mean)
    };
    pick.runs.iter().filter_map(drop).filter(|drop| drop.is_finite()).max_by(f64::total_cmp)
}

fn coils(pick: &Pick<'_>) -> Vec<CoilState> {
    let mut worst: Vec<CoilState> = Vec::new();
    for coil in pick.runs.iter().flat_map(|run| &run.coils) {
        match worst.iter_mut().find(|known| known.part == coil.part) {
            Some(known) if coil.inductance_left < known.inductance_left => *known = coil.clone(),
            Some(_) => {}
            None => worst.push(coil.clone()),
        }
    }
    worst
}

fn miss(comparison: &Comparison, pick: &Pick<'_>) -> Option<(Miss, usize)> {
    let missed = pick.runs.iter().flat_map(|run| {
        run.requirements
            .iter()
            .filter(|one| met(one) == Some(false))
            .map(move |requirement| (*run, requirement))
    });
    let missed: Vec<(&Run, &RequirementResult)> = missed.collect();
    let (run, requirement) = missed.iter().max_by(|(_, a), (_, b)| badness(a).total_cmp(&badness(b)))?;
    let value = requirement.value?;
    let mut texts: Vec<&str> = missed.iter().map(|(_, requirement)| requirement.text.as_str()).collect();
    texts.sort_unstable();
    texts.dedup();
    let miss = Miss {
        text: requirement.text.clone(),
        why: requirement.why.clone(),
        value,
        excess: (value - requirement.limit).abs(),
        above: matches!(requirement.comparison, Comparator::Less | Comparator::LessOrEqual),
        dimension: requirement.dimension,
        condition: condition_label(comparison, run),
    };
    Some((miss, texts.len() - 1))
}

/// How badly a requirement is missed, so that volts and decibels can be ranked: the excess as a share of the limit.
fn badness(requirement: &RequirementResult) -> f64 {
    let excess = requirement.value.map_or(0.0, |value| (value - requirement.limit).abs());
    if requirement.limit == 0.0 { excess } else { excess / requirement.limit.abs() }
}

fn unjudged(pick: &Pick<'_>) -> Vec<String> {
    let mut texts: Vec<String> = Vec::new();
    let requirements = pick.runs.iter().flat_map(|run| &run.requirements);
    for requirement in requirements.filter(|one| one.applies && met(one).is_none()) {
        if !texts.contains(&requirement.text) {
            texts.push(requirement.text.clone());
        }
    }
    texts
}
