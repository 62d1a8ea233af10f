//! The terms of the equations at given unknowns.

use super::{
    Equations, across, leave, stamp_conductance, stamp_current, stamp_transconductance, stamp_voltage,
};
use crate::linear::Stamp;

/// `source` gives each source's value.
impl Equations<'_> {
    pub(crate) fn charges(&self, x: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        for (ends, law) in &self.capacitors {
            leave(*ends, law.charge(across(*ends, x)), out);
        }
        for (k, (_, law)) in self.inductors.iter().enumerate() {
            let unknown = self.inductor_current(k);
            out[unknown] = law.flux(x[unknown]);
        }
        for core in &self.cores {
            let flux = core.law.flux(core.current(|k| x[self.inductor_current(k)]));
            core.windings.iter().for_each(|(k, turns)| out[self.inductor_current(*k)] += turns * flux);
        }
    }

    pub(crate) fn currents(&self, x: &[f64], source: impl Fn(usize) -> f64, out: &mut [f64]) {
        let load = |k: usize, voltage: f64| self.loads[k].law(&source).current(voltage);
        self.currents_with(x, &source, load, out);
    }

    /// The same with every load's current as given by its number and voltage.
    pub(crate) fn currents_with(
        &self,
        x: &[f64],
        source: impl Fn(usize) -> f64,
        load_current: impl Fn(usize, f64) -> f64,
        out: &mut [f64],
    ) {
        out.fill(0.0);
        for (ends, conductance) in &self.resistors {
            leave(*ends, conductance * across(*ends, x), out);
        }
        for (k, load) in self.loads.iter().enumerate() {
            leave(load.ends, load_current(k, across(load.control, x)), out);
        }
        for (ends, index) in &self.current_sources {
            leave(*ends, source(*index), out);
        }
        for (k, (ends, index)) in self.voltage_sources.iter().enumerate() {
            let unknown = self.source_current(k);
            leave(*ends, x[unknown], out);
            out[unknown] = across(*ends, x) - source(*index);
        }
        for (k, (ends, _)) in self.inductors.iter().enumerate() {
            let unknown = self.inductor_current(k);
            leave(*ends, x[unknown], out);
            out[unknown] = -across(*ends, x);
        }
    }

    /// Turns the currents and voltages of [`Self::currents`] into those at `height` times the independent sources.
    pub(crate) fn scale_sources(&self, height: f64, source: impl Fn(usize) -> f64, out: &mut [f64]) {
        if height == 1.0 {
            return;
        }
        for (ends, index) in &self.current_sources {
            leave(*ends, (height - 1.0) * source(*index), out);
        }
        for (k, (_, index)) in self.voltage_sources.iter().enumerate() {
            out[self.source_current(k)] -= (height - 1.0) * source(*index);
        }
    }

    /// By what share an update of Newton's method from `x` to `x + update` must be shortened, so that no steep law is overshot.
    pub(crate) fn share_of_update(&self, x: &[f64], update: &[f64], source: impl Fn(usize) -> f64) -> f64 {
        let mut share = 1.0f64;
        for load in &self.loads {
            let (now, step) = (across(load.control, x), across(load.control, update));
            let next = now + step;
            let limited = load.law(&source).limited(now, next);
            if limited != next {
                share = share.min((limited - now) / step);
            }
        }
        share
    }

    pub(crate) fn charge_slopes(&self, x: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        for (ends, law) in &self.capacitors {
            stamp_conductance(*ends, weight * law.capacitance(across(*ends, x)), matrix);
        }
        for (k, (_, law)) in self.inductors.iter().enumerate() {
            let unknown = self.inductor_current(k);
            matrix.add(unknown, unknown, weight * law.inductance(x[unknown]));
        }
        for core in &self.cores {
            let slope = core.law.inductance(core.current(|k| x[self.inductor_current(k)]));
            core.stamp(
                weight * slope,
                |k| self.inductor_current(k),
                |row, column, it| matrix.add(row, column, it),
            );
        }
    }

    pub(crate) fn current_slopes(
        &self,
        x: &[f64],
        source: impl Fn(usize) -> f64,
        weight: f64,
        matrix: &mut impl Stamp<f64>,
    ) {
        let conductance = |k: usize| self.loads[k].law(&source).conductance(across(self.loads[k].control, x));
        self.current_slopes_with(conductance, weight, matrix);
    }

    /// The same with every load's conductance as given by its number.
    pub(crate) fn current_slopes_with(
        &self,
        load_conductance: impl Fn(usize) -> f64,
        weight: f64,
        matrix: &mut impl Stamp<f64>,
    ) {
        for (ends, conductance) in &self.resistors {
            stamp_conductance(*ends, weight * conductance, matrix);
        }
        for (k, load) in self.loads.iter().enumerate() {
            stamp_transconductance(load.ends, load.control, weight * load_conductance(k), matrix);
        }
        for (k, (ends, _)) in self.voltage_sources.iter().enumerate() {
            let unknown = self.source_current(k);
            stamp_current(*ends, unknown, weight, matrix);
            stamp_voltage(*ends, unknown, weight, matrix);
        }
        for (k, (ends, _)) in self.inductors.iter().enumerate() {
            let unknown = self.inductor_current(k);
            stamp_current(*ends, unknown, weight, matrix);
            stamp_voltage(*ends, unknown, -weight, matrix);
        }
    }
}
