//! Waveforms inside one step of another road, whose forcing is a straight line over the step.

use super::leg::{Bend, Leg, long_step};
use super::signals::Signals;
use crate::exact::reduced::Reduced;
use nalgebra::DVector;

/// What drives a step: values at its start and how they grow a second.
pub(crate) struct Forcing<'a> {
    /// Extended sources.
    pub(crate) sources: &'a DVector<f64>,
    /// Their slopes.
    pub(crate) slopes: &'a DVector<f64>,
    /// Rate of the bent rest at the start …
    pub(crate) rest: &'a DVector<f64>,
    /// … and its growth.
    pub(crate) growth: &'a DVector<f64>,
}

/// The waveforms of all probes, without their low-passes, over one step.
pub(crate) struct Inside<'s> {
    signals: &'s Signals,
    leg: Leg,
    /// Values at the start, the middle and the end of the last parabola.
    values: Vec<[f64; 3]>,
    points: [Vec<f64>; 2],
}

impl<'s> Inside<'s> {
    /// From the state at the start of a step of `length` seconds.
    pub(crate) fn new(
        signals: &'s Signals,
        reduced: &Reduced,
        state: &DVector<f64>,
        forcing: &Forcing<'_>,
        length: f64,
    ) -> Self {
        let mut rows = reduced.values(state, forcing.sources, forcing.slopes);
        rows.gemv(1.0, &reduced.rows.excess, forcing.rest, 1.0);
        let mut lines = &reduced.rows.sources * forcing.slopes;
        lines.gemv(1.0, &reduced.rows.excess, forcing.growth, 1.0);
        let mut leg = Leg::default();
        leg.length = length;
        leg.values = signals.rows.iter().map(|row| rows[*row]).collect();
        leg.lines = signals.rows.iter().map(|row| lines[*row]).collect();
        leg.begin_modes(
            signals,
            state.as_slice(),
            forcing.sources.as_slice(),
            forcing.slopes.as_slice(),
            true,
        );
        leg.force(signals, forcing.rest.as_slice(), forcing.growth.as_slice());
        let raw = leg.values.clone();
        leg.begin(signals, &raw);
        leg.rewind();
        let zeros = vec![0.0; signals.probes];
        Self { signals, leg, values: vec![[0.0; 3]; signals.probes], points: [zeros.clone(), zeros] }
    }

    /// Whether a probe is within what is allowed of a value at a time.
    pub(crate) fn meets(&mut self, time: f64, expected: &[f64], allowed: &[f64]) -> bool {
        self.leg.all(self.signals, time, &mut self.points[0]);
        let departures =
            self.points[0].iter().zip(expected).map(|(value, expected)| (value - expected).abs());
        departures.zip(allowed).all(|(departure, allowed)| departure <= *allowed)
    }

    /// Whether the voltage of each load stays between two others all over the step.
    pub(crate) fn keeps(&mut self, ranges: &[(f64, f64)]) -> bool {
        let mut bends: Vec<Bend> = Vec::new();
        self.leg.rewind();
        let length = self.leg.length;
        self.leg.bends(self.signals, length, &mut bends);
        self.leg.close(self.signals, &mut self.points[1]);
        self.leg.rewind();
        ranges.iter().enumerate().all(|(k, (low, high))| {
            let probe = self.signals.shown + k;
            let (first, last) = (self.leg.values[probe], self.points[1][probe]);
            let bounds = self.leg.bounds(self.signals, probe, &bends, 0.0, (first, last));
            bounds.low > *low && bounds.high < *high
        })
    }

    /// Gives parabolas that depart by no more than `allowed`: from when to when in seconds, and the values of all probes.
    pub(crate) fn draw(&mut self, allowed: &[f64], mut give: impl FnMut(f64, f64, &[[f64; 3]])) {
        let signals = self.signals;
        let weight = |mode: usize| {
            let at = &signals.magnitude[mode * signals.probes..];
            at.iter().zip(allowed).map(|(magnitude, allowed)| magnitude / allowed).fold(0.0, f64::max)
        };
        let weights: Vec<f64> = (0..signals.spectrum.rates.len()).map(weight).collect();
        let mut bends: Vec<Bend> = Vec::new();
        let length = self.leg.length;
        let mut time = 0.0;
        for (values, first) in self.values.iter_mut().zip(&self.leg.values) {
            values[2] = *first;
        }
        self.leg.rewind();
        while time < length {
            self.leg.bends(signals, length, &mut bends);
            let modes = bends.iter().zip(&weights).map(|(bend, weight)| (bend.rate, bend.magnitude * weight));
            let step = long_step(modes, 1.0, length - time);
            let next = if step >= (length - time) * (1.0 - 1e-9) { length } else { time + step };
            let [middle, end] = &mut self.points;
            self.leg.all(signals, 0.5 * (time + next), middle);
            self.leg.all(signals, next, end);
            for (probe, values) in self.values.iter_mut().enumerate() {
                *values = [values[2], middle[probe], end[probe]];
            }
            give(time, next, &self.values[..signals.shown]);
            time = next;
        }
    }
}
