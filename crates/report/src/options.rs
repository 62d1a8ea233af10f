//! The runs of a comparison sorted by what the builder picks, and which picks hold under every condition.

use language::description::AxisKind;
use study::result::{Comparison, RequirementResult, Road, Run, Work};

/// One pick of the builder (one option of every choice) with its runs under the conditions.
#[derive(Clone, Debug)]
pub struct Pick<'a> {
    /// Names of the options, joined by ` + ` where there are several choices.
    pub label: String,
    /// Whether others are compared with it.
    pub baseline: bool,
    /// Its runs, in the order of the comparison.
    pub runs: Vec<&'a Run>,
}

/// What became of a pick's requirements under all conditions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Every requirement is met under every condition.
    Meets,
    /// At least one is not met.
    Fails,
    /// None is known to fail, but at least one has no value.
    Unknown,
}

/// Label of the only pick where the file offers no choice.
pub const AS_DRAWN: &str = "as drawn";

/// The picks in the file's order.
#[must_use]
pub fn picks(comparison: &Comparison) -> Vec<Pick<'_>> {
    let mut picks: Vec<(Vec<usize>, Pick<'_>)> = Vec::new();
    for run in &comparison.runs {
        let key = indices(comparison, run);
        if let Some((_, pick)) = picks.iter_mut().find(|(known, _)| *known == key) {
            pick.runs.push(run);
        } else {
            let label = match names(comparison, run, false) {
                names if names.is_empty() => AS_DRAWN.to_owned(),
                names => names.join(" + "),
            };
            picks.push((key, Pick { label, baseline: is_baseline(comparison, run), runs: vec![run] }));
        }
    }
    picks.into_iter().map(|(_, pick)| pick).collect()
}

/// The names of a run's cases for a sentence, swept values with their axis: `soft, esr 80 mohm`; empty where there are no
/// conditions.
#[must_use]
pub fn condition_label(comparison: &Comparison, run: &Run) -> String {
    let conditions = comparison.axes.iter().filter(|axis| axis.kind.takes_worst_case());
    let words = conditions.zip(names(comparison, run, true)).map(|(axis, name)| match axis.kind {
        AxisKind::Sweep => format!("{} {name}", axis.name),
        AxisKind::Choice | AxisKind::Condition => name,
    });
    words.collect::<Vec<_>>().join(", ")
}

/// The same for below a heading that names the axes: `soft, 80 mohm`.
#[must_use]
pub fn condition_names(comparison: &Comparison, run: &Run) -> String {
    names(comparison, run, true).join(", ")
}

/// A run's cases with their axes: `battery_state soft, throttle full`; empty where there are no conditions.
#[must_use]
pub fn condition_in_words(comparison: &Comparison, run: &Run) -> String {
    let conditions = comparison.axes.iter().filter(|axis| axis.kind.takes_worst_case());
    let names = names(comparison, run, true);
    let words: Vec<String> =
        conditions.zip(names).map(|(axis, name)| format!("{} {name}", axis.name)).collect();
    words.join(", ")
}

/// The names of the axes of conditions: `battery_state, throttle`.
#[must_use]
pub fn condition_axes(comparison: &Comparison) -> String {
    let axes: Vec<&str> = comparison
        .axes
        .iter()
        .filter(|axis| axis.kind.takes_worst_case())
        .map(|axis| axis.name.as_str())
        .collect();
    axes.join(", ")
}

/// The run that `run` is compared with: the baseline option under the same conditions and the same other choices.
#[must_use]
pub fn baseline_of<'a>(comparison: &'a Comparison, run: &Run) -> Option<&'a Run> {
    let (axis, option) = baseline_axis(comparison)?;
    let mut at = run.at.clone();
    *at.get_mut(axis)? = option;
    comparison.runs.iter().find(|candidate| candidate.at == at)
}

/// Whether `run` belongs to the baseline option.
#[must_use]
pub fn is_baseline(comparison: &Comparison, run: &Run) -> bool {
    baseline_axis(comparison).is_some_and(|(axis, option)| run.at.get(axis) == Some(&option))
}

/// Whether a requirement is met; nothing where it has no verdict.
#[must_use]
pub fn met(requirement: &RequirementResult) -> Option<bool> {
    requirement.value.filter(|value| value.is_finite()).and(requirement.met)
}

impl Pick<'_> {
    /// What became of the requirements under all conditions.
    #[must_use]
    pub fn outcome(&self) -> Outcome {
        let failed_run = self.runs.iter().any(|run| run.error.is_some());
        let judged =
            self.runs.iter().flat_map(|run| &run.requirements).filter(|requirement| requirement.applies);
        let verdicts: Vec<Option<bool>> = judged.map(met).collect();
        // Where nothing that is required applies, nothing was shown to be met.
        let required = self.runs.iter().any(|run| !run.requirements.is_empty());
        if verdicts.is_empty() && required {
            return Outcome::Unknown;
        }
        if verdicts.contains(&Some(false)) {
            Outcome::Fails
        } else if failed_run || verdicts.contains(&None) {
            Outcome::Unknown
        } else {
            Outcome::Meets
        }
    }
}

fn baseline_axis(comparison: &Comparison) -> Option<(usize, usize)> {
    comparison.axes.iter().enumerate().find_map(|(at, axis)| axis.baseline.map(|option| (at, option)))
}

/// The options of a run's choices.
fn indices(comparison: &Comparison, run: &Run) -> Vec<usize> {
    run.at
        .iter()
        .zip(&comparison.axes)
        .filter(|(_, axis)| axis.kind == AxisKind::Choice)
        .map(|(index, _)| *index)
        .collect()
}

/// Names of a run's options, or of its conditions: cases and swept values.
fn names(comparison: &Comparison, run: &Run, conditions: bool) -> Vec<String> {
    run.at
        .iter()
        .zip(&comparison.axes)
        .filter(|(_, axis)| axis.kind.takes_worst_case() == conditions)
        .map(|(index, axis)| axis.points.get(*index).cloned().unwrap_or_else(|| index.to_string()))
        .collect()
}

/// The road's name.
pub(crate) fn road(road: Road) -> &'static str {
    match road {
        Road::Exact => "exact",
        Road::Semilinear => "semilinear",
        Road::Stepping => "stepping",
    }
}

/// What all runs took together.
pub(crate) fn all_work(comparison: &Comparison) -> Work {
    let mut all = Work::default();
    comparison.runs.iter().flat_map(|run| &run.work).for_each(|one| all += one.work);
    all
}

/// A study point in words: `coil, soft`; empty where there are no axes.
pub(crate) fn point(comparison: &Comparison, at: &[usize]) -> String {
    let names = comparison.axes.iter().zip(at).filter_map(|(axis, index)| axis.points.get(*index));
    names.cloned().collect::<Vec<_>>().join(", ")
}
