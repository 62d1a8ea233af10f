//! What was moved and how far, and what was not, lest silence be taken for safety.

use super::row::factor;
use super::rows;
use crate::options::{Outcome, picks};
use crate::text;
use crate::words::measure::{MEASURE_STATED, NOT_MOVED, NOTHING_HELPS, NOTHING_TURNS, left_assumed};
use study::influence::Influence;
use study::result::Comparison;

/// What stands over the rows; nothing where a value turns a verdict, as the rows tell.
pub(crate) fn opening(comparison: &Comparison, influences: &[Influence]) -> Option<&'static str> {
    let holds = picks(comparison).iter().any(|pick| pick.outcome() == Outcome::Meets);
    let turns = rows(comparison, influences).iter().any(|row| row.turns);
    (!turns).then_some(if holds { NOTHING_TURNS } else { NOTHING_HELPS })
}

/// Sentences for below the rows.
pub(crate) fn closing(comparison: &Comparison, influences: &[Influence]) -> Vec<String> {
    let mut told = vec![moved(influences), NOT_MOVED.to_owned()];
    let varied = |assumption: &str| {
        influences.iter().filter(|one| one.assumed).any(|one| {
            let named = format!("{}: {} ", one.part, one.property.replace('_', " "));
            assumption.starts_with(&named)
        })
    };
    let left: Vec<&str> =
        comparison.assumptions.iter().map(String::as_str).filter(|text| !varied(text)).collect();
    if !left.is_empty() {
        told.push(left_assumed(&left));
    }
    told
}

/// `Moved, one at a time: within the tolerance of the file bulk capacitance; by a factor of 1.2 either way store capacitance; …`
fn moved(influences: &[Influence]) -> String {
    let mut groups: Vec<(Option<f64>, Vec<String>)> = Vec::new();
    for influence in influences {
        let by = (!influence.stated).then(|| factor(influence));
        let name = format!("{} {}", influence.part, influence.property.replace('_', " "));
        match groups.iter_mut().find(|(known, _)| *known == by) {
            Some((_, names)) if names.contains(&name) => {}
            Some((_, names)) => names.push(name),
            None => groups.push((by, vec![name])),
        }
    }
    groups.sort_by(|one, other| one.0.partial_cmp(&other.0).unwrap_or(std::cmp::Ordering::Equal));
    let words: Vec<String> = groups
        .iter()
        .map(|(by, names)| match by {
            None => format!("within the {MEASURE_STATED} {}", text::list(names)),
            Some(factor) => format!("by a factor of {factor} either way {}", text::list(names)),
        })
        .collect();
    format!("Moved, one at a time: {}.", words.join("; "))
}
