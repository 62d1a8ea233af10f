//! Waveforms over one leg: each probe's value at its start, a straight line, and decaying modes.
//!
//! A mode of rate r whose slope at the start is s, growing by g a second, has added t phi1(rt) s + t^2 phi2(rt) g after t seconds.
//! The response of a low-pass of corner w to that is w/(r + w) times the same, and a mode of rate -w that takes up the difference.

use super::phi::grown;
use super::signals::Signals;
use super::stride::Stride;
use nalgebra::{Complex, DMatrix};

/// A parabola through start, middle and end of h seconds errs by h^3 / (72 sqrt 3) of the third derivative …
pub(super) const PARABOLA: f64 = 1.0 / 124.707_658_144_959_5;
/// … and by no more than 2.25 times the height of an exponential: an interpolant of three points is at most 1.25 times as large.
pub(super) const PARABOLA_AT_MOST: f64 = 2.25;
/// Rounding of a sum of a dozen terms, as a fraction of the sum of their magnitudes.
const ROUNDING: f64 = 1e-15;

/// The mode of a probe's low-pass: slope at the start, and its growth.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct LowPass {
    pub(super) corner: f64,
    pub(super) slope: f64,
    pub(super) growth: f64,
}

/// One leg's waveforms.
#[derive(Default)]
pub(super) struct Leg {
    pub(super) length: f64,
    /// Value of each probe just after the start, filtered.
    pub(super) values: Vec<f64>,
    /// Slope of each probe's straight line.
    pub(super) lines: Vec<f64>,
    /// Slope of each mode at the start, and its growth a second.
    pub(super) slopes: Vec<Complex<f64>>,
    pub(super) growths: Vec<Complex<f64>>,
    /// Whether a growth is not 0.
    pub(super) grows: bool,
    /// Each probe's low-pass.
    pub(super) filters: Vec<Option<LowPass>>,
    /// Second derivative of each mode at the start, and its magnitude less what rounding may have made of nothing.
    bends: Vec<(Complex<f64>, f64)>,
    /// What of each mode dies away, at the start, and its magnitude likewise.
    pub(super) free: Vec<(Complex<f64>, f64)>,
    /// Slope of what is left of each mode then, less a sign.
    pub(super) drifts: Vec<Complex<f64>>,
    /// At the time looked at last: heights, and what is left of each mode.
    heights: Vec<Complex<f64>>,
    decays: Vec<f64>,
    /// Rounding in the slope of each mode.
    noise: Vec<f64>,
}

impl Leg {
    /// Takes slopes and growths as they have been set, and the raw values of all probes just after the start; `values` of probes with
    /// a low-pass must hold what it stands at.
    pub(super) fn begin(&mut self, signals: &Signals, raw: &[f64]) {
        self.bends.clear();
        self.free.clear();
        self.drifts.clear();
        let rates = signals.spectrum.rates.iter().zip(&signals.inverses).zip(&signals.speeds);
        let modes = self.slopes.iter().zip(&self.growths).zip(&self.noise);
        for (((rate, inverse), speed), ((slope, growth), noise)) in rates.zip(modes) {
            let bend = rate * slope + growth;
            let magnitude = (bend.norm_sqr().sqrt() - noise * speed).max(0.0);
            self.bends.push((bend, magnitude));
            self.free.push((bend * inverse * inverse, magnitude / (speed * speed)));
            self.drifts.push(growth * inverse);
        }
        self.grows = self.growths.iter().any(|growth| growth.norm_sqr() > 0.0);
        self.filters.clear();
        for (probe, corner) in signals.corners.iter().enumerate() {
            let filter = corner.map(|corner| LowPass {
                corner,
                slope: corner * (raw[probe] - self.values[probe])
                    - self.lines[probe]
                    - signals.one(probe, &self.slopes),
                growth: if self.grows { -signals.one(probe, &self.growths) } else { 0.0 },
            });
            if filter.is_none() {
                self.values[probe] = raw[probe];
            }
            self.filters.push(filter);
        }
    }

    /// Second derivative of a mode at the start.
    pub(super) fn bend(&self, mode: usize) -> Complex<f64> {
        self.bends[mode].0
    }

    /// Slopes of the modes and their growths, from the state at the start.
    pub(super) fn begin_modes(
        &mut self,
        signals: &Signals,
        state: &[f64],
        sources: &[f64],
        slopes: &[f64],
        moving: bool,
    ) {
        let nothing = Complex::new(0.0, 0.0);
        for of_modes in [&mut self.slopes, &mut self.growths] {
            of_modes.clear();
            of_modes.resize(signals.modes(), nothing);
        }
        add_real(&signals.of_state, state, &mut self.slopes);
        add_real(&signals.of_sources, sources, &mut self.slopes);
        if moving {
            add_real(&signals.of_slopes, slopes, &mut self.slopes);
            add_real(&signals.of_sources, slopes, &mut self.growths);
        }
        let [state, sources, slopes] = [state, sources, slopes]
            .map(|values| values.iter().fold(0.0f64, |greatest, value| greatest.max(value.abs())));
        self.noise.clear();
        let noise = signals.noise.iter();
        self.noise.extend(noise.map(|[of_state, of_sources, of_slopes]| {
            ROUNDING * (of_state * state + of_sources * sources + of_slopes * slopes)
        }));
    }

