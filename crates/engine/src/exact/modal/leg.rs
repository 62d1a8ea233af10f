//! Waveforms over one leg: each probe's value at its start, a straight line, and decaying modes.
//!
//! A mode of rate r whose slope at the start is s, growing by g a second, has added t phi1(rt) s + t^2 phi2(rt) g after t seconds.
//! The response of a low-pass of corner w to that is w/(r + w) times the same, and a mode of rate -w that takes up the difference.

use super::phi::grown;
use super::signals::Signals;
use super::stride::Stride;
use nalgebra::{Complex, DMatrix};

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
    /// At the time looked at last.
    heights: Vec<Complex<f64>>,
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

    /// Its magnitude less what rounding may have made of nothing.
    pub(super) fn magnitude_of_bend(&self, mode: usize) -> f64 {
        self.bends[mode].1
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
        self.stand(&stride.first, &stride.second);
        self.sum(signals, stride.duration, out);
    }

    /// Values of all probes in the middle.
    pub(super) fn at_middle(&mut self, signals: &Signals, stride: &Stride, out: &mut [f64]) {
        let [first, second] = stride.half(signals);
        self.stand(first, second);
        self.sum(signals, 0.5 * stride.duration, out);
    }

    /// Sets the heights to what a slope of 1 and a growth of 1 add.
    fn stand(&mut self, first: &[Complex<f64>], second: &[Complex<f64>]) {
        self.heights.clear();
        for mode in 0..self.slopes.len() {
            let height = self.slopes[mode] * first[mode];
            let growth = if self.grows { self.growths[mode] * second[mode] } else { Complex::default() };
            self.heights.push(height + growth);
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
}

impl LowPass {
    /// What it has added after some seconds.
    pub(super) fn after(self, time: f64) -> f64 {
        let (first, second) = grown(-self.corner, time);
        self.slope * first + self.growth * second
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
