//! A filter run with its tolerances: at every study point, with the same draws for all.

use super::judge::{Depth, Judge};
use super::task::Search;
use super::worst::{Fault, Worst};
use crate::options::{Options, OptionsError};
use crate::sweep::{Drawing, Law, Plan, drawn_harness};
use language::Description;
use language::description::Comparison;
use rayon::prelude::*;

/// A draw at a study point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Draw {
    point: usize,
    number: usize,
}

/// The draws of a filter, and how many filters failed at each: what fails most comes first.
pub(super) struct Draws(Vec<(Draw, usize)>);

/// Draws that are run before anything is looked at.
const AT_ONCE: usize = 4;

impl Draws {
    /// The quick points first.
    pub(super) fn new(judge: &Judge<'_>, search: &Search) -> Self {
        let of = |point: &usize| {
            let point = *point;
            (0..search.draws).map(move |number| (Draw { point, number }, 0))
        };
        Self(judge.order.iter().flat_map(of).collect())
    }

    /// Worst values of an option over all draws, and the runs that it took; stops where a draw does not do. Where nothing has a tolerance,
    /// nothing is run.
    pub(super) fn run(
        &mut self,
        judge: &Judge<'_>,
        description: &Description,
        option: usize,
        comparisons: &[Comparison],
        search: &Search,
    ) -> Result<(Worst, usize), OptionsError> {
        let mut worst = Worst::default();
        let mut runs = 0;
        if search.draws == 0 {
            return Ok((worst, runs));
        }
        let mut plans: Vec<Option<Plan>> = judge.points.iter().map(|_| None).collect();
        for point in &judge.order {
            plans[*point] = Some(plan(judge, description, option, *point, search)?);
        }
        let varies = |plan: &Option<Plan>| plan.as_ref().is_some_and(|plan| !plan.variables().is_empty());
        if !plans.iter().any(varies) {
            return Ok((worst, runs));
        }
        let first = judge.order.first().copied();
        for start in (0..self.0.len()).step_by(AT_ONCE) {
            let end = (start + AT_ONCE).min(self.0.len());
            let found: Vec<Worst> = self.0[start..end]
                .par_iter()
                .map(|(Draw { point, number }, _)| {
                    let failed = || {
                        let mut worst = Worst::new(comparisons.len());
                        worst.fault(&Fault::Failed, f64::INFINITY);
                        worst
                    };
                    let Some(plan) = &plans[*point] else { return failed() };
                    let (at, draw) = plan.at(*number);
                    let Ok((harness, _)) = drawn_harness(description, plan, &judge.options, &at, draw) else {
                        return failed();
                    };
                    let mut one = judge.judged(&judge.running(&harness, &at, Depth::Quick), *point);
                    // Plugging in does not depend on what the motors do: the first point stands for it.
                    if Some(*point) == first && one.faults.is_empty() {
                        let plugged = judge.plugging_in(&harness, &at, Depth::Quick);
                        one.join(&judge.plugged(&plugged, comparisons.len()), comparisons);
                    }
                    one
                })
                .collect();
            let plugged = self.0[start..end].iter().filter(|(draw, _)| Some(draw.point) == first).count();
            runs += found.len() + plugged;
            for (one, (_, failed)) in found.iter().zip(&mut self.0[start..end]) {
                *failed += usize::from(!one.faults.is_empty());
                if worst.requirements.is_empty() {
                    worst.clone_from(one);
                } else {
                    worst.join(one, comparisons);
                }
            }
            if !worst.faults.is_empty() {
                break;
            }
        }
        self.0.sort_by_key(|(_, failed)| std::cmp::Reverse(*failed));
        Ok((worst, runs))
    }
}

/// The draws at one point.
fn plan(
    judge: &Judge<'_>,
    description: &Description,
    option: usize,
    point: usize,
    search: &Search,
) -> Result<Plan, OptionsError> {
    let at = judge.with_option(point, option);
    let axes = description.axes();
    let only = axes.iter().zip(&at).map(|(axis, index)| (axis.name.clone(), axis.points[*index].clone()));
    let options = Options { only: only.collect(), ..judge.options.clone() };
    let drawing = Drawing { draws: search.draws, seed: search.seed, law: Law::Uniform };
    Plan::new(description, &options, Some(drawing))
}
