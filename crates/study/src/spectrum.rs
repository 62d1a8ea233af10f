//! The spectrum of a waveform that repeats, up to where a picture of it ends: sampled through a triangle and transformed.
//!
//! Samples alone would fold what lies above half their rate back onto the lines. Each sample is therefore the exact mean of the
//! waveform under a triangle two steps wide, whose own spectrum, sinc^2, is divided out again (any textbook of interpolation: the
//! linear B-spline). Up to a quarter of the rate, where the spectrum ends, what folds back is a ninth of what lies at three
//! quarters of it, and pulses with edges have little there.

use crate::meter::Parabola;
use crate::result::Spectrum;
use realfft::RealFftPlanner;
use std::cell::RefCell;
use std::f64::consts::PI;

/// Steps at most: what a transform of a tenth of a millisecond takes.
const MOST_STEPS: usize = 1 << 14;
/// Steps a period of the highest line.
const STEPS_A_PERIOD: f64 = 4.0;
/// The highest line that is of interest, in hertz: where conducted noise ends by CISPR 25 and wires begin to radiate.
const HIGHEST: f64 = 30e6;
/// Lines at most: as many as a picture shows beside each other.
const MOST_LINES: f64 = 400.0;
/// A line this small beside the greatest value is rounding.
const ROUNDING: f64 = 1e-12;

thread_local! {
    /// Runs of one study have the same number of steps, and a plan takes longer to make than to use.
    static PLANNER: RefCell<RealFftPlanner<f64>> = RefCell::new(RealFftPlanner::new());
}

/// Collects one period.
#[derive(Clone, Debug)]
pub(crate) struct Sampler {
    length: f64,
    origin: Option<f64>,
    greatest: f64,
    /// For each step the means of the waveform under the falling and under the rising half of a triangle.
    steps: Vec<[f64; 2]>,
}

impl Sampler {
    /// Of a waveform that repeats after `length` seconds, seen from t = 0.
    pub(crate) fn new(length: f64) -> Self {
        let wanted = (STEPS_A_PERIOD * HIGHEST * length).ceil();
        let steps = if wanted < MOST_STEPS as f64 { (wanted as usize).max(8) } else { MOST_STEPS };
        Self { length, origin: None, greatest: 0.0, steps: vec![[0.0; 2]; steps + steps % 2] }
    }

    /// Takes the next stretch.
    pub(crate) fn take(&mut self, start: f64, end: f64, values: [f64; 3]) {
        let (from, to) = (start.max(0.0), end.min(self.length));
        if from >= to {
            return;
        }
        self.greatest = values.into_iter().map(f64::abs).fold(self.greatest, f64::max);
        let origin = *self.origin.get_or_insert(values[0]);
        let parabola = Parabola::through(values.map(|value| value - origin));
        let rate = self.steps.len() as f64 / self.length;
        let last = self.steps.len() - 1;
        let mut at = from * rate;
        let end_of_all = to * rate;
        while at < end_of_all {
            let step = (at as usize).min(last);
            let next = if step == last { end_of_all } else { ((step + 1) as f64).min(end_of_all) };
            let (centre, half) = (0.5 * (at + next), 0.5 * (next - at));
            // Two-point Gauss-Legendre quadrature is exact for a parabola times a straight line.
            for place in [centre - half / 3.0_f64.sqrt(), centre + half / 3.0_f64.sqrt()] {
                let value = half * parabola.at((place / rate - start) / (end - start));
                let rising = place - step as f64;
                self.steps[step][0] += value * (1.0 - rising);
                self.steps[step][1] += value * rising;
            }
            at = next.max(at + f64::EPSILON * end_of_all);
        }
    }

    /// The spectrum; `None` where nothing was seen.
    pub(crate) fn finish(self) -> Option<Spectrum> {
        let lines = self.lines()?;
        let highest = lines.last().map_or(0, |line| line.0);
        Some(Spectrum {
            lines: largest(
                lines.into_iter().map(|(_, frequency, amplitude)| (frequency, amplitude)),
                highest,
            ),
        })
    }

    /// Order, frequency and amplitude of every line that is more than rounding.
    fn lines(&self) -> Option<Vec<(usize, f64, f64)>> {
        self.origin?;
        let count = self.steps.len();
        // The triangle around the start of a step rises over the step before.
        let mut samples: Vec<f64> =
            (0..count).map(|at| self.steps[at][0] + self.steps[(at + count - 1) % count][1]).collect();
        let transform = PLANNER.with_borrow_mut(|planner| planner.plan_fft_forward(count));
        let mut lines = transform.make_output_vec();
        transform.process(&mut samples, &mut lines).ok()?;
        let amplitude = |order: usize| {
            let x = PI * order as f64 / count as f64;
            2.0 / count as f64 * lines[order].norm() * (x / x.sin()).powi(2)
        };
        let highest = (count as f64 / STEPS_A_PERIOD).floor() as usize;
        let floor = ROUNDING * self.greatest;
        let all = (1..=highest).map(|order| (order, order as f64 / self.length, amplitude(order)));
        Some(all.filter(|(_, _, amplitude)| *amplitude > floor).collect())
    }
}

