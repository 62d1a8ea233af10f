//! Corners of many tolerances: where all ends together cannot be run, for each reading the two corners towards which it moves.

use super::draws::draw;
use crate::options::Options;
use crate::point::run_harness;
use crate::result::Run;
use language::Description;
use language::description::Harness;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::panic::AssertUnwindSafe;
use std::sync::{Arc, Mutex, PoisonError};

/// What a pair of corners is aimed at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Aim {
    /// The left side of the requirement with this index.
    Requirement(usize, String),
    /// The reading with this index.
    Reading(usize, String),
}

impl Aim {
    /// As the file has it.
    #[must_use]
    pub fn text(&self) -> &str {
        match self {
            Self::Requirement(_, text) | Self::Reading(_, text) => text,
        }
    }

    fn value(&self, run: &Run) -> Option<f64> {
        match self {
            Self::Requirement(index, _) => run.requirements.get(*index)?.value,
            Self::Reading(index, _) => run.readings.get(*index)?.value,
        }
    }
}

/// Everything that corners can be aimed at: what requirements judge, then the readings that none of them is.
pub(super) fn aims(harness: &Harness) -> Vec<Aim> {
    let requirements = harness.requirements.iter().enumerate();
    let requirements = requirements.map(|(index, each)| Aim::Requirement(index, each.text.clone()));
    let readings = harness.readings.iter().enumerate();
    let judged = |name: &str| {
        let mut texts = harness.requirements.iter().map(|each| each.text.as_str());
        texts.any(|text| text.split_whitespace().next() == Some(name))
    };
    let readings = readings
        .filter(|(_, each)| !judged(&each.name))
        .map(|(index, each)| Aim::Reading(index, each.name.clone()));
    requirements.chain(readings).collect()
}

/// For each aim and variable: 1 where the aim's value rises with the variable, -1 where it falls, 0 where it does not move or one
/// end has no value.
pub(super) type Signs = Vec<Vec<f64>>;

/// The signs at the point that was looked at last: rows come in order, so one is enough.
#[derive(Debug, Default)]
pub(super) struct Known(Mutex<Option<(Vec<usize>, Arc<Signs>)>>);

impl Clone for Known {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl Known {
    /// The signs at a point, from one run at either end of each variable with all others nominal.
    ///
    /// The difference of the ends is what a gradient stands for, taken over the whole tolerance, so that a kink inside does not
    /// mislead it. Where a value's influence turns with another value's, a corner between can be worse: draws look there.
    pub(super) fn at(
        &self,
        description: &Description,
        at: &[usize],
        variables: &[&str],
        aims: &[Aim],
        options: &Options,
    ) -> Arc<Signs> {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, signs)) = known.as_ref().filter(|(point, _)| point == at) {
            return Arc::clone(signs);
        }
        let ends: Vec<[Vec<Option<f64>>; 2]> = variables
            .par_iter()
            .map(|variable| [-1.0, 1.0].map(|end| values(description, at, (variable, end), aims, options)))
            .collect();
        let sign = |low: Option<f64>, high: Option<f64>| match (low, high) {
            (Some(low), Some(high)) if high > low => 1.0,
            (Some(low), Some(high)) if high < low => -1.0,
            _ => 0.0,
        };
        let of_aim = |aim: usize| ends.iter().map(|[low, high]| sign(low[aim], high[aim])).collect();
        let signs: Arc<Signs> = Arc::new((0..aims.len()).map(of_aim).collect());
        *known = Some((at.to_vec(), Arc::clone(&signs)));
        signs
    }
}

/// What every aim comes to with one variable at an end; nothing where that cannot be run.
fn values(
    description: &Description,
    at: &[usize],
    (variable, end): (&str, f64),
    aims: &[Aim],
    options: &Options,
) -> Vec<Option<f64>> {
    let departure = |name: &str| if name == variable { end } else { 0.0 };
    let run = std::panic::catch_unwind(AssertUnwindSafe(|| {
        let (harness, _): (Harness, BTreeMap<String, f64>) = draw(description, at, &departure).ok()?;
        Some(run_harness(&harness, at, options))
    }));
    let run = run.ok().flatten();
    aims.iter().map(|aim| run.as_ref().and_then(|run| aim.value(run))).collect()
}
