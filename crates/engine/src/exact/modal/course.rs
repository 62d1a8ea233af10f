//! One probe over one leg as a polynomial and modes that die away: value = P(t) + sum of Re(z e^(r t)).

use super::leg::{Leg, PARABOLA};
use super::levels::{Form, Halved, Level, Levels};
use super::signals::Signals;
use nalgebra::Complex;

/// Powers of time that a slow mode is summed over: at 0.35 of its time constant the next adds 1.2e-10 of its bend.
const POWERS: usize = 10;

/// What one probe does over one leg.
#[derive(Debug, Default)]
pub(super) struct Course {
    polynomial: [f64; POWERS],
    degree: usize,
    /// Between what the polynomial's second derivative stays.
    bend: (f64, f64),
    /// Bound of its third.
    third: f64,
    /// Modes at places of the leg, one place after the other.
    places: Vec<Height>,
    modes: usize,
}

/// Real and imaginary part of a mode, and its magnitude less what rounding may have made of nothing.
#[derive(Clone, Copy, Debug, Default)]
struct Height {
    real: f64,
    imaginary: f64,
    magnitude: f64,
}

/// What a waveform stays between over a stretch, and how far it can be from its parabola.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) parabola: f64,
}

/// How far each probe can be, all over a leg, from what lies between its values at both ends: quick, and no bound could be less but for signs and
/// phases.
pub(super) fn reaches(signals: &Signals, leg: &Leg, levels: &Levels, out: &mut Vec<f64>) {
    let chord = SLOWLY * 0.125 * levels.duration * levels.duration;
    let whole = &levels.at(0).modes;
    let reach = |index: usize, magnitude: f64| {
        let reach = &whole[index].reach;
        let times = if reach.form == Form::Rings { 2.0 } else { 1.0 };
        times * reach.apart * magnitude
    };
    out.clear();
    out.resize(signals.probes, 0.0);
    let modes = leg.slopes.len();
    for mode in 0..modes {
        let unit = if levels.slow[mode] {
            chord * leg.bend(mode).norm_sqr().sqrt()
        } else {
            reach(mode, leg.free[mode].1)
        };
        let magnitudes = &signals.magnitude[mode * signals.probes..(mode + 1) * signals.probes];
        out.iter_mut().zip(magnitudes).for_each(|(out, magnitude)| *out += unit * magnitude);
    }
    for (out, filter) in out.iter_mut().zip(&leg.filters) {
        let Some(filter) = filter else { continue };
        let index = signals.distinct_corners.iter().position(|corner| *corner == filter.corner);
        let Some(index) = index.map(|index| modes + index) else { continue };
        let bend = (filter.growth - filter.corner * filter.slope).abs();
        *out += if levels.slow[index] {
            chord * bend
        } else {
            reach(index, bend / (filter.corner * filter.corner))
        };
    }
}

/// The second derivative of a slow mode, of at most 0.35 time constants, grows by no more than this.
const SLOWLY: f64 = 1.42;

/// Modes at a place of a leg.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Place(usize);

impl Course {
    /// The start of the leg.
    pub(super) const START: Place = Place(0);
    /// The end of the leg.
    pub(super) const END: Place = Place(1);