/// Of lines that lie closer on a logarithmic scale than [`MOST_LINES`] of them the largest each.
fn largest(lines: impl Iterator<Item = (f64, f64)>, highest: usize) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    let mut first = None;
    let mut column_of_last = -1.0;
    let width = (highest.max(2) as f64).ln() / MOST_LINES;
    for (frequency, amplitude) in lines {
        let first = *first.get_or_insert(frequency);
        let column = ((frequency / first).ln() / width).floor();
        match kept.last_mut() {
            Some(last) if column == column_of_last => {
                if amplitude > last.1 {
                    *last = (frequency, amplitude);
                }
            }
            _ => kept.push((frequency, amplitude)),
        }
        column_of_last = column;
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn amplitude(sampler: &Sampler, order: usize) -> f64 {
        let lines = sampler.lines().expect("it was seen");
        lines.iter().find(|line| line.0 == order).map_or(0.0, |line| line.2)
    }

    /// A trapezoid of 10 A, 30 % wide at half height, edges of 1 % of the period: 2 A D |sinc(n D)| |sinc(n tr/T)| (Paul,
    /// Introduction to EMC, ch. 3). What folds back onto the n-th line is that of n' = N - n times (n / n')^2.
    #[test]
    fn trapezoid_train() {
        let period = 50e-6;
        let mut sampler = Sampler::new(period);
        let take = |sampler: &mut Sampler, from: f64, to: f64, values: [f64; 3]| {
            sampler.take(from * period, to * period, values);
        };
        take(&mut sampler, 0.0, 0.01, [0.0, 5.0, 10.0]);
        take(&mut sampler, 0.01, 0.30, [10.0; 3]);
        take(&mut sampler, 0.30, 0.31, [10.0, 5.0, 0.0]);
        take(&mut sampler, 0.31, 1.0, [0.0; 3]);
        let count = sampler.steps.len() as f64;
        let sinc = |x: f64| (PI * x).sin().abs() / (PI * x);
        let exact = |order: f64| 2.0 * 10.0 * 0.3 * sinc(order * 0.3) * sinc(order * 0.01);
        for number in [1, 2, 3, 11, 25, 101] {
            let order = number as f64;
            let folded = exact(count - order) * (order / (count - order)).powi(2)
                + exact(count + order) * (order / (count + order)).powi(2);
            let found = amplitude(&sampler, number);
            assert!((found - exact(order)).abs() < 2.0 * folded + 1e-9, "{order}: {found} {}", exact(order));
        }
    }

    /// A sum of sines that ends below a quarter of the rate has nothing to fold back; the stretches' parabolas miss a sine of 64
    /// stretches a period by (2 pi / 64)^3 / 72 sqrt 3 of its height at most (remainder of a parabola through three points).
    #[test]
    fn a_parabola_is_sampled_exactly() {
        let mut sampler = Sampler::new(1e-3);
        let stretches = 64 * 7;
        let value = |time: f64| 12.0 + 0.5 * (std::f64::consts::TAU * 7e3 * time).sin();
        for k in 0..stretches {
            let [from, to] = [k, k + 1].map(|k| 1e-3 * f64::from(k) / f64::from(stretches));
            sampler.take(from, to, [from, 0.5 * (from + to), to].map(value));
        }
        let missed = 0.5 * (std::f64::consts::TAU / 64.0_f64).powi(3) / (72.0 * 3.0_f64.sqrt());
        assert!((amplitude(&sampler, 7) - 0.5).abs() < missed, "{}", amplitude(&sampler, 7));
    }

    proptest! {
        /// The largest line of every column survives, and the largest of all.
        #[test]
        fn no_peak_is_thinned_away(amplitudes in prop::collection::vec(0.001_f64..1.0, 1..3000)) {
            let all: Vec<(f64, f64)> = amplitudes.iter().enumerate().map(|(k, a)| ((k + 1) as f64, *a)).collect();
            let kept = largest(all.iter().copied(), all.len());
            prop_assert!(kept.len() <= MOST_LINES as usize + 1);
            prop_assert!(kept.iter().all(|line| all.contains(line)));
            let width = (all.len().max(2) as f64).ln() / MOST_LINES;
            for (frequency, amplitude) in &all {
                let column = (frequency.ln() / width).floor();
                let held = kept.iter().find(|line| (line.0.ln() / width).floor() == column);
                prop_assert!(held.is_some_and(|line| line.1 >= *amplitude));
            }
        }
    }
}
