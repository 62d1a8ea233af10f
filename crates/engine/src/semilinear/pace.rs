//! Steps of one length: what they do to the linear part, seen at the ports of the bent elements.

use super::reference::Reference;
use crate::exact::{Passage, Stride};
use nalgebra::DMatrix;
use std::cell::OnceCell;

/// How the rest's values at the start, middle and end of a step move xi: integrals of e^(A (T - t)) A N times the parabolas that are 1 at
/// one of the three times and 0 at the others.
pub(super) type Weights = [DMatrix<f64>; 3];

/// Steps of one length.
pub(super) struct Pace {
    /// Length in seconds.
    pub(super) length: f64,
    /// What moves xi to the end of a step.
    pub(super) passage: Passage,
    pub(super) weights: Weights,
    /// The same up to the quarter and to the middle, and what moves xi there.
    pub(super) inside: [(Weights, Passage); 2],
    /// What a rest that is off by a constant over the step does to xi at its end.
    pub(super) constant: DMatrix<f64>,
    pub(super) quarter: Place,
    pub(super) middle: Place,
    pub(super) end: Place,
    /// For showing the step's waveforms.
    stride: OnceCell<Stride>,
}

/// What is seen at a place inside a step.
pub(super) struct Place {
    /// Time in seconds after the start.
    pub(super) after: f64,
    /// Currents and voltages at the ports without what the rest there shifts them by …
    pub(super) value: View,
    /// … and their slopes without what the rest there adds: K (A xi + B u + E u') + K_u u'.
    pub(super) slope: View,
}

/// A sum over what a step begins with: xi, sources, their slopes, and the rest at start, middle and end.
pub(super) struct View {
    of_state: DMatrix<f64>,
    of_sources: DMatrix<f64>,
    of_slopes: DMatrix<f64>,
    pub(super) of_rest: Weights,
}

impl View {
    /// For one port, of what is known before the step.
    pub(super) fn of(&self, port: usize, state: &[f64], sources: &[f64], slopes: &[f64]) -> f64 {
        along(&self.of_state, port, state)
            + along(&self.of_sources, port, sources)
            + along(&self.of_slopes, port, slopes)
    }

    /// For one port, of the rest at start, middle and end.
    pub(super) fn of_rests(&self, port: usize, rests: [&[f64]; 3]) -> f64 {
        self.of_rest.iter().zip(rests).map(|(weight, rest)| along(weight, port, rest)).sum()
    }
}

/// A row of a matrix times a vector.
pub(super) fn along(matrix: &DMatrix<f64>, row: usize, x: &[f64]) -> f64 {
    let entries = matrix.as_slice();
    if matrix.nrows() == 1 {
        return entries.iter().zip(x).map(|(a, x)| a * x).sum();
    }
    entries[row.min(entries.len())..].iter().step_by(matrix.nrows().max(1)).zip(x).map(|(a, x)| a * x).sum()
}

impl Pace {
    /// The step of `level` of a leg's halvings; there must be two finer ones.
    pub(super) fn new(reference: &Reference<'_, '_>, halvings: &[Passage], level: usize) -> Self {
        let length = halvings[level].length;
        let [quarter, middle, end] = [2, 1, 0].map(|finer| {
            let passage = &halvings[level + finer];
            let weights = parabolas(passage, length);
            (Place::new(reference, passage, &weights), weights)
        });
        Self {
            length,
            passage: halvings[level].clone(),
            weights: end.1,
            inside: [(quarter.1, halvings[level + 2].clone()), (middle.1, halvings[level + 1].clone())],
            constant: halvings[level].of_drive[0].clone(),
            quarter: quarter.0,
            middle: middle.0,
            end: end.0,
            stride: OnceCell::new(),
        }
    }

    /// How modes grow over the step; `None` where probes are no sums of modes.
    pub(super) fn stride(&self, reference: &Reference<'_, '_>) -> Option<&Stride> {
        let signals = reference.signals()?;
        Some(self.stride.get_or_init(|| Stride::new(signals, self.length)))
    }
}

/// Weights of a step of some length at the end of a passage that begins with it.
fn parabolas(passage: &Passage, length: f64) -> Weights {
    let [constant, growing, bending] = &passage.of_drive;
    // With s = t / h: 1 - 3 s + 2 s^2, 4 s - 4 s^2, 2 s^2 - s; `bending` belongs to t^2 / 2.
    let (first, second) = (1.0 / length, 4.0 / (length * length));
    [
        constant - growing * (3.0 * first) + bending * second,
        growing * (4.0 * first) - bending * (2.0 * second),
        bending * second - growing * first,
    ]
}

impl Place {
    fn new(reference: &Reference<'_, '_>, passage: &Passage, weights: &Weights) -> Self {
        let (reduced, after) = (&reference.reduced, passage.length);
        let ports = &reduced.ports;
        let seen = |rows: &DMatrix<f64>, of_sources: &DMatrix<f64>, of_slopes: DMatrix<f64>| View {
            of_state: rows + rows * &passage.change,
            of_sources: rows * &passage.of_sources + of_sources,
            of_slopes: rows * &passage.of_slopes + of_sources * after + of_slopes,
            of_rest: weights.each_ref().map(|weight| rows * weight),
        };
        let nothing = DMatrix::zeros(ports.state.nrows(), reduced.b.ncols());
        let slopes = &ports.state * &reduced.e + &ports.sources;
        Self {
            after,
            value: seen(&ports.state, &ports.sources, nothing),
            slope: seen(&(&ports.state * &reduced.a), &(&ports.state * &reduced.b), slopes),
        }
    }
}
