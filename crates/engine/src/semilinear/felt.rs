//! Probes that feel how fast a bent rest changes, not only what it is: a step whose parabola has the wrong slope shows in them.

use super::pace::along;
use super::reference::Reference;
use super::walk::{Leg, Point, Semilinear};
use crate::exact::Made;
use nalgebra::DVector;

/// A share of what a probe feels at most below which it feels nothing.
const NOTHING: f64 = 1e-12;
/// Rounding of a sum of a dozen terms, as a fraction of the sum of their magnitudes, with room to spare.
const ROUNDING: f64 = 1e-13;

/// One such probe along a walk.
#[derive(Clone, Debug)]
pub(super) struct Felt {
    row: usize,
    /// Least and greatest value over this walk, and the swing over those before.
    seen: (f64, f64),
    swing: f64,
    /// Rounding to expect in it.
    rounding: f64,
}

impl Felt {
    /// Notes the value at the start of a leg, the rest standing still.
    pub(super) fn see(&mut self, reference: &Reference<'_, '_>, y: &DVector<f64>, leg: &Leg) {
        self.widen(self.value(reference, y, leg));
    }

    /// Its value with the sources of a leg's start and a rest that stands still.
    fn value(&self, reference: &Reference<'_, '_>, y: &DVector<f64>, leg: &Leg) -> f64 {
        let rows = &reference.reduced.rows;
        along(&rows.state, self.row, y.as_slice())
            + along(&rows.sources, self.row, leg.sources.as_slice())
            + along(&rows.slopes, self.row, leg.slopes.as_slice())
    }

    fn widen(&mut self, value: f64) {
        self.seen = (self.seen.0.min(value), self.seen.1.max(value));
    }
}

/// The probes that feel a bent rest's rate.
pub(super) fn felt(reference: &Reference<'_, '_>) -> Vec<Felt> {
    let excess = &reference.reduced.rows.excess;
    let least = NOTHING * excess.amax();
    let row = |made: &Made| match made {
        Made::Row(row) if excess.row(*row).amax() > least => Some(*row),
        _ => None,
    };
    let felt = |row| Felt { row, seen: (f64::INFINITY, f64::NEG_INFINITY), swing: 0.0, rounding: 0.0 };
    let mut rows: Vec<usize> = reference.reduced.made.iter().filter_map(row).collect();
    rows.sort_unstable();
    rows.dedup();
    rows.into_iter().map(felt).collect()
}

impl<'e, 'n> Semilinear<'_, 'e, 'n> {
    /// Begins a walk. What was felt in the last one tells how far each swings.
    pub(super) fn feel_anew(&mut self) {
        for felt in &mut self.felt {
            felt.swing = felt.swing.max(felt.seen.1 - felt.seen.0);
            felt.seen = (f64::INFINITY, f64::NEG_INFINITY);
        }
    }

    /// Notes the rounding to expect near a point.
    pub(super) fn feel_rounding(&mut self, reference: &Reference<'e, 'n>, leg: &Leg, point: &Point) {
        let rows = &reference.reduced.rows;
        for felt in &mut self.felt {
            let sum = |matrix: &nalgebra::DMatrix<f64>, x: &[f64]| -> f64 {
                matrix.row(felt.row).iter().zip(x).map(|(a, x)| (a * x).abs()).sum()
            };
            let size = sum(&rows.state, point.y.as_slice())
                + sum(&rows.sources, leg.sources.as_slice())
                + sum(&rows.slopes, leg.slopes.as_slice());
            felt.rounding = felt.rounding.max(ROUNDING * size);
        }
    }

    /// Notes the values where a step ends, the rest changing at some rate there.
    pub(super) fn feel(&mut self, reference: &Reference<'e, 'n>, leg: &Leg, end: &Point, rate: &[f64]) {
        let rows = &reference.reduced.rows;
        for felt in &mut self.felt {
            let moved = along(&rows.sources, felt.row, leg.slopes.as_slice()) * end.at;
            felt.widen(felt.value(reference, &end.y, leg) + moved + along(&rows.excess, felt.row, rate));
        }
    }

    /// By how much of what is allowed a probe is off at most when the rates of the rests are off by so much; each of `offs` holds one a port.
    pub(super) fn strain(&self, reference: &Reference<'e, 'n>, offs: &[f64]) -> f64 {
        let excess = &reference.reduced.rows.excess;
        let (entries, height, ports) = (excess.as_slice(), excess.nrows(), excess.ncols());
        let allowed = |felt: &Felt| {
            let swing = felt.swing.max(felt.seen.1 - felt.seen.0);
            (self.tolerances.drawing * swing).max(felt.rounding).max(f64::MIN_POSITIVE)
        };
        if ports == 1 {
            let most = offs.iter().fold(0.0f64, |most, off| most.max(off.abs()));
            let weight = self.felt.iter().map(|felt| entries[felt.row].abs() / allowed(felt));
            return most * weight.fold(0.0, f64::max);
        }
        let strain = |felt: &Felt, off: &[f64]| {
            let row = entries[felt.row..].iter().step_by(height).zip(off);
            row.map(|(excess, off)| (excess * off).abs()).sum::<f64>() / allowed(felt)
        };
        let all =
            self.felt.iter().flat_map(|felt| offs.chunks_exact(ports).map(move |off| strain(felt, off)));
        all.fold(0.0, f64::max)
    }
}
