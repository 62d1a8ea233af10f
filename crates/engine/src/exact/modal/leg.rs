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
/// A chord errs by h^2 / 8 of the second derivative, and by no more than twice the height of an exponential.
const CHORD: f64 = 0.125;
const CHORD_AT_MOST: f64 = 2.0;

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
    /// At the time looked at last: heights, and what is left of each mode.
    heights: Vec<Complex<f64>>,
    decays: Vec<f64>,
    /// Heights at the end of the leg.
    ends: Vec<Complex<f64>>,
    /// Rounding in the slope of each mode.
    noise: Vec<f64>,
}

impl Leg {
    /// Takes slopes and growths as they have been set, and the raw values of all probes just after the start; `values` of probes with
    /// a low-pass must hold what it stands at.
    pub(super) fn begin(&mut self, signals: &Signals, raw: &[f64]) {
        self.bends.clear();
        let modes = signals.spectrum.rates.iter().zip(&self.slopes).zip(&self.growths);
        self.bends.extend(modes.zip(&self.noise).map(|(((rate, slope), growth), noise)| {
            let bend = rate * slope + growth;
            (bend, (bend.norm() - noise * rate.norm()).max(0.0))
        }));
        self.free.clear();
        let bends = signals.spectrum.rates.iter().zip(&self.bends);
        self.free.extend(
            bends.map(|(rate, (bend, magnitude))| (bend / (rate * rate), magnitude / rate.norm_sqr())),
        );
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
        self.ends.clone_from(&self.heights);
        self.sum(signals, stride.duration, out);
    }

    /// The same without a stride.
    pub(super) fn close(&mut self, signals: &Signals, out: &mut [f64]) {
        self.all(signals, self.length, out);
        self.ends.clone_from(&self.heights);
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

    /// Values of all probes.
    pub(super) fn all(&mut self, signals: &Signals, time: f64, out: &mut [f64]) {
        self.stand(signals, time);
        self.sum(signals, time, out);
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
        for ((rate, (bend, magnitude)), decay) in
            signals.spectrum.rates.iter().zip(&self.bends).zip(&self.decays)
        {
            let factor = if rate.re > 0.0 { (rate.re * until).exp() } else { *decay };
            let real = (rate.im == 0.0).then_some(bend.re * factor);
            out.push(Bend { rate: rate.norm(), real, magnitude: magnitude * factor });
        }
    }

    /// Looks at the start of the leg.
    pub(super) fn rewind(&mut self) {
        self.decays.clear();
        self.decays.resize(self.slopes.len(), 1.0);
        self.heights.clear();
        self.heights.resize(self.slopes.len(), Complex::new(0.0, 0.0));
    }

    /// Bounds of one probe from the time looked at last, where it is at `first`, to the end of the leg, where it is at `last`.
    ///
    /// A mode that does not swing is bent one way all along: it lies on one side of its chord, and on the other of its tangents.
    pub(super) fn bounds(
        &self,
        signals: &Signals,
        probe: usize,
        bends: &[Bend],
        time: f64,
        (first, last): (f64, f64),
    ) -> Bounds {
        let step = self.length - time;
        let mut sides = Sides::default();
        for (mode, bend) in bends.iter().enumerate() {
            let at = mode * signals.probes + probe;
            let height = bend.magnitude * signals.magnitude[at];
            let share = signals.real[at];
            let Some(side) = bend.real.map(|real| real * share) else {
                sides.swings(bend.rate, height, step);
                continue;
            };
            let rate = signals.spectrum.rates[mode].re;
            let (slope, growth) = (self.slopes[mode].re, self.growths[mode].re);
            let (now, end) = (self.heights[mode].re, self.ends[mode].re);
            let slope_now = rate * now + slope + growth * time;
            let slope_end = rate * end + slope + growth * self.length;
            sides.bends(
                bend.rate,
                height,
                side,
                step,
                share * (end - now),
                [share * slope_now, share * slope_end],
            );
        }
        if let Some(filter) = self.filters[probe] {
            let bend = filter.bend(time);
            let (now, end) = (filter.after(time), filter.after(self.length));
            let slope = |height: f64, time: f64| filter.slope - filter.corner * height + filter.growth * time;
            let slopes = [slope(now, time), slope(end, self.length)];
            sides.bends(filter.corner, bend.abs(), bend, step, end - now, slopes);
        }
        sides.bounds(first, last)
    }
}

/// The second derivative of a mode.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bend {
    pub(super) rate: f64,
    /// With its sign, where the mode does not swing.
    real: Option<f64>,
    pub(super) magnitude: f64,
}

/// What a waveform stays between over a stretch.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    pub(super) low: f64,
    pub(super) high: f64,
}

/// Modes bent upwards and downwards, each together: how far they depart from chord, from the tangent at the start and from that at the
/// end.
#[derive(Clone, Copy, Debug, Default)]
struct Sides {
    swing: f64,
    up: [f64; 3],
    down: [f64; 3],
}

impl Sides {
    fn swings(&mut self, rate: f64, height: f64, step: f64) {
        self.swing += chord_of(rate, height, step);
    }

    fn bends(&mut self, rate: f64, height: f64, side: f64, step: f64, rise: f64, slopes: [f64; 2]) {
        let chord = chord_of(rate, height, step);
        let side = if side > 0.0 { &mut self.up } else { &mut self.down };
        side[0] += chord;
        side[1] += (rise - slopes[0] * step).abs();
        side[2] += (slopes[1] * step - rise).abs();
    }

    fn bounds(self, first: f64, last: f64) -> Bounds {
        let reach = |[chord, at_start, at_end]: [f64; 3], sign: f64| {
            let (first, last) = (sign * first, sign * last);
            let by_chord = first.max(last) + chord;
            let by_start = first.max(last + at_start);
            let by_end = last.max(first + at_end);
            sign * (by_chord.min(by_start).min(by_end) + self.swing)
        };
        // What is bent upwards hangs below its chord.
        Bounds { low: reach(self.up, -1.0), high: reach(self.down, 1.0) }
    }
}

fn chord_of(rate: f64, bend: f64, step: f64) -> f64 {
    let x = rate * step;
    if CHORD * x * x <= CHORD_AT_MOST {
        CHORD * bend * step * step
    } else {
        CHORD_AT_MOST * bend / (rate * rate)
    }
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
fn add_real(matrix: &DMatrix<Complex<f64>>, x: &[f64], out: &mut [Complex<f64>]) {
    if out.is_empty() {
        return;
    }
    for (column, x) in matrix.as_slice().chunks_exact(out.len()).zip(x) {
        if *x != 0.0 {
            out.iter_mut().zip(column).for_each(|(out, value)| *out += value * *x);
        }
    }
}
