//! Drawing waveforms over a leg by parabolas, each as long as what is allowed lets it be.

use super::course::Course;
use super::leg::Leg;
use super::passed::Passed;
use super::rates::{Rates, factor};
use super::signals::Signals;
use crate::observe::{Enough, Stretch};

/// A parabola through start, middle and end of h seconds errs by h^3 / (72 sqrt 3) of the third derivative …
const PARABOLA: f64 = 1.0 / 124.707_658_144_959_5;
/// … and by no more than 2.25 times the height of an exponential: an interpolant of three points is at most 1.25 times as large.
const PARABOLA_AT_MOST: f64 = 2.25;
/// Shortest step in units of the fastest mode that counts: parabolas err by 1e-12 of its height there.
const FINEST: f64 = 5e-4;

/// Those probes of which the waveform is wanted, and room for a leg of theirs.
#[derive(Default)]
pub(super) struct Drawing {
    probes: Vec<usize>,
    /// Of each of them.
    courses: Vec<Course>,
    /// Weight of each mode, and of which signals.
    weights: Vec<f64>,
    weighed: Option<*const Signals>,
    /// Rate of each mode and low-pass, and its second derivative at the start, as what is allowed has it.
    bends: Vec<(f64, f64)>,
    /// e^(r t) at the time that has been come to, real and imaginary part and magnitude; 1 of slow modes.
    factors: Vec<[f64; 3]>,
    /// The same over half a step.
    halves: Vec<[f64; 3]>,
    /// Of all probes: at the start of a step, in its middle, at its end.
    values: Vec<[f64; 3]>,
}

impl Drawing {
    pub(super) fn new(probes: usize, enough: &[Enough]) -> Self {
        let drawn = |probe: &usize| enough.get(*probe) == Some(&Enough::Waveform);
        let probes_drawn: Vec<usize> = (0..probes).filter(drawn).collect();
        let mut courses = Vec::new();
        courses.resize_with(probes_drawn.len(), Course::default);
        Self { probes: probes_drawn, courses, values: vec![[0.0; 3]; probes], ..Self::default() }
    }

    /// Hands on stretches that depart from the waveforms by no more than `tolerances`; `ends` are the values at the end of the leg.
    pub(super) fn draw(
        &mut self,
        passed: &Passed<'_>,
        leg: &Leg,
        ends: &[f64],
        tolerances: &[f64],
        take: &mut dyn FnMut(&Stretch<'_>),
    ) {
        if self.probes.is_empty() {
            return;
        }
        let (signals, rates) = (passed.signals, &passed.stride.rates);
        self.weigh(signals, tolerances);
        for (course, probe) in self.courses.iter_mut().zip(&self.probes) {
            course.set(signals, leg, rates, *probe, passed.start, ends[*probe]);
            self.values[*probe][2] = leg.values[*probe];
        }
        self.bend(signals, leg, rates, tolerances);
        self.factors.clear();
        self.factors.resize(rates.rates.len(), [1.0, 0.0, 1.0]);
        let length = leg.length;
        let mut time = 0.0;
        while time < length {
            let bends = self.bends.iter().zip(&self.factors);
            let bends = bends.map(|((rate, bend), [_, _, decay])| (*rate, bend * decay));
            let mut step = long_step(bends, 1.0, length - time);
            let last = step >= (length - time) * (1.0 - 1e-9);
            if last {
                step = length - time;
            }
            self.halves.clear();
            self.halves.extend(
                rates
                    .rates
                    .iter()
                    .zip(&rates.slow)
                    .map(|(rate, slow)| if *slow { [1.0, 0.0, 1.0] } else { factor(*rate, 0.5 * step) }),
            );
            self.step_to(1, time + 0.5 * step);
            self.step_to(2, time + step);
            let until = if last {
                self.probes.iter().for_each(|probe| self.values[*probe][2] = ends[*probe]);
                passed.end
            } else {
                passed.start + time + step
            };
            let stretch = Stretch { start: passed.start + time, end: until, values: &self.values };
            if stretch.end > stretch.start {
                take(&stretch);
            }
            time = if last { length } else { time + step };
        }
    }

    /// Goes on by half a step, and puts the values there in one of three places.
    fn step_to(&mut self, place: usize, time: f64) {
        for ([real, imaginary, decay], half) in self.factors.iter_mut().zip(&self.halves) {
            (*real, *imaginary) =
                (*real * half[0] - *imaginary * half[1], *real * half[1] + *imaginary * half[0]);
            *decay *= half[2];
        }
        for (course, probe) in self.courses.iter().zip(&self.probes) {
            let values = &mut self.values[*probe];
            if place == 1 {
                values[0] = values[2];
            }
            values[place] = course.value(time, &self.factors);
        }
    }

    /// Weighs modes by what is allowed to the probes that are drawn.
    fn weigh(&mut self, signals: &Signals, tolerances: &[f64]) {
        let whose = Some(std::ptr::from_ref(signals));
        if self.weighed == whose {
            return;
        }
        self.weighed = whose;
        let probes = &self.probes;
        let weight_of = |mode: usize| {
            let weight =
                |probe: &usize| signals.magnitude[mode * signals.probes + probe] / tolerances[*probe];
            probes.iter().map(weight).fold(0.0, f64::max)
        };
        self.weights = (0..signals.modes()).map(weight_of).collect();
    }

    /// Sets the second derivatives at the start of a leg. What grows counts as it is at the end.
    fn bend(&mut self, signals: &Signals, leg: &Leg, rates: &Rates, tolerances: &[f64]) {
        self.bends.clear();
        for (mode, weight) in self.weights.iter().enumerate() {
            let rate = rates.rates[mode].re;
            let grown = if rate > 0.0 { (rate * leg.length).exp() } else { 1.0 };
            self.bends.push((rates.speeds[mode], leg.magnitude_of_bend(mode) * weight * grown));
        }
        for corner in &signals.distinct_corners {
            let bend = |probe: &usize| {
                let filter = leg.filters[*probe].filter(|filter| filter.corner == *corner)?;
                Some((filter.growth - corner * filter.slope).abs() / tolerances[*probe])
            };
            self.bends.push((*corner, self.probes.iter().filter_map(bend).fold(0.0, f64::max)));
        }
    }
}

/// A step over which parabolas err by no more than `allowed` in sum, at most `longest`.
///
/// Modes so low that all like them together take up half of what is allowed do not count; the others share the other half.
fn long_step(bends: impl Iterator<Item = (f64, f64)> + Clone, allowed: f64, longest: f64) -> f64 {
    let least = 0.5 * allowed / (PARABOLA_AT_MOST * bends.clone().count() as f64);
    let high = bends.filter(|(rate, bend)| *bend > least * rate * rate);
    let (cubic, fastest) = high.fold((0.0, 0.0f64), |(cubic, fastest), (rate, bend)| {
        (cubic + PARABOLA * bend * rate, fastest.max(rate))
    });
    longest.min((0.5 * allowed / cubic).cbrt().max(FINEST / fastest))
}
