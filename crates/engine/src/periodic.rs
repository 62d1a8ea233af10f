//! The periodic steady state of a network that is not linear: the state that one period maps to itself.
//!
//! The map is not contracting by much where a period is short against the network's memory, so plain repetition would
//! take thousands of periods. Anderson's acceleration (J. ACM 12, 1965; Walker and Ni, SIAM J. Numer. Anal. 49, 2011) finds the
//! fixed point from the last few periods; on a linear map with n states it is done after n + 1 of them. The step it
//! takes is also an estimate of how far the state still is from the fixed point.
//!
//! That estimate is a difference of periods, so it never falls below what the steps of one period leave undecided of a state: rounding,
//! or what Newton's method leaves. Where a state hardly moves this is more than the share of its swing that is asked for, and it is
//! what ends the search.

use crate::failure::Failure;
use nalgebra::{DMatrix, DVector};

/// Periods after which it is given up.
const MOST_PERIODS: usize = 60;
/// Share of the accuracy that may be left between the state and the fixed point.
const SHARE: f64 = 0.1;
/// Periods that are remembered.
const MEMORY: usize = 12;

/// One period from a state: where it leads, what counts as one unit of each state, and how far its steps decide it.
pub(crate) struct Image {
    pub(crate) state: DVector<f64>,
    pub(crate) units: DVector<f64>,
    pub(crate) undecided: DVector<f64>,
}

/// Why no fixed point was found.
pub(crate) enum NotFound {
    /// The period itself could not be walked.
    Failed(Failure),
    /// The state that still moves most, and by how many of its units.
    Moving(usize, f64),
}

/// A periodic state.
pub(crate) struct Found {
    pub(crate) y: DVector<f64>,
    /// Periods walked.
    pub(crate) periods: usize,
    /// Whether the last of them began and ended within what is allowed of that state, so that it can be shown for the steady one.
    pub(crate) walked: bool,
}

/// Finds the state that `period` maps to itself, starting from a guess.
pub(crate) fn fixed_point(
    guess: DVector<f64>,
    accuracy: f64,
    mut period: impl FnMut(&DVector<f64>) -> Result<Image, Failure>,
) -> Result<Found, NotFound> {
    if guess.is_empty() {
        return Ok(Found { y: guess, periods: 0, walked: false });
    }
    let mut history = History::default();
    let mut start = guess;
    let mut worst = (0, 0.0);
    for periods in 1..=MOST_PERIODS {
        let Image { state: image, units, undecided } = period(&start).map_err(NotFound::Failed)?;
        let allowed = units.zip_map(&undecided, |unit, undecided| (SHARE * accuracy * unit).max(undecided));
        let residual = largest(&(&image - &start), &allowed);
        history.push(start.clone(), image);
        let next = history.mixed(&units);
        let step = &next - &start;
        let left = largest(&step, &allowed).1;
        worst = largest(&step, &units);
        start = next;
        let settled = periods > 1 && left.max(residual.1) <= 1.0;
        // The noise of step control may keep the last digits moving; in the end what is asked for is what counts.
        if settled || (periods == MOST_PERIODS && SHARE * left <= 1.0) {
            return Ok(Found { y: start, periods, walked: settled });
        }
    }
    Err(NotFound::Moving(worst.0, worst.1))
}

impl NotFound {
    /// As a failure; `name` tells the part that holds a state.
    pub(crate) fn named(self, name: impl Fn(usize) -> String) -> Failure {
        match self {
            Self::Failed(failure) => failure,
            Self::Moving(state, change) => {
                Failure::NotSettled { periods: MOST_PERIODS, part: name(state), change }
            }
        }
    }
}

/// The largest entry in its units: which, and how large.
fn largest(difference: &DVector<f64>, units: &DVector<f64>) -> (usize, f64) {
    let ratios = difference.iter().zip(units.iter()).map(|(value, unit)| value.abs() / unit);
    ratios.enumerate().fold(
        (0, 0.0),
        |worst, (index, ratio)| {
            if ratio > worst.1 || ratio.is_nan() { (index, ratio) } else { worst }
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
