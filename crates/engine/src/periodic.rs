//! The periodic steady state of a network that is not linear: the state that one period maps to itself.
//!
//! The map is not contracting by much where a period is short against the network's memory, so plain repetition would
//! take thousands of periods. Anderson's acceleration (J. ACM 12, 1965; Walker and Ni, SIAM J. Numer. Anal. 49, 2011) finds the
//! fixed point from the last few periods; on a linear map with n states it is done after n + 1 of them. The step it
//! takes is also an estimate of how far the state still is from the fixed point.

use crate::failure::Failure;
use crate::filter::Filters;
use crate::observe::Ignore;
use crate::probes::Probes;
use crate::snapshot::State;
use crate::stepping::{Sink, Stepper, state_name, states};
use nalgebra::{DMatrix, DVector};

/// Periods after which it is given up.
const MOST_PERIODS: usize = 60;
/// Share of the accuracy that may be left between the state and the fixed point.
const SHARE: f64 = 0.1;
/// Periods that are remembered.
const MEMORY: usize = 12;

/// A periodic state and how it was found.
pub(crate) struct Periodic {
    pub(crate) state: State,
    pub(crate) periods: usize,
    /// The probes' filters as they stand at the start of a period.
    pub(crate) filters: Filters,
}

/// Finds the periodic state, starting from a guess.
pub(crate) fn periodic_state(
    probes: &Probes<'_, '_>,
    stepper: &mut Stepper<'_, '_>,
    guess: &State,
    period: f64,
    accuracy: f64,
) -> Result<Periodic, Failure> {
    let count = guess.currents.len();
    let mut history = History::default();
    let mut start = guess.clone();
    let mut worst = (0.0, 0);
    for periods in 1..=MOST_PERIODS {
        let mut filters = Filters::new(probes.list(), None);
        let from = if filters.memory() > 0.0 { period - filters.memory() } else { f64::INFINITY };
        let sink = Sink { probes, filters: &mut filters, observer: &mut Ignore, from };
        let end = stepper.walk(&start, period, false, Some(sink))?;
        let scale = scales(stepper, &end);
        let x = DVector::from_iterator(scale.len(), states(&start));
        let image = DVector::from_iterator(scale.len(), states(&end));
        let residual = largest(&(&image - &x), &scale);
        history.push(x.clone(), image);
        let next = history.mixed(&scale);
        worst = largest(&(&next - &x), &scale);
        start = State {
            currents: next.as_slice()[..count].to_vec(),
            voltages: next.as_slice()[count..].to_vec(),
        };
        let settled = periods > 1 && worst.0.max(residual.0) <= SHARE * accuracy;
        // The noise of step control may keep the last digits moving; in the end what is asked for is what counts.
        if settled || (periods == MOST_PERIODS && worst.0 <= accuracy) {
            return Ok(Periodic { state: start, periods, filters: filters.periodic(period) });
        }
    }
    let part = state_name(stepper.equations(), worst.1);
    Err(Failure::NotSettled { periods: MOST_PERIODS, part, change: worst.0 })
}

/// What counts as one unit of each state: its swing over the period, or a small part of its value.
fn scales(stepper: &Stepper<'_, '_>, state: &State) -> DVector<f64> {
    let swings = stepper.swings();
    let floors = states(state).map(|value| 1e-5 * value.abs() + 1e-9);
    DVector::from_iterator(swings.len(), swings.iter().zip(floors).map(|(swing, floor)| swing.max(floor)))
}

fn largest(difference: &DVector<f64>, scale: &DVector<f64>) -> (f64, usize) {
    let ratios = difference.iter().zip(scale.iter()).map(|(value, scale)| value.abs() / scale);
    ratios.enumerate().fold(
        (0.0, 0),
        |worst, (index, ratio)| {
            if ratio > worst.0 || ratio.is_nan() { (ratio, index) } else { worst }
        },
    )
}

/// States and what a period made of them.
#[derive(Default)]
struct History {
    pairs: Vec<(DVector<f64>, DVector<f64>)>,
}

impl History {
    fn push(&mut self, x: DVector<f64>, image: DVector<f64>) {
        self.pairs.push((x, image));
        if self.pairs.len() > MEMORY {
            self.pairs.remove(0);
        }
    }

    /// The mixture of images whose residuals nearly cancel, in the norm of scaled states.
    fn mixed(&self, scale: &DVector<f64>) -> DVector<f64> {
        let Some(((x, image), earlier)) = self.pairs.split_last() else { return DVector::zeros(0) };
        if earlier.is_empty() {
            return image.clone();
        }
        let residual = (image - x).component_div(scale);
        let columns = earlier.iter().map(|(x, image)| (image - x).component_div(scale) - &residual);
        let matrix = DMatrix::from_columns(&columns.collect::<Vec<_>>());
        // Residuals of nearly converged periods are nearly dependent; what is noise there is cut off.
        let cutoff = 1e-10 * matrix.norm();
        let Ok(weights) = matrix.svd(true, true).solve(&-residual, cutoff) else { return image.clone() };
        let mut mixed = image.clone();
        for ((_, earlier), weight) in earlier.iter().zip(weights.iter()) {
            mixed += (earlier - image) * *weight;
        }
        if mixed.iter().all(|value| value.is_finite()) { mixed } else { image.clone() }
    }
}
