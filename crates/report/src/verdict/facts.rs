//! The numbers behind a verdict, each taken at its worst condition.

use crate::options::{Outcome, Pick, baseline_of, condition_label, met};
use crate::text;
use language::description::{Comparison as Comparator, Start};
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
    /// How many of its runs failed.
    pub failed: usize,
    /// What is compared at the test point, at its worst; `None` without a test point that was seen.
    pub level: Option<Level>,
    /// Where the pick makes it worse than the baseline does, by most; `None` where it does so nowhere.
    pub worse: Option<Worse>,
    /// What it costs in mean voltage against the baseline, greatest over the conditions, in volt (negative: a gain).
    pub cost: Option<f64>,
    /// Each coil at the condition that leaves it least inductance.
    pub coils: Vec<CoilState>,
    /// The requirement that is missed by most, with the number of other requirements missed.
    pub miss: Option<(Miss, usize)>,
    /// Requirements with no value somewhere, as written, each once.
    pub unjudged: Vec<String>,
}

/// What options are compared by at a test point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Peak-to-peak.
    Noise,
    /// Greatest magnitude: what a run from rest is judged by, whose peak-to-peak is mostly the rise itself.
    Peak,
}

/// The quantity at the first test point that a requirement reads: the pick's worst against the baseline's worst, each
/// under its own condition.
#[derive(Clone, Debug)]
pub struct Level {
    /// Name of the test point.
    pub testpoint: String,
    /// What is compared.
    pub quantity: Quantity,
    /// Dimension of what is seen there.
    pub dimension: Dimension,
    /// The pick's worst.
    pub here: Worst,
    /// The baseline's worst among the same conditions; `None` for the baseline itself.
    pub before: Option<Worst>,
}

/// A greatest value over the conditions.
#[derive(Clone, Debug)]
pub struct Worst {
    /// In SI units.
    pub value: f64,
    /// The condition: `soft, full`; empty without conditions.
    pub condition: String,
}

/// A condition under which a pick is worse than the baseline.
#[derive(Clone, Debug)]
pub struct Worse {
    /// The condition: `soft, full`.
    pub condition: String,
    /// The baseline there, in SI units.
    pub before: f64,
    /// The pick there, in SI units.
    pub here: f64,
    /// Other conditions under which it is worse by more than [`WORTH_TELLING`].
    pub others: Vec<String>,
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

/// Decibels by which a pick must be worse than the baseline under a condition to be told: 12 %, about what a builder can
/// tell apart on an oscilloscope's screen.
pub const WORTH_TELLING: f64 = 1.0;
/// What stays below this share of the baseline's worst (80 dB under it) harms nobody, however it compares there.
const NEGLIGIBLE: f64 = 1e-4;

impl Level {
    /// 20 log10(before / here): positive where the pick is quieter; `None` without a baseline or where one is zero.
    #[must_use]
    pub fn reduction(&self) -> Option<f64> {
        reduction(self.before.as_ref()?.value, self.here.value)
    }
}

/// 20 log10(before / here) in decibel; `None` where one is zero.
#[must_use]
pub fn reduction(before: f64, here: f64) -> Option<f64> {
    let level = 20.0 * (before / here).log10();
    level.is_finite().then_some(level)
}

/// Collects what is known about `pick`.
#[must_use]
pub fn facts(comparison: &Comparison, pick: &Pick<'_>) -> Facts {
    let testpoint = judged_testpoint(comparison);
    Facts {
        label: pick.label.clone(),
        baseline: pick.baseline,
        outcome: pick.outcome(),
        conditions: pick.runs.len(),
        requirements: pick.runs.iter().map(|run| run.requirements.len()).max().unwrap_or(0),
        failed: pick.runs.iter().filter(|run| run.error.is_some()).count(),
        level: testpoint.and_then(|testpoint| level(comparison, pick, testpoint)),
        worse: testpoint.and_then(|testpoint| worse(comparison, pick, testpoint)),
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

/// What the comparison's options are compared by.
fn quantity(comparison: &Comparison) -> Quantity {
    if comparison.start == Some(Start::Rest) { Quantity::Peak } else { Quantity::Noise }
}

/// The compared quantity of a run at a test point.
fn amount(comparison: &Comparison, run: &Run, testpoint: usize) -> Option<f64> {
    match quantity(comparison) {
        Quantity::Noise => peak_to_peak(run, testpoint),
        Quantity::Peak => {
            let seen = seen(run, testpoint)?;
            Some(seen.maximum.abs().max(seen.minimum.abs())).filter(|peak| peak.is_finite())
        }
    }
}

/// The pick's amount and the baseline's under the same condition, for each run that has both.
fn pairs<'a>(
    comparison: &'a Comparison,
    pick: &'a Pick<'_>,
    testpoint: usize,
) -> impl Iterator<Item = (&'a Run, f64, f64)> {
    pick.runs.iter().filter_map(move |run| {
        let before = amount(comparison, baseline_of(comparison, run)?, testpoint)?;
        Some((*run, before, amount(comparison, run, testpoint)?))
    })
}

fn level(comparison: &Comparison, pick: &Pick<'_>, testpoint: usize) -> Option<Level> {
    let worst = |amounts: &mut dyn Iterator<Item = (&Run, f64)>| {
        let (run, value) = amounts.max_by(|(_, a), (_, b)| a.total_cmp(b))?;
        Some(Worst { value, condition: condition_label(comparison, run) })
    };
    let here =
        worst(&mut pick.runs.iter().filter_map(|run| Some((*run, amount(comparison, run, testpoint)?))))?;
    let before = if pick.baseline {
        None
    } else {
        worst(&mut pick.runs.iter().filter_map(|run| {
            let before = baseline_of(comparison, run)?;
            Some((before, amount(comparison, before, testpoint)?))
        }))
    };
    let info = &comparison.testpoints[testpoint];
    Some(Level {
        testpoint: info.name.clone(),
        quantity: quantity(comparison),
        dimension: info.dimension,
        here,
        before,
    })
}

fn worse(comparison: &Comparison, pick: &Pick<'_>, testpoint: usize) -> Option<Worse> {
    // Without conditions the comparison of the worst already says it.
    if pick.baseline || pick.runs.len() < 2 {
        return None;
    }
    let worst_before = pairs(comparison, pick, testpoint).map(|(_, before, _)| before).fold(0.0, f64::max);
    let increase = |before: f64, here: f64| reduction(before, here).map_or(0.0, |level| -level);
    let mut found: Vec<(&Run, f64, f64)> = pairs(comparison, pick, testpoint)
        .filter(|(_, before, here)| {
            increase(*before, *here) > WORTH_TELLING && *here > NEGLIGIBLE * worst_before
        })
        .collect();
    let ratio = |(_, before, here): &(&Run, f64, f64)| here / before;
    let at = (0..found.len()).max_by(|a, b| ratio(&found[*a]).total_cmp(&ratio(&found[*b])))?;
    let (run, before, here) = found.remove(at);
    let others = found.iter().map(|(run, ..)| condition_label(comparison, run)).collect();
    Some(Worse { condition: condition_label(comparison, run), before, here, others })
}

fn cost(comparison: &Comparison, pick: &Pick<'_>, testpoint: usize) -> Option<f64> {
    // The mean of a run from rest is mostly the rise.
    let settled = comparison.start != Some(Start::Rest);
    if pick.baseline || !settled || comparison.testpoints[testpoint].dimension != Dimension::VOLTAGE {
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
