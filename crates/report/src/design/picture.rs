//! Winners by their mass and each of what they are compared by: what less of one costs of the other.

use crate::svg::{self, Pareto, ParetoPoint, Picture};
use language::description::Comparison;
use quantity::Dimension;
use study::design::{Design, Standing, Winner};

/// Values that differ by less than this fraction count as one.
const ALIKE: f64 = 5e-3;

/// A picture for each thing that winners are compared by; none where there are fewer than two filters to compare.
#[must_use]
pub fn pictures(design: &Design) -> Vec<Picture> {
    if design.winners.len() < 2 {
        return Vec::new();
    }
    (0..design.objectives.len()).map(|index| svg::pareto(&chart(design, index))).collect()
}

fn chart(design: &Design, index: usize) -> Pareto {
    let objective = &design.objectives[index];
    let value = |standing: &Standing| standing.values.get(index).copied().flatten().unwrap_or(f64::NAN);
    let at = |winner: &Winner| (winner.mass.known, value(&winner.nominal));
    // What prints alike is no better.
    let beats = |one: (f64, f64), other: (f64, f64)| {
        let no_worse = one.0 <= other.0 && one.1 <= other.1 * (1.0 + ALIKE);
        no_worse && (one.0 < other.0 || one.1 < other.1 * (1.0 - ALIKE))
    };
    let point = |winner: &Winner| ParetoPoint {
        label: winner.name.clone(),
        at: at(winner),
        meets: true,
        front: !design.winners.iter().any(|other| beats(at(other), at(winner))),
    };
    let limit = design.requirements.iter().find(|one| {
        one.text.split_whitespace().next() == Some(&objective.name)
            && matches!(one.comparison, Comparison::Less | Comparison::LessOrEqual)
    });
    let letters = objective.name.split(|one: char| !one.is_ascii_alphanumeric());
    Pareto {
        name: letters.filter(|word| !word.is_empty()).collect::<Vec<_>>().join("_"),
        title: format!("{}: {} against mass", design.harness, objective.name),
        across: ("mass".to_owned(), Dimension::MASS),
        upwards: (objective.name.clone(), objective.dimension),
        limit: limit.map(|limit| (limit.text.clone(), limit.limit)),
        points: design.winners.iter().map(point).collect(),
    }
}
