//! What one point of a sweep gives.

use super::draws;
use super::plan::Plan;
use crate::options::Options;
use crate::point::{OWN_FAULT, failed, run_harness};
use crate::result::Run;
use language::Description;
use language::description::Harness;
use std::collections::BTreeMap;
use std::panic::AssertUnwindSafe;

/// One point with what was drawn there.
#[derive(Clone, Debug)]
pub struct Row {
    /// Its number in the plan, from 0.
    pub number: usize,
    /// Which draw it is, from 0.
    pub draw: usize,
    /// Values drawn, one for each variable of the plan, in SI units; `None` where this point does not have it.
    pub drawn: Vec<Option<f64>>,
    /// Readings, verdicts and warnings; without pictures.
    pub run: Run,
}

pub(super) fn run(description: &Description, plan: &Plan, options: &Options, number: usize) -> Row {
    let (at, draw) = plan.at(number);
    let nothing = || vec![None; plan.variables().len()];
    let found = std::panic::catch_unwind(AssertUnwindSafe(|| {
        let (harness, drawn) = match harness(description, plan, options, &at, draw) {
            Ok(found) => found,
            Err(reason) => return (failed(&description.at(&at), &at, reason), nothing()),
        };
        let drawn = plan.variables().iter().map(|each| drawn.get(&each.name).copied()).collect();
        (run_harness(&harness, &at, options), drawn)
    }));
    let (run, drawn) =
        found.unwrap_or_else(|_| (failed(&description.at(&at), &at, OWN_FAULT.to_owned()), nothing()));
    Row { number, draw, drawn, run }
}

/// The harness of a draw at a point, with the values drawn, by name.
pub(crate) fn harness(
    description: &Description,
    plan: &Plan,
    options: &Options,
    at: &[usize],
    draw: usize,
) -> Result<(Harness, BTreeMap<String, f64>), String> {
    if !plan.aims().is_empty() {
        let signs = plan.signs(description, options, at);
        let upwards = if draw.is_multiple_of(2) { 1.0 } else { -1.0 };
        let of_aim = &signs[draw / 2];
        return draws::draw(description, at, &|name| {
            plan.number(name).map_or(0.0, |number| upwards * of_aim[number])
        });
    }
    let departure = |name: &str| match plan.drawing() {
        Some(drawing) => plan.departure(drawing, draw, name),
        None => 0.0,
    };
    if plan.drawing().is_some() {
        return draws::draw(description, at, &departure);
    }
    let harness = description.check_at(at).map_err(|mistakes| {
        mistakes.into_iter().map(|mistake| mistake.message).collect::<Vec<_>>().join("; ")
    })?;
    Ok((harness, BTreeMap::new()))
}
