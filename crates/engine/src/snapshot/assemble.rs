//! The matrix of a snapshot.

use super::{Line, Slopes, layout};
use crate::equations::{Equations, stamp_conductance, stamp_current, stamp_transconductance, stamp_voltage};
use crate::linear::{Assembly, Stamp};
use crate::structure::Storage;

pub(super) fn assemble(
    equations: &Equations<'_>,
    storage: &Storage,
    lines: &[Line],
    slopes: &Slopes,
    matrix: &mut Assembly<f64>,
) {
    let layout = layout(equations);
    let mut replaced = vec![false; layout.size];
    storage.cuts.iter().for_each(|cut| replaced[cut.node - 1] = true);
    storage.loops.iter().for_each(|bound| replaced[layout.capacitors + bound.capacitor] = true);
    let mut kept = Kept { matrix, replaced: &replaced };
    for (ends, conductance) in &equations.resistors {
        stamp_conductance(*ends, *conductance, &mut kept);
    }
    for (load, line) in equations.loads.iter().zip(lines) {
        stamp_transconductance(load.ends, load.control, line.conductance, &mut kept);
    }
    for (k, (ends, _)) in equations.voltage_sources.iter().enumerate() {
        stamp_current(*ends, layout.sources + k, 1.0, &mut kept);
        stamp_voltage(*ends, layout.sources + k, 1.0, &mut kept);
    }
    for (k, (ends, _)) in equations.inductors.iter().enumerate() {
        let row = layout.inductors + k;
        kept.add(row, row, slopes.inductances[k]);
        stamp_voltage(*ends, row, -1.0, &mut kept);
    }
    for (core, slope) in equations.cores.iter().zip(&slopes.cores) {
        core.stamp(*slope, |k| layout.inductors + k, |row, column, value| kept.add(row, column, value));
    }
    for (k, (ends, _)) in equations.capacitors.iter().enumerate() {
        stamp_current(*ends, layout.capacitors + k, 1.0, &mut kept);
        stamp_voltage(*ends, layout.capacitors + k, 1.0, &mut kept);
    }
    for cut in &storage.cuts {
        for (k, sign) in &cut.inductors {
            matrix.add(cut.node - 1, layout.inductors + k, *sign);
        }
    }
    for bound in &storage.loops {
        let row = layout.capacitors + bound.capacitor;
        matrix.add(row, row, 1.0 / slopes.capacitances[bound.capacitor]);
        for (k, sign) in &bound.capacitors {
            matrix.add(row, layout.capacitors + k, -sign / slopes.capacitances[*k]);
        }
    }
}

/// Passes stamps on, those aside that fall into an equation whose derivative takes its place.
struct Kept<'a> {
    matrix: &'a mut Assembly<f64>,
    replaced: &'a [bool],
}

impl Stamp<f64> for Kept<'_> {
    fn add(&mut self, row: usize, column: usize, value: f64) {
        if !self.replaced[row] {
            self.matrix.add(row, column, value);
        }
    }
}
