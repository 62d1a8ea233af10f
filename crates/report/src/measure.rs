//! What to measure next: which points to try other values at, which of the values tried matter, and how that is told, by the page and
//! beside the sensitivities alike.

mod csv;
mod json;
mod moved;
mod row;
mod text;

pub use csv::csv;
pub use text::text;

pub(crate) use json::value;
pub(crate) use moved::{closing, opening};
pub(crate) use row::{Row, rows};

use crate::options::{Outcome, Pick, met, picks};
use crate::verdict::facts::{Facts, facts};
use language::description::Comparison as Comparator;
use study::influence::Influence;
use study::result::{Comparison, RequirementResult, Run};

/// Options looked at at most: a builder decides between few.
const MOST_PICKS: usize = 2;
/// A value that uses up less than this share of the room to the limit does not matter.
const MATTERS: f64 = 0.1;

/// The points at which a doubtful value matters most: the worst one of each option that holds, the quietest first; of the one
/// that comes closest where none does. Indices on each axis.
#[must_use]
pub fn doubtful_points(comparison: &Comparison) -> Vec<Vec<usize>> {
    let all = picks(comparison);
    let mut good: Vec<(&Pick<'_>, Facts)> = all
        .iter()
        .filter(|pick| pick.outcome() == Outcome::Meets)
        .map(|pick| (pick, facts(comparison, pick)))
        .collect();
    let level = |facts: &Facts| facts.level.as_ref().map_or(f64::INFINITY, |level| level.here.value);
    good.sort_by(|(_, one), (_, other)| level(one).total_cmp(&level(other)));
    let closest = || all.iter().max_by(|one, other| least_room(one).total_cmp(&least_room(other)));
    let chosen: Vec<&Pick<'_>> = if good.is_empty() {
        closest().into_iter().collect()
    } else {
        good.into_iter().map(|(pick, _)| pick).take(MOST_PICKS).collect()
    };
    let tight = |pick: &&Pick<'_>| {
        let run = pick.runs.iter().filter(|run| run.requirements.iter().any(|one| room(one).is_some()));
        run.min_by(|one, other| room_of(one).total_cmp(&room_of(other))).map(|run| run.at.clone())
    };
    chosen.iter().filter_map(tight).collect()
}

/// What a value does to a requirement of a point.
#[derive(Clone, Debug)]
struct Effect<'a> {
    influence: &'a Influence,
    run: &'a Run,
    requirement: &'a RequirementResult,
    /// What the requirement comes to with the lower and the higher value.
    values: (f64, f64),
    /// The share of the room to the limit that is used up; 1 and more turns the verdict.
    share: f64,
    /// Whether one of the two turns the verdict.
    turns: bool,
}

/// What matters, the gravest first: of each part's property the gravest of its effects alone.
fn effects<'a>(comparison: &'a Comparison, influences: &'a [Influence]) -> Vec<Effect<'a>> {
    let mut found: Vec<Effect<'a>> = Vec::new();
    for influence in influences {
        let Some(run) = comparison.runs.iter().find(|run| run.at == influence.at) else { continue };
        for (requirement, values) in run.requirements.iter().zip(&influence.requirements) {
            let (Some(low), Some(high), Some(value)) = (values.0, values.1, requirement.value) else {
                continue;
            };
            let side = |value: f64| holds(requirement.comparison, value, requirement.limit);
            let room = (requirement.limit - value).abs();
            let away = |moved: f64| {
                // Only what goes towards the limit matters, or away from it where it is missed.
                if side(value) == (toward(requirement.comparison) * (moved - value) > 0.0) {
                    (moved - value).abs()
                } else {
                    0.0
                }
            };
            let share = away(low).max(away(high)) / room;
            let turns = met(requirement).is_some_and(|met| side(low) != met || side(high) != met);
            if turns || share >= MATTERS {
                found.push(Effect { influence, run, requirement, values: (low, high), share, turns });
            }
        }
    }
    found.sort_by(|one, other| {
        (other.turns, other.share).partial_cmp(&(one.turns, one.share)).unwrap_or(std::cmp::Ordering::Equal)
    });
    let mut told: Vec<Effect<'a>> = Vec::new();
    for effect in found {
        let same = |known: &Effect<'_>| {
            known.influence.part == effect.influence.part
                && known.influence.property == effect.influence.property
        };
        if !told.iter().any(same) {
            told.push(effect);
        }
    }
    told
}

/// 1 where growing values come nearer to the limit that they must stay below, -1 where falling ones do.
fn toward(comparison: Comparator) -> f64 {
    match comparison {
        Comparator::Less | Comparator::LessOrEqual => 1.0,
        Comparator::Greater | Comparator::GreaterOrEqual => -1.0,
    }
}

fn holds(comparison: Comparator, value: f64, limit: f64) -> bool {
    comparison.holds(value, limit)
}

/// Room to the limit as a share of the limit, negative where it is missed.
fn room(requirement: &RequirementResult) -> Option<f64> {
    let value = requirement.value.filter(|value| value.is_finite() && requirement.applies)?;
    let room = toward(requirement.comparison) * (requirement.limit - value);
    Some(if requirement.limit == 0.0 { room } else { room / requirement.limit.abs() })
}

fn room_of(run: &Run) -> f64 {
    run.requirements.iter().filter_map(room).fold(f64::INFINITY, f64::min)
}

fn least_room(pick: &Pick<'_>) -> f64 {
    pick.runs.iter().map(|run| room_of(run)).fold(f64::INFINITY, f64::min)
}
