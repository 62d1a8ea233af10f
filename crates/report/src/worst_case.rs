//! A requirement over all conditions of a pick: its worst value, where that is, and whether it holds.

use crate::options::{Pick, condition_label, met};
use crate::text;
use crate::verdict::facts::scale;
use language::description::Comparison as Comparator;
use quantity::Dimension;
use study::result::{Comparison, RequirementResult, Run};

/// What a requirement comes to under the condition that is worst for it.
#[derive(Clone, Debug)]
pub(crate) struct WorstCase {
    /// The value nearest to the wrong side of the limit, in SI units; `None` where no condition has one.
    pub(crate) value: Option<f64>,
    /// Its dimension.
    pub(crate) dimension: Dimension,
    /// Whether it holds under every condition; `None` where a missing value leaves that open.
    pub(crate) met: Option<bool>,
    /// The condition of the value: `soft, full`; empty without conditions.
    pub(crate) condition: String,
}

/// The worst case of the requirement with this number; `None` where it speaks of a part that the pick does not have.
///
/// A missing value outranks a met one, because nobody knows that it holds.
pub(crate) fn worst_case(comparison: &Comparison, pick: &Pick<'_>, requirement: usize) -> Option<WorstCase> {
    let found: Vec<(&Run, &RequirementResult)> =
        pick.runs.iter().filter_map(|run| Some((*run, run.requirements.get(requirement)?))).collect();
    if !found.is_empty() && found.iter().all(|(_, one)| !one.applies) {
        return None;
    }
    let valued =
        found.iter().filter_map(|(run, one)| met(one).and(one.value).map(|value| (*run, *one, value)));
    let worst = valued.max_by(|(_, one, a), (_, _, b)| match one.comparison {
        Comparator::Less | Comparator::LessOrEqual => a.total_cmp(b),
        Comparator::Greater | Comparator::GreaterOrEqual => b.total_cmp(a),
    });
    let missing =
        found.len() < pick.runs.len() || found.iter().any(|(_, one)| one.applies && met(one).is_none());
    let dimension = found.first().map_or(Dimension::NONE, |(_, one)| one.dimension);
    Some(match worst {
        Some((run, one, value)) => {
            let scales = pick.runs.iter().map(|run| scale(comparison, run, dimension));
            WorstCase {
                value: Some(text::without_rounding(value, scales.fold(0.0, f64::max))),
                dimension,
                met: met(one).filter(|met| !(missing && *met)),
                condition: condition_label(comparison, run),
            }
        }
        None => WorstCase { value: None, dimension, met: None, condition: String::new() },
    })
}
