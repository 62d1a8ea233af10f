//! Laws of loads as straight lines.

use crate::equations::{Equations, Load};
use network::primitive::CurrentLaw;

/// A load's law as a straight line near where it works: `conductance * v + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Line {
    pub(crate) conductance: f64,
    pub(crate) offset: f64,
}

impl Line {
    /// Whether a law's current at `voltage` is the line's, to rounding.
    pub(crate) fn holds(&self, law: CurrentLaw, voltage: f64) -> bool {
        let on_line = self.conductance * voltage + self.offset;
        (law.current(voltage) - on_line).abs() <= 1e-12 * (1.0 + on_line.abs())
    }
}

/// The tangents to the laws of all loads at given voltages and values of the sources.
pub(crate) fn lines_at(
    equations: &Equations<'_>,
    voltage: impl Fn(usize) -> f64,
    source: impl Fn(usize) -> f64,
) -> Vec<Line> {
    let tangent = |(k, load): (usize, &Load)| {
        let (v, law) = (voltage(k), load.law(&source));
        match law.straight(v) {
            Some(line) => Line { conductance: line.conductance, offset: line.offset },
            None => {
                let conductance = law.conductance(v);
                Line { conductance, offset: law.current(v) - conductance * v }
            }
        }
    };
    equations.loads.iter().enumerate().map(tangent).collect()
}
