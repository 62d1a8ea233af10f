//! The steps of a heat map's colours: which class a value has, and what the legend says of each.

use crate::sweep::Asked;
use crate::text;
use quantity::Dimension;

/// Steps on either side of the limit.
const STEPS: usize = 4;
/// Beyond this ratio of greatest to least, steps are equal ratios rather than equal differences.
const LOGARITHMIC_BEYOND: f64 = 10.0;
/// Classes of what keeps to the limit, the furthest from it first, and of what does not, the worst last.
const MEETS: [&str; STEPS] = ["m0", "m1", "m2", "m3"];
const FAILS: [&str; STEPS] = ["x0", "x1", "x2", "x3"];

/// Steps from the best to the worst value, with the limit between two of them where there is one.
pub(super) struct Steps {
    dimension: Dimension,
    logarithmic: bool,
    /// Whether small values are the bad ones.
    least_is_worst: bool,
    /// Best value, limit and worst value; without a limit the first two are one.
    best: f64,
    limit: f64,
    worst: f64,
    has_limit: bool,
    strict: bool,
}

impl Steps {
    /// For what is asked, with all its values; nothing where it has none.
    pub(super) fn new(asked: &Asked, values: impl Iterator<Item = f64>) -> Option<Self> {
        let ends = values.fold(None, |ends: Option<(f64, f64)>, value| {
            Some(ends.map_or((value, value), |(low, high)| (low.min(value), high.max(value))))
        });
        let (low, high) = ends?;
        let least_is_worst = asked.least_is_worst();
        let (best, worst) = if least_is_worst { (high, low) } else { (low, high) };
        let limit = asked.limit.filter(|limit| limit.is_finite());
        let positive = low > 0.0 && limit.is_none_or(|limit| limit > 0.0);
        Some(Self {
            dimension: asked.dimension,
            logarithmic: positive && high / low > LOGARITHMIC_BEYOND,
            least_is_worst,
            best,
            limit: limit.unwrap_or(best),
            worst,
            has_limit: limit.is_some(),
            strict: limit.is_some_and(|limit| asked.holds(limit) == Some(false)),
        })
    }

    /// How bad a value is: rising from the best to the worst, 0 at the limit.
    fn badness(&self, value: f64) -> f64 {
        let departure = if self.logarithmic { (value / self.limit).ln() } else { value - self.limit };
        if self.least_is_worst { -departure } else { departure }
    }

    fn fails(&self, value: f64) -> bool {
        let badness = self.badness(value);
        !self.has_limit || badness > 0.0 || (badness == 0.0 && self.strict)
    }

    /// The step of a value on its side, from the limit on.
    fn step(&self, value: f64) -> usize {
        let whole = self.badness(if self.fails(value) { self.worst } else { self.best });
        let share = if whole == 0.0 { 0.0 } else { self.badness(value) / whole };
        ((share * STEPS as f64) as usize).min(STEPS - 1)
    }

    /// The class of a value's cell.
    pub(super) fn class(&self, value: f64) -> &'static str {
        let step = self.step(value);
        if self.fails(value) { FAILS[step] } else { MEETS[STEPS - 1 - step] }
    }

    /// For each class its values in words, from the best to the worst; classes on a side without values are left out.
    pub(super) fn legend(&self) -> Vec<(String, String)> {
        let mut entries = Vec::new();
        if self.has_limit && self.badness(self.best) < 0.0 {
            let edges = |step: usize| self.between(self.best, (STEPS - step) as f64 / STEPS as f64);
            entries.extend(
                (0..STEPS).map(|step| (MEETS[step].to_owned(), self.words(edges(step), edges(step + 1)))),
            );
        }
        if self.fails(self.worst) {
            let edges = |step: usize| self.between(self.worst, step as f64 / STEPS as f64);
            entries.extend(
                (0..STEPS).map(|step| (FAILS[step].to_owned(), self.words(edges(step), edges(step + 1)))),
            );
        }
        entries
    }

    /// The value at a share of the way from the limit to an end.
    fn between(&self, end: f64, share: f64) -> f64 {
        if self.logarithmic {
            self.limit * (end / self.limit).powf(share)
        } else {
            self.limit + share * (end - self.limit)
        }
    }

    fn words(&self, from: f64, to: f64) -> String {
        format!("{} to {}", text::value(from, self.dimension), text::value(to, self.dimension))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(least_is_worst: bool, (best, limit, worst): (f64, f64, f64), logarithmic: bool) -> Steps {
        let dimension = Dimension::VOLTAGE;
        Steps { dimension, logarithmic, least_is_worst, best, limit, worst, has_limit: true, strict: true }
    }

    /// Decades on both sides of 100 mV: each step is a quarter of a decade's logarithm.
    #[test]
    fn classes_meet_at_the_limit() {
        let steps = steps(false, (0.01, 0.1, 1.0), true);
        assert_eq!([0.01, 0.017, 0.019, 0.099].map(|value| steps.class(value)), ["m0", "m0", "m1", "m3"]);
        assert_eq!([0.1, 0.177, 0.179, 1.0].map(|value| steps.class(value)), ["x0", "x0", "x1", "x3"]);
        let legend = steps.legend();
        assert_eq!(legend.len(), 8);
        assert_eq!(legend[0], ("m0".to_owned(), "10 mV to 17.8 mV".to_owned()));
        assert_eq!(legend[7], ("x3".to_owned(), "562 mV to 1 V".to_owned()));
    }

    #[test]
    fn what_must_stay_above_is_worst_where_least() {
        let steps = steps(true, (13.0, 9.0, 5.0), false);
        assert_eq!([13.0, 9.5, 8.5, 5.0].map(|value| steps.class(value)), ["m0", "m3", "x0", "x3"]);
        assert_eq!(steps.legend()[0].1, "13 V to 12 V");
    }
}
