//! Numbers that are read from an orbit, as weights of its stages.

use super::mesh::Step;
use super::orbit::{Orbit, Weights};

/// Five-point Gauss-Legendre quadrature on -1 .. 1 (Abramowitz and Stegun, table 25.4).
const GAUSS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

/// Something to integrate at a time and a value of a probe, with its derivatives by the value and by the time.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Integrand {
    /// Its own value.
    pub value: f64,
    /// Its derivative by the probe's value.
    pub by_value: f64,
    /// Its derivative by the time in seconds.
    pub by_time: f64,
}

impl Integrand {
    /// So many times the probe's value.
    #[must_use]
    pub fn share(factor: f64, value: f64) -> Self {
        Self { value: factor * value, by_value: factor, by_time: 0.0 }
    }
}

impl Orbit<'_> {
    /// The mean of a probe over stretches of the period, and its weights.
    #[must_use]
    pub fn mean(&self, probe: usize, stretches: &[(f64, f64)]) -> (Weights, f64) {
        let length: f64 = stretches.iter().map(|(from, to)| to - from).sum();
        self.integral(probe, stretches, 0.0, &|_, value| Integrand::share(1.0 / length, value))
    }

    fn nothing(&self, probe: usize) -> Weights {
        let steps = self.steps();
        Weights { probe, of_stages: vec![0.0; 3 * steps], of_motion: vec![[0.0; 2]; steps] }
    }

    /// A probe's value at a time that stays, given as a place of a step, which runs from 0 to 1.
    #[must_use]
    pub fn value(&self, probe: usize, step: usize, place: f64) -> Weights {
        let mut weights = self.riding_value(probe, step, place);
        // What rides away from the time is left behind on the slope.
        let slope = self.polynomial(step, probe).slope(place);
        weights.moves(step, self.since(step, place), -slope);
        weights
    }

    /// The same at a place that rides with the corners on either side, as a peak at or near an edge does.
    #[must_use]
    pub fn riding_value(&self, probe: usize, step: usize, place: f64) -> Weights {
        let mut weights = self.nothing(probe);
        self.add(&mut weights, step, self.polynomial(step, probe).weights(place));
        weights
    }

    /// The step that a time lies in, and where in it from 0 to 1; of two that meet there the later, or the earlier.
    #[must_use]
    pub fn place(&self, time: f64, later: bool) -> (usize, f64) {
        let start = |step: usize| {
            let Step { leg, from, .. } = self.steps[step];
            self.legs[leg].start + from
        };
        let (mut first, mut behind) = (0, self.steps());
        while behind - first > 1 {
            let middle = first.midpoint(behind);
            if start(middle) < time || (later && start(middle) <= time) {
                first = middle;
            } else {
                behind = middle;
            }
        }
        (first, ((time - start(first)) / self.steps[first].length).clamp(0.0, 1.0))
    }

    /// Seconds from the start of its leg to a place of a step.
    fn since(&self, step: usize, place: f64) -> f64 {
        let Step { from, length, .. } = self.steps[step];
        from + place * length
    }

    fn add(&self, weights: &mut Weights, step: usize, [start, more @ ..]: [f64; 4]) {
        weights.of_stages[3 * self.before(step) + 2] += start;
        for (stage, weight) in more.into_iter().enumerate() {
            weights.of_stages[3 * step + stage] += weight;
        }
    }

    /// The integral over stretches of the period of what depends on time and on a probe's value, and its weights. `fastest` is the
    /// angular frequency in rad/s with which it swings besides.
    pub fn integral(
        &self,
        probe: usize,
        stretches: &[(f64, f64)],
        fastest: f64,
        integrand: &dyn Fn(f64, f64) -> Integrand,
    ) -> (Weights, f64) {
        let mut weights = self.nothing(probe);
        let mut sum = 0.0;
        // What ends with the period and begins with it goes on from there, wherever that moves.
        let period = self.period();
        let goes_on =
            stretches.iter().any(|(from, _)| *from <= 0.0) && stretches.iter().any(|(_, to)| *to >= period);
        let stays = |time: f64| !(goes_on && (time <= 0.0 || time >= period));
        for step in 0..self.steps() {
            let polynomial = self.polynomial(step, probe);
            for &(from, to) in stretches {
                let place = |time: f64| ((time - polynomial.start) / polynomial.length).clamp(0.0, 1.0);
                let (first, last) = (place(from), place(to));
                if last <= first {
                    continue;
                }
                let parts = ((last - first) * polynomial.length * fastest).ceil().max(1.0);
                let half = 0.5 * (last - first) / parts;
                let mut of_step = [0.0; 4];
                for part in 0..parts as usize {
                    let centre = first + half * (2.0 * part as f64 + 1.0);
                    for (abscissa, share) in GAUSS {
                        let place = centre + half * abscissa;
                        let lagrange = polynomial.weights(place);
                        let value: f64 = lagrange
                            .iter()
                            .zip(&polynomial.values)
                            .map(|(weight, value)| weight * value)
                            .sum();
                        let area = share * half * polynomial.length;
                        let found = integrand(polynomial.start + place * polynomial.length, value);
                        sum += area * found.value;
                        let height = area * found.by_value;
                        of_step.iter_mut().zip(lagrange).for_each(|(sum, weight)| *sum += height * weight);
                        // A leg that grows makes more of it.
                        weights.of_motion[step][1] += area * found.value;
                        weights.moves(step, self.since(step, place), area * found.by_time);
                    }
                }
                self.add(&mut weights, step, of_step);
            }
        }
        // Ends that stay lose what rides out beyond them.
        for (time, later, sign) in
            stretches.iter().flat_map(|&(from, to)| [(from, true, 1.0), (to, false, -1.0)])
        {
            if stays(time) {
                let (step, place) = self.place(time, later);
                let height = integrand(time, self.polynomial(step, probe).at(place)).value;
                weights.moves(step, self.since(step, place), sign * height);
            }
        }
        (weights, sum)
    }
}
