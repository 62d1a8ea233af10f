//! Which of several judged filters no other beats in everything.

use super::amount::Amount;
use super::candidate::Candidate;

/// What filters are compared by; less is better in each.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Merits {
    /// In steps.
    pub(super) mass: Amount,
    /// In steps.
    pub(super) cost: Option<Amount>,
    /// Drop, noise, peak: what the study compares by, in a fixed order.
    pub(super) values: Vec<f64>,
    /// Mass as it is, and the filter: of equal ones the lightest stands for all.
    pub(super) tie: (f64, Option<Candidate>),
}

impl Merits {
    fn at_most(&self, other: &Self) -> bool {
        let cost = match (&self.cost, &other.cost) {
            (Some(own), Some(other)) => own.at_most(other),
            _ => true,
        };
        cost && self.mass.at_most(&other.mass)
            && self.values.iter().zip(&other.values).all(|(own, other)| own <= other)
    }

    /// Whether it is no worse in anything, and better in something, or else stands for both. What beats lower bounds beats whatever
    /// they come to.
    pub(super) fn beats(&self, other: &Self) -> bool {
        let equal = || (&self.mass, &self.cost, &self.values) == (&other.mass, &other.cost, &other.values);
        let first = || self.tie.0.total_cmp(&other.tie.0).then(self.tie.1.cmp(&other.tie.1)).is_lt();
        self.at_most(other) && (!equal() || first())
    }
}

/// Indices of those that no other beats, in their order.
pub(super) fn front(all: &[Merits]) -> Vec<usize> {
    (0..all.len()).filter(|index| !all.iter().any(|other| other.beats(&all[*index]))).collect()
}

/// How values are compared: two filters whose mass, cost, noise, peak or drop lie within a step are equal in it, for nobody would
/// choose by less (own choice).
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    /// Noise below which less is no better; `None` where no noise is compared.
    pub(super) noise_floor: Option<f64>,
    /// Peak below which less is no better.
    pub(super) peak_floor: f64,
}

/// Ratio of a step of the noise, and of the peak.
const NOISE_STEP: f64 = 1.4;
const PEAK_STEP: f64 = 1.05;
/// Ratio of a step of the mass, and of the cost.
const AMOUNT_STEP: f64 = 1.25;
/// Kilogram below which less is no lighter.
const LIGHT: f64 = 1e-3;
/// Volts below which less drop is no better, and ratio of a step above.
const SMALL_DROP: f64 = 50e-3;
const DROP_STEP: f64 = 1.5;
/// Share of the noise's limit below which quieter is no better (own choice).
const QUIET: f64 = 0.25;

impl Scale {
    /// For a limit of the noise, and the peak that the load bears with the baseline.
    pub(super) fn new(limit: Option<f64>, baseline_peak: f64) -> Self {
        Self { noise_floor: limit.map(|limit| QUIET * limit), peak_floor: baseline_peak }
    }

    /// A mass as it is compared; what is unknown stays so.
    pub(super) fn mass(mass: Amount) -> Amount {
        Self::cost(Amount { known: mass.known.max(LIGHT), ..mass })
    }

    /// A cost as it is compared; what is unknown stays so.
    pub(super) fn cost(cost: Amount) -> Amount {
        Amount { known: step_of_ratio(cost.known, AMOUNT_STEP), ..cost }
    }

    /// Drop, noise and peak as they are compared.
    pub(super) fn values(&self, drop: f64, noise: f64, peak: f64) -> Vec<f64> {
        let noise = self.noise_floor.map(|floor| step_of_ratio(noise.max(floor), NOISE_STEP));
        let peak = step_of_ratio(peak.max(self.peak_floor), PEAK_STEP);
        let drop = step_of_ratio(drop.max(SMALL_DROP), DROP_STEP);
        [Some(drop), noise, Some(peak)].into_iter().flatten().collect()
    }
}

fn step_of_ratio(value: f64, ratio: f64) -> f64 {
    if value > 0.0 { (value.ln() / ratio.ln()).floor() } else { f64::NEG_INFINITY }
}

#[cfg(test)]
mod tests {
    use super::{Merits, front};
    use crate::design::Amount;

    fn merits(mass: f64, values: &[f64]) -> Merits {
        let sum = Amount { known: mass, unknown: Vec::new() };
        Merits { mass: sum, cost: None, values: values.to_vec(), tie: (0.0, None) }
    }

    #[test]
    fn the_front_of_a_few_points_by_hand() {
        let all = [
            merits(1.0, &[3.0]),
            merits(2.0, &[2.0]),
            merits(2.0, &[3.0]), // the first is lighter and as good
            merits(3.0, &[1.0]),
            merits(3.0, &[1.0]), // equal: neither beats the other
            merits(4.0, &[4.0]),
        ];
        assert_eq!(front(&all), [0, 1, 3, 4]);
    }

    #[test]
    fn of_equal_ones_the_lightest_stands_for_all() {
        let all = [2.2, 2.1, 2.3].map(|mass| Merits { tie: (mass, None), ..merits(2.0, &[1.0]) });
        assert_eq!(front(&all), [1]);
    }
}
