//! Values of a battery that contradict each other or physics.

use super::Battery;
use crate::chemistry::Chemistry;
use crate::mistake::{Checks, shown, with_unit};

impl Battery {
    pub(super) fn check(&self, checks: &mut Checks) {
        checks.whole("cells", self.cells);
        checks.whole("parallel", self.parallel);
        checks.fraction("charge", self.charge);
        checks.not_negative("resistance", self.resistance);
        checks.not_negative("cell_resistance", self.cell_resistance);
        checks.not_negative("inductance", self.inductance);
        checks.not_negative("polarisation_resistance", self.polarisation_resistance);
        checks.positive("polarisation_capacitance", self.polarisation_capacitance);
        checks.not_negative("polarisation_resistance_2", self.polarisation_resistance_2);
        checks.positive("polarisation_capacitance_2", self.polarisation_capacitance_2);
        for (property, value) in [
            ("capacity", self.capacity),
            ("discharge_rating", self.discharge_rating),
            ("temperature", self.temperature),
            ("wear", self.wear),
            ("full_voltage", self.full_voltage),
            ("charge_limit", self.charge_limit),
            ("cutoff_voltage", self.cutoff_voltage),
        ] {
            checks.positive(property, value);
        }
        self.check_voltage(checks);
        self.check_resistance(checks);
        self.check_cells(checks);
    }

    fn check_voltage(&self, checks: &mut Checks) {
        match (self.emf, self.cells) {
            (Some(_), Some(_)) => checks.add(
                "emf",
                "both `emf` and `cells` are given, and each fixes the voltage",
                "keep `emf` for a known voltage, or `cells` with `chemistry` and `charge`",
            ),
            (None, None) => checks.add(
                "cells",
                "nothing says what voltage this battery has",
                "give `cells 4, chemistry li_ion, charge 60 %`, or `emf 14.8 V`",
            ),
            _ => {}
        }
    }

    fn check_resistance(&self, checks: &mut Checks) {
        if self.resistance.is_some() && self.cell_resistance.is_some() {
            checks.add(
                "resistance",
                "both `resistance` and `cell_resistance` are given",
                "keep `resistance` for the whole pack or `cell_resistance` for each cell",
            );
        }
        if self.emf.is_some() && self.cell_resistance.is_some() {
            checks.add(
                "cell_resistance",
                "`cell_resistance` needs the number of cells, but the battery is given by `emf`",
                "give the whole pack's `resistance` instead",
            );
        }
        if self.polarisation_resistance.is_some() != self.polarisation_capacitance.is_some() {
            checks.add(
                "polarisation_resistance",
                "the slow pair is given by one half",
                "give both `polarisation_resistance` and `polarisation_capacitance`, or neither",
            );
        }
    }

    /// What is said of one cell against its chemistry.
    fn check_cells(&self, checks: &mut Checks) {
        let chemistry = self.chemistry.unwrap_or(Chemistry::LithiumIon);
        if self.published && !matches!(chemistry, Chemistry::LithiumIon | Chemistry::LithiumPolymer) {
            checks.add(
                "cell_model",
                format!(
                    "the published model is that of a lithium-polymer cell, not of `{}`",
                    chemistry.word()
                ),
                "take `chemistry li_po` or `li_ion`, or give `cell_resistance` and leave `cell_model` out",
            );
        }
        let curve = chemistry.open_circuit_voltage(1.0);
        // The correction adds to the curve near its end alone: more than a few tenths are another chemistry.
        if let Some(full) = self.full_voltage.filter(|full| (full / curve - 1.0).abs() > 0.1) {
            checks.add(
                "full_voltage",
                format!(
                    "a full cell of {} has about {} V, not {} V",
                    chemistry.word(),
                    shown(curve),
                    shown(full)
                ),
                "give the voltage of one cell, not of the pack, or another `chemistry`",
            );
        }
        let (limit, cutoff) = self.cell_limits();
        if cutoff >= limit {
            checks.add(
                "cutoff_voltage",
                format!(
                    "`cutoff_voltage` {} is not below `charge_limit` {}",
                    with_unit(cutoff, "V"),
                    with_unit(limit, "V")
                ),
                "both are voltages of one cell",
            );
        }
    }
}