    /// Adds what a bent rest drives: its rate at the start, and its growth.
    pub(super) fn force(&mut self, signals: &Signals, rest: &[f64], growth: &[f64]) {
        add_real(&signals.of_rest, rest, &mut self.slopes);
        add_real(&signals.of_rest, growth, &mut self.growths);
    }

    /// Values of all probes at the end.
    pub(super) fn at_end(&mut self, signals: &Signals, stride: &Stride, out: &mut [f64]) {
        self.heights.clear();
        for mode in 0..self.slopes.len() {
            let height = self.slopes[mode] * stride.first[mode];
            let growth =
                if self.grows { self.growths[mode] * stride.second[mode] } else { Complex::default() };
            self.heights.push(height + growth);
        }
        self.sum(signals, stride.duration, out);
    }

    fn stand(&mut self, signals: &Signals, time: f64) {
        self.heights.clear();
        self.decays.clear();
        for ((rate, slope), growth) in signals.spectrum.rates.iter().zip(&self.slopes).zip(&self.growths) {
            let (first, second, decay) = grown(*rate, time);
            let height = slope * first;
            self.heights.push(if self.grows { height + growth * second } else { height });
            self.decays.push(decay);
        }
    }

    /// Values of some probes, each in its place.
    pub(super) fn of(&mut self, signals: &Signals, probes: &[usize], time: f64, out: &mut [f64]) {
        self.stand(signals, time);
        for probe in probes.iter().copied() {
            let filter = self.filters[probe].map_or(0.0, |filter| filter.after(time));
            let modes = signals.one(probe, &self.heights);
            out[probe] = self.values[probe] + self.lines[probe] * time + modes + filter;
        }
    }

    /// Values of all probes from the heights of the modes.
    fn sum(&self, signals: &Signals, time: f64, out: &mut [f64]) {
        for ((out, value), line) in out.iter_mut().zip(&self.values).zip(&self.lines) {
            *out = value + line * time;
        }
        signals.add(&self.heights, out);
        for (out, filter) in out.iter_mut().zip(&self.filters) {
            if let Some(filter) = filter {
                *out += filter.after(time);
            }
        }
    }

    /// The greatest second derivative of each mode from the time looked at last on to `until`: its rate, the derivative, its magnitude.
    pub(super) fn bends(&self, signals: &Signals, until: f64, out: &mut Vec<Bend>) {
        out.clear();
        for ((rate, (_, magnitude)), decay) in
            signals.spectrum.rates.iter().zip(&self.bends).zip(&self.decays)
        {
            let factor = if rate.re > 0.0 { (rate.re * until).exp() } else { *decay };
            out.push(Bend { rate: rate.norm(), magnitude: magnitude * factor });
        }
    }

    /// Looks at the start of the leg.
    pub(super) fn rewind(&mut self) {
        self.decays.clear();
        self.decays.resize(self.slopes.len(), 1.0);
        self.heights.clear();
        self.heights.resize(self.slopes.len(), Complex::new(0.0, 0.0));
    }
}

/// The second derivative of a mode.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bend {
    pub(super) rate: f64,
    pub(super) magnitude: f64,
}

/// Shortest step in units of the fastest mode that counts: parabolas err by 1e-12 of its height there.
const FINEST: f64 = 5e-4;

/// A step over which parabolas err by no more than `allowed` in sum, at most `longest`.
///
/// Modes so low that all like them together take up half of what is allowed do not count; the others share the other half.
pub(super) fn long_step(bends: impl Iterator<Item = (f64, f64)> + Clone, allowed: f64, longest: f64) -> f64 {
    let least = 0.5 * allowed / (PARABOLA_AT_MOST * bends.clone().count() as f64);
    let high = bends.filter(|(rate, bend)| *bend > least * rate * rate);
    let (cubic, fastest) = high.fold((0.0, 0.0f64), |(cubic, fastest), (rate, bend)| {
        (cubic + PARABOLA * bend * rate, fastest.max(rate))
    });
    longest.min((0.5 * allowed / cubic).cbrt().max(FINEST / fastest))
}

impl LowPass {
    /// What it has added after some seconds.
    pub(super) fn after(self, time: f64) -> f64 {
        let (first, second, _) = grown(Complex::new(-self.corner, 0.0), time);
        self.slope * first.re + self.growth * second.re
    }

    /// Its second derivative.
    pub(super) fn bend(self, time: f64) -> f64 {
        (self.growth - self.corner * self.slope) * (-self.corner * time).exp()
    }
}

/// Adds a complex matrix times a real vector.
pub(super) fn add_real(matrix: &DMatrix<Complex<f64>>, x: &[f64], out: &mut [Complex<f64>]) {
    if out.is_empty() {
        return;
    }
    for (column, x) in matrix.as_slice().chunks_exact(out.len()).zip(x) {
        if *x != 0.0 {
            out.iter_mut().zip(column).for_each(|(out, value)| *out += value * *x);
        }
    }
}
