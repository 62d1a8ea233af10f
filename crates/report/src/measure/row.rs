//! A value that matters, in words.

use super::{Effect, effects};
use crate::options::{condition_label, picks};
use crate::text;
use crate::words::measure::{MEASURE_STATED, MEASURE_USUAL, how};
use quantity::Dimension;
use study::influence::Influence;
use study::result::{Comparison, RequirementResult, Run};

/// Rows told at most.
const MOST: usize = 6;

/// What is told of a value.
pub(crate) struct Row<'a> {
    /// What matters.
    pub(crate) influence: &'a Influence,
    /// The point at which it was tried.
    pub(crate) run: &'a Run,
    /// The requirement that it moves most.
    pub(crate) requirement: &'a RequirementResult,
    /// What that comes to with the lower and the higher value.
    pub(crate) values: (f64, f64),
    /// Whether one of the two turns the verdict.
    pub(crate) turns: bool,
    /// `tracks, commutation depth`.
    pub(crate) name: String,
    /// `5 %`.
    pub(crate) in_file: String,
    /// `2.5 % to 10 %`.
    pub(crate) range: String,
    /// Where the range comes from.
    pub(crate) whence: &'static str,
    /// `coil_cap (soft, full)`.
    pub(crate) place: String,
    /// `20.1 mV to 33.4 mV`.
    pub(crate) outcome: String,
    /// How to measure it.
    pub(crate) how: &'static str,
}

/// What matters, the gravest first.
pub(crate) fn rows<'a>(comparison: &'a Comparison, influences: &'a [Influence]) -> Vec<Row<'a>> {
    effects(comparison, influences).into_iter().take(MOST).map(|effect| row(comparison, &effect)).collect()
}

fn row<'a>(comparison: &'a Comparison, effect: &Effect<'a>) -> Row<'a> {
    let Effect { influence, run, requirement, values, turns, .. } = *effect;
    let between = |(low, high): (f64, f64), dimension: Dimension| {
        format!("{} to {}", text::value(low, dimension), text::value(high, dimension))
    };
    let label = picks(comparison)
        .into_iter()
        .find(|pick| pick.runs.iter().any(|known| std::ptr::eq(*known, run)))
        .map_or_else(String::new, |pick| pick.label);
    let condition = condition_label(comparison, run);
    Row {
        influence,
        run,
        requirement,
        values,
        turns,
        name: format!("{}, {}", influence.part, influence.property.replace('_', " ")),
        in_file: text::value(influence.value, influence.dimension),
        range: between(influence.ends, influence.dimension),
        whence: if influence.stated { MEASURE_STATED } else { MEASURE_USUAL },
        place: if condition.is_empty() { label } else { format!("{label} ({condition})") },
        outcome: between(values, requirement.dimension),
        how: how(influence.kind, &influence.property),
    }
}