    /// Takes a probe over a leg.
    pub(super) fn set(&mut self, signals: &Signals, leg: &Leg, levels: &Levels, probe: usize) {
        self.modes = levels.rates.len();
        self.places.clear();
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
            if levels.slow[mode] {
                self.slowly(share, leg.slopes[mode], leg.bend(mode), levels.rates[mode], levels.duration);
                self.places.push(Height::default());
            } else {
                let (free, free_magnitude) = leg.free[mode];
                let height = share * free;
                self.polynomial[0] -= height.re;
                if leg.grows {
                    self.polynomial[1] -= (share * leg.drifts[mode]).re;
                }
                self.places.push(Height {
                    real: height.re,
                    imaginary: height.im,
                    magnitude: magnitude * free_magnitude,
                });
            }
        }
        for (index, corner) in signals.distinct_corners.iter().enumerate() {
            let filter = leg.filters[probe].filter(|filter| filter.corner == *corner);
            let Some(filter) = filter else {
                self.places.push(Height::default());
                continue;
            };
            let bend = filter.growth - corner * filter.slope;
            if levels.slow[modes + index] {
                let [slope, bend, rate] = [filter.slope, bend, -corner].map(|value| Complex::new(value, 0.0));
                self.slowly(Complex::new(1.0, 0.0), slope, bend, rate, levels.duration);
                self.places.push(Height::default());
            } else {
                let height = bend / (corner * corner);
                self.polynomial[0] -= height;
                self.polynomial[1] += filter.growth / corner;
                self.places.push(Height { real: height, imaginary: 0.0, magnitude: height.abs() });
            }
        }
        let departure = self.third * levels.duration;
        let bend = 2.0 * self.polynomial[2];
        self.bend = (bend - departure, bend + departure);
        self.advance(Self::START, levels.over.iter());
    }

    /// Moves the modes on from a place by factors.
    fn advance<'a>(&mut self, from: Place, factors: impl Iterator<Item = &'a [f64; 3]>) -> Place {
        let place = Place(self.places.len() / self.modes.max(1));
        self.places.resize(self.places.len() + self.modes, Height::default());
        let (known, moved) = self.places.split_at_mut(place.0 * self.modes);
        let heights = known[from.0 * self.modes..].iter().zip(factors);
        for (moved, (height, [real, imaginary, decay])) in moved.iter_mut().zip(heights) {
            *moved = Height {
                real: height.real * real - height.imaginary * imaginary,
                imaginary: height.real * imaginary + height.imaginary * real,
                magnitude: height.magnitude * decay,
            };
        }
        place
    }

    /// Adds a slow mode: s t + b t^2/2 + r b t^3/6 + …
    fn slowly(
        &mut self,
        share: Complex<f64>,
        slope: Complex<f64>,
        bend: Complex<f64>,
        rate: Complex<f64>,
        duration: f64,
    ) {
        self.degree = POWERS - 1;
        self.polynomial[1] += (share * slope).re;
        let mut term = share * bend * 0.5;
        let grown = (rate.re * duration).exp().max(1.0);
        self.third += 2.0 * grown * (term * rate).norm();
        for (power, coefficient) in self.polynomial.iter_mut().enumerate().skip(2) {
            *coefficient += term.re;
            term *= rate / (power + 1) as f64;
        }
    }

    /// Value at a place, `time` seconds after the start.
    pub(super) fn value(&self, place: Place, time: f64) -> f64 {
        let powers = self.polynomial[..=self.degree].iter().rev();
        let polynomial = powers.fold(0.0, |sum, coefficient| sum * time + coefficient);
        polynomial + self.at(place).iter().map(|height| height.real).sum::<f64>()
    }

    fn at(&self, place: Place) -> &[Height] {
        &self.places[place.0 * self.modes..(place.0 + 1) * self.modes]
    }

    /// The middle of a stretch that begins at a place.
    pub(super) fn middle(&mut self, from: Place, level: &Level) -> Place {
        self.advance(from, level.modes.iter().map(|mode| &mode.half))
    }

    /// What the waveform stays between over a stretch between two places, at which it has the given values.
    pub(super) fn bounds(&self, level: &Level, places: [Place; 2], values: [f64; 2]) -> Bounds {
        let length = level.length;
        let chord = 0.125 * length * length;
        let [mut first, mut last] = values;
        let (mut above, mut below) = (chord * (-self.bend.0).max(0.0), chord * self.bend.1.max(0.0));
        let mut parabola = PARABOLA * length * length * length * self.third;
        let [start, end] = places.map(|place| self.at(place));
        for ((Halved { reach, .. }, start), end) in level.modes.iter().zip(start).zip(end) {
            let apart = reach.apart * start.magnitude;
            parabola += reach.parabola * start.magnitude;
            match reach.form {
                // What is bent upwards hangs below its chord.
                Form::OneSided if start.real > 0.0 => below += apart,
                Form::OneSided => above += apart,
                Form::Swings => (above, below) = (above + apart, below + apart),
                Form::Rings => {
                    (first, last) = (first - start.real, last - end.real);
                    (above, below) = (above + apart, below + apart);
                }
            }
        }
        Bounds { low: first.min(last) - below, high: first.max(last) + above, parabola }
    }
}
