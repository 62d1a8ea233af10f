//! One probe over one leg as a polynomial and modes that die away: value = P(t) + sum of Re(z e^(r t)).

use super::leg::Leg;
use super::rates::{Rates, factor};
use super::signals::Signals;
use nalgebra::Complex;
use std::rc::Rc;

/// Powers of time that a slow mode is summed over: at 0.35 of its time constant the next adds 1.2e-10 of its bend.
const POWERS: usize = 10;

/// What one probe does over one leg.
#[derive(Debug, Default)]
pub(super) struct Course {
    /// When the leg begins, in seconds.
    pub(super) start: f64,
    pub(super) rates: Rc<Rates>,
    polynomial: [f64; POWERS],
    degree: usize,
    /// Bound of its third derivative.
    pub(super) third: f64,
    points: Vec<Point>,
    /// Modes at the points, one point after the other.
    heights: Vec<Height>,
}

/// Real and imaginary part of a mode, and its magnitude less what rounding may have made of nothing.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Height {
    pub(super) real: f64,
    pub(super) imaginary: f64,
    pub(super) magnitude: f64,
}

/// What there is at a moment of the leg.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Point {
    /// Seconds from the start of the leg.
    pub(super) time: f64,
    pub(super) value: f64,
    /// The polynomial and its first two derivatives.
    pub(super) polynomial: [f64; 3],
}

/// How far each probe can be above the greater of its values at both ends of a leg, and how far below the lesser: quick, and no bound could be less but
/// for phases.
pub(super) fn reaches(signals: &Signals, leg: &Leg, rates: &Rates, out: &mut Vec<[f64; 2]>) {
    let chord = SLOWLY * 0.125 * rates.duration * rates.duration;
    let whole = rates.reaches();
    out.clear();
    out.resize(signals.probes, [0.0; 2]);
    let modes = leg.slopes.len();
    for (mode, whole) in whole.iter().enumerate().take(modes) {
        // What is bent upwards hangs below its chord; second derivative and height of what fades have one sign.
        let bend = leg.bend(mode);
        let unit = if rates.slow[mode] { chord * bend.norm_sqr().sqrt() } else { whole * leg.free[mode].1 };
        let here = mode * signals.probes..(mode + 1) * signals.probes;
        if rates.rates[mode].im == 0.0 {
            let shares = signals.real[here.clone()].iter().zip(&signals.magnitude[here]);
            for ([above, below], (share, magnitude)) in out.iter_mut().zip(shares) {
                let reach = unit * magnitude;
                if share * bend.re > 0.0 { *below += reach } else { *above += reach }
            }
        } else {
            for (reaches, magnitude) in out.iter_mut().zip(&signals.magnitude[here]) {
                *reaches = reaches.map(|reach| reach + unit * magnitude);
            }
        }
    }
    for ([above, below], filter) in out.iter_mut().zip(&leg.filters) {
        let Some(filter) = filter else { continue };
        let index = signals.distinct_corners.iter().position(|corner| *corner == filter.corner);
        let Some(index) = index.map(|index| modes + index) else { continue };
        let bend = filter.growth - filter.corner * filter.slope;
        let unit = if rates.slow[index] { chord } else { whole[index] / (filter.corner * filter.corner) };
        if bend > 0.0 { *below += unit * bend } else { *above -= unit * bend }
    }
}

/// The second derivative of a slow mode, of at most 0.35 time constants, grows by no more than this.
const SLOWLY: f64 = 1.42;

impl Course {
    /// The point at the start of the leg.
    pub(super) const START: usize = 0;
    /// The point at its end.
    pub(super) const END: usize = 1;

    /// Takes a probe over a leg that begins `start` seconds after the run did, and is known to end at a value: what modes are beside it
    /// is spread over the leg.
    pub(super) fn set(
        &mut self,
        signals: &Signals,
        leg: &Leg,
        rates: &Rc<Rates>,
        probe: usize,
        start: f64,
        last: f64,
    ) {
        self.start = start;
        self.rates = Rc::clone(rates);
        self.points.clear();
        self.heights.clear();
        self.polynomial = [0.0; POWERS];
        self.polynomial[0] = leg.values[probe];
        self.polynomial[1] = leg.lines[probe];
        self.degree = 1;
        self.third = 0.0;
        let modes = leg.slopes.len();
        for mode in 0..modes {
            let at = mode * signals.probes + probe;
            let share = Complex::new(signals.real[at], signals.imaginary[at]);
            let magnitude = signals.magnitude[at];
            if rates.slow[mode] {
                self.slowly(share, leg.slopes[mode], leg.bend(mode), rates.rates[mode]);
                self.heights.push(Height::default());
            } else {
                let (free, free_magnitude) = leg.free[mode];
                let height = share * free;
                self.polynomial[0] -= height.re;
                if leg.grows {
                    self.polynomial[1] -= (share * leg.drifts[mode]).re;
                }
                self.heights.push(Height {
                    real: height.re,
                    imaginary: height.im,
                    magnitude: magnitude * free_magnitude,
                });
            }
        }
        for (index, corner) in signals.distinct_corners.iter().enumerate() {
            let filter = leg.filters[probe].filter(|filter| filter.corner == *corner);
            let Some(filter) = filter else {
                self.heights.push(Height::default());
                continue;
            };
            let bend = filter.growth - corner * filter.slope;
            if rates.slow[modes + index] {
                let [slope, bend, rate] = [filter.slope, bend, -corner].map(|value| Complex::new(value, 0.0));
                self.slowly(Complex::new(1.0, 0.0), slope, bend, rate);
                self.heights.push(Height::default());
            } else {
                let height = bend / (corner * corner);
                self.polynomial[0] -= height;
                self.polynomial[1] += filter.growth / corner;
                self.heights.push(Height { real: height, imaginary: 0.0, magnitude: height.abs() });
            }
        }
        let rates = Rc::clone(rates);
        self.push(0.0);
        self.move_on(Self::START, |index| rates.over[index]);
        let end = self.push(rates.duration);
        let missing = last - self.points[end].value;
        self.polynomial[1] += missing / rates.duration;
        self.points[Self::START].polynomial[1] += missing / rates.duration;
        self.points[end].polynomial[0] += missing;
        self.points[end].polynomial[1] += missing / rates.duration;
        self.points[end].value = last;
    }

