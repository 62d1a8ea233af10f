//! A value that matters, in words.

use super::{Effect, effects};
use crate::options::{condition_label, met, picks};
use crate::text;
use crate::words::measure::{MEASURE_STATED, how};
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
    /// Whether the requirement holds with the value as it is.
    pub(crate) holds: bool,
    /// `5 % in the file`, `120 nH assumed`.
    pub(crate) in_file: String,
    /// `2.5 % to 10 %`.
    pub(crate) range: String,
    /// Where the range comes from.
    pub(crate) whence: String,
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
        holds: met(requirement) == Some(true),
        in_file: format!(
            "{} {}",
            text::value(influence.value, influence.dimension),
            if influence.assumed { "assumed" } else { "in the file" }
        ),
        range: between(influence.ends, influence.dimension),
        whence: whence(influence),
        place: if condition.is_empty() { label } else { format!("{label} ({condition})") },
        outcome: between(values, requirement.dimension),
        how: how(influence.kind, &influence.property),
    }
}

/// Where the ends come from, in words.
fn whence(influence: &Influence) -> String {
    if influence.stated {
        MEASURE_STATED.to_owned()
    } else {
        format!("a factor of {}, as such values are usually off", factor(influence))
    }
}

/// How far a value without a tolerance is moved either way: `1.5`.
pub(super) fn factor(influence: &Influence) -> f64 {
    // Two decimals undo the division.
    (100.0 * influence.ends.1 / influence.value).round() / 100.0
}
