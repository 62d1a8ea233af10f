//! A filter run with its tolerances: at every study point, with the same draws for all.

use super::judge::{Depth, Judge};
use super::task::Search;
use super::worst::{Fault, Worst};
use crate::options::{Options, OptionsError};
use crate::sweep::{Drawing, Law, Plan, drawn_harness};
use language::Description;
use language::description::Comparison;
use rayon::prelude::*;

/// Worst values of an option over all draws, and the runs that it took; stops after the first study point where a draw does not do.
/// Where nothing has a tolerance, nothing is run.
pub(super) fn tolerances(
    judge: &Judge<'_>,
    description: &Description,
    option: usize,
    comparisons: &[Comparison],
    search: &Search,
) -> Result<(Worst, usize), OptionsError> {
    let mut worst = Worst::default();
    let mut runs = 0;
    let Some(draws) = std::num::NonZeroUsize::new(search.draws).map(std::num::NonZeroUsize::get) else {
        return Ok((worst, runs));
    };
    let axes = description.axes();
    // One point of each axis at a time: the plan of a point holds its draws alone.
    for point in &judge.order {
        let at = judge.with_option(*point, option);
        let only = axes.iter().zip(&at).map(|(axis, index)| (axis.name.clone(), axis.points[*index].clone()));
        let options = Options { only: only.collect(), ..judge.options.clone() };
        let drawing = Drawing { draws, seed: search.seed, law: Law::Uniform };
        let plan = Plan::new(description, &options, Some(drawing))?;
        if plan.variables().is_empty() {
            break;
        }
        let found: Vec<Worst> = (0..plan.total())
            .into_par_iter()
            .map(|number| {
                let (at, draw) = plan.at(number);
                let Ok((harness, _)) = drawn_harness(description, &plan, &options, &at, draw) else {
                    return Worst { faults: vec![Fault::Failed], excess: f64::INFINITY, ..Worst::default() };
                };
                let mut one = judge.judged(&judge.running(&harness, &at, Depth::Quick), *point);
                // Plugging in does not depend on what the motors do: the first point stands for it.
                if Some(point) == judge.order.first() {
                    one.join(
                        &judge.plugged(&judge.plugging_in(&harness, &at, Depth::Quick), comparisons.len()),
                        comparisons,
                    );
                }
                one
            })
            .collect();
        runs += found.len() * if Some(point) == judge.order.first() { 2 } else { 1 };
        for one in found {
            if worst.requirements.is_empty() {
                worst = one;
            } else {
                worst.join(&one, comparisons);
            }
        }
        if !worst.faults.is_empty() {
            break;
        }
    }
    Ok((worst, runs))
}