    /// Looks at a moment some seconds after the start, no earlier than a point; whether others of that duration are looked at there too.
    pub(super) fn look(&mut self, from: usize, time: f64, often: bool) -> usize {
        let later = time - self.points[from].time;
        if often {
            let factors = self.rates.factors(later);
            self.move_on(from, |index| factors[index]);
        } else {
            let rates = Rc::clone(&self.rates);
            let factor_of =
                |index| if rates.slow[index] { [0.0; 3] } else { factor(rates.rates[index], later) };
            self.move_on(from, factor_of);
        }
        self.push(time)
    }

    /// Value some seconds after the start, when each mode is as many times as high as it was.
    pub(super) fn value(&self, time: f64, factors: &[[f64; 3]]) -> f64 {
        let powers = self.polynomial[..=self.degree].iter().rev();
        let polynomial = powers.fold(0.0, |sum, coefficient| sum * time + coefficient);
        let modes = self.heights(Self::START).iter().zip(factors);
        modes.fold(polynomial, |sum, (height, factor)| {
            sum + height.real * factor[0] - height.imaginary * factor[1]
        })
    }

    pub(super) fn point(&self, point: usize) -> &Point {
        &self.points[point]
    }

    /// Modes at a point.
    pub(super) fn heights(&self, point: usize) -> &[Height] {
        let modes = self.rates.rates.len();
        &self.heights[point * modes..(point + 1) * modes]
    }

    /// Modes some time after a point, told by what each is multiplied with until then.
    fn move_on(&mut self, from: usize, factor: impl Fn(usize) -> [f64; 3]) {
        let modes = self.rates.rates.len();
        for mode in 0..modes {
            let height = self.heights[from * modes + mode];
            let [real, imaginary, decay] = factor(mode);
            self.heights.push(Height {
                real: height.real * real - height.imaginary * imaginary,
                imaginary: height.real * imaginary + height.imaginary * real,
                magnitude: height.magnitude * decay,
            });
        }
    }

    /// The point at a moment, modes there being the last that were put down.
    fn push(&mut self, time: f64) -> usize {
        let mut polynomial = [0.0; 3];
        for coefficient in self.polynomial[..=self.degree].iter().rev() {
            let [value, slope, half_bend] = polynomial;
            polynomial = [value * time + coefficient, slope * time + value, half_bend * time + slope];
        }
        polynomial[2] *= 2.0;
        let place = self.points.len();
        self.points.push(Point { time, value: 0.0, polynomial });
        let modes = self.heights(place).iter().map(|height| height.real).sum::<f64>();
        self.points[place].value = polynomial[0] + modes;
        place
    }

    /// Adds a slow mode: s t + b t^2/2 + r b t^3/6 + …
    fn slowly(&mut self, share: Complex<f64>, slope: Complex<f64>, bend: Complex<f64>, rate: Complex<f64>) {
        self.degree = POWERS - 1;
        self.polynomial[1] += (share * slope).re;
        let mut term = share * bend * 0.5;
        let grown = (rate.re * self.rates.duration).exp().max(1.0);
        self.third += 2.0 * grown * (term * rate).norm();
        for (power, coefficient) in self.polynomial.iter_mut().enumerate().skip(2) {
            *coefficient += term.re;
            term *= rate / (power + 1) as f64;
        }
    }
}

#[cfg(test)]
impl Course {
    /// Of a polynomial and modes of some heights at the start.
    pub(super) fn of(polynomial: &[f64], duration: f64, modes: &[(Complex<f64>, Complex<f64>)]) -> Self {
        let mut course = Self::default();
        let rates = Rc::new(Rates::new(modes.iter().map(|(rate, _)| *rate).collect(), duration));
        course.rates = Rc::clone(&rates);
        course.polynomial[..polynomial.len()].copy_from_slice(polynomial);
        course.degree = polynomial.len() - 1;
        let terms = polynomial.iter().enumerate().skip(3);
        course.third = terms
            .map(|(power, value)| {
                (power * (power - 1) * (power - 2)) as f64 * value.abs() * duration.powi(power as i32 - 3)
            })
            .sum();
        let heights = modes.iter().map(|(_, height)| Height {
            real: height.re,
            imaginary: height.im,
            magnitude: height.norm(),
        });
        course.heights.extend(heights);
        course.push(0.0);
        course.move_on(Self::START, |index| factor(rates.rates[index], duration));
        course.push(duration);
        course
    }

    pub(super) fn looks(&self) -> usize {
        self.points.len()
    }
}
