//! A battery: an open-circuit voltage behind resistance, inductance and perhaps a slow pair.

use crate::chemistry::Chemistry;
use crate::mistake::{Checks, Mistake, shown, with_unit};

/// Inductance in henry of one cell with its links: some 3 to 5 cm of path (from memory).
pub const CELL_INDUCTANCE: f64 = 30e-9;

/// What is said of a battery.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Battery {
    /// Open-circuit voltage of the pack in volt.
    pub emf: Option<f64>,
    /// Cells in series.
    pub cells: Option<f64>,
    /// Strings of cells in parallel.
    pub parallel: Option<f64>,
    /// Chemistry of the cells.
    pub chemistry: Option<Chemistry>,
    /// State of charge as a fraction.
    pub charge: Option<f64>,
    /// Resistance of the pack in ohm.
    pub resistance: Option<f64>,
    /// Resistance of one cell in ohm.
    pub cell_resistance: Option<f64>,
    /// Inductance of the pack in henry.
    pub inductance: Option<f64>,
    /// Resistance in ohm of the slow pair, in series with the pack.
    pub polarisation_resistance: Option<f64>,
    /// Capacitance in farad across it.
    pub polarisation_capacitance: Option<f64>,
}

/// The electrical equivalent, all in series: voltage, resistance, inductance, (slow resistance ‖ slow capacitance).
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Open-circuit voltage in volt.
    pub voltage: f64,
    /// Resistance in ohm; 0 is none.
    pub resistance: f64,
    /// Inductance in henry; 0 is none.
    pub inductance: f64,
    /// Resistance in ohm and capacitance in farad of the slow pair.
    pub slow_pair: Option<(f64, f64)>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Battery {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.whole("cells", self.cells);
        checks.whole("parallel", self.parallel);
        checks.fraction("charge", self.charge);
        checks.not_negative("resistance", self.resistance);
        checks.not_negative("cell_resistance", self.cell_resistance);
        checks.not_negative("inductance", self.inductance);
        checks.not_negative("polarisation_resistance", self.polarisation_resistance);
        checks.positive("polarisation_capacitance", self.polarisation_capacitance);
        self.check_voltage(&mut checks);
        self.check_resistance(&mut checks);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let mut assumptions = Vec::new();
        let slow_pair = self
            .polarisation_resistance
            .filter(|&resistance| resistance > 0.0)
            .zip(self.polarisation_capacitance);
        let (voltage, resistance, inductance) = match (self.emf, self.cells) {
            (Some(emf), _) => (emf, self.resistance.unwrap_or(0.0), self.inductance.unwrap_or(0.0)),
            (None, cells) => self.of_cells(cells.unwrap_or(1.0), &mut assumptions),
        };
        Ok(Equivalent { voltage, resistance, inductance, slow_pair, assumptions })
    }

    fn of_cells(&self, cells: f64, assumptions: &mut Vec<String>) -> (f64, f64, f64) {
        let strings = self.parallel.unwrap_or(1.0);
        let chemistry = self.chemistry.unwrap_or_else(|| {
            assumptions.push("the chemistry is li_ion".to_owned());
            Chemistry::LithiumIon
        });
        let charge = self.charge.unwrap_or_else(|| {
            assumptions.push("the battery is full, charge 100 %".to_owned());
            1.0
        });
        let resistance = self.resistance.unwrap_or_else(|| {
            let cell = self.cell_resistance.unwrap_or_else(|| {
                let usual = chemistry.usual_resistance();
                assumptions.push(format!(
                    "each cell has {}, usual for {} in fair condition",
                    with_unit(usual, "ohm"),
                    chemistry.word()
                ));
                usual
            });
            cells * cell / strings
        });
        let inductance = self.inductance.unwrap_or_else(|| {
            let inductance = cells * CELL_INDUCTANCE / strings;
            assumptions.push(format!(
                "inductance {}, 30 nH a cell ({} in series, {} in parallel)",
                with_unit(inductance, "H"),
                shown(cells),
                shown(strings)
            ));
            inductance
        });
        (cells * chemistry.open_circuit_voltage(charge), resistance, inductance)
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
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pack() -> Battery {
        Battery {
            cells: Some(4.0),
            chemistry: Some(Chemistry::LithiumIon),
            charge: Some(0.5),
            cell_resistance: Some(22e-3),
            ..Battery::default()
        }
    }

    #[test]
    fn cells_in_series_and_parallel_add_up() {
        // Bird, Electrical and Electronic Principles and Technology, ex. 4.3: 8 cells of 0.2 ohm give 1.6 ohm in series
        // and 0.025 ohm in parallel.
        let cell = Battery { cell_resistance: Some(0.2), ..pack() };
        let series = Battery { cells: Some(8.0), ..cell }.equivalent().unwrap();
        let parallel = Battery { cells: Some(1.0), parallel: Some(8.0), ..cell }.equivalent().unwrap();
        assert!((series.resistance - 1.6).abs() < 1e-12);
        assert!((parallel.resistance - 0.025).abs() < 1e-12);
        assert!((series.voltage / parallel.voltage - 8.0).abs() < 1e-12);
    }

    #[test]
    fn a_pack_by_cells_has_inductance_and_says_so() {
        let equivalent = pack().equivalent().unwrap();
        // Four cells of Chen and Rincón-Mora's curve at half charge.
        assert!((equivalent.voltage / (4.0 * 3.803_36) - 1.0).abs() < 1e-5);
        assert!((equivalent.inductance - 120e-9).abs() < 1e-15);
        assert_eq!(equivalent.assumptions, ["inductance 120 nH, 30 nH a cell (4 in series, 1 in parallel)"]);
    }

    #[test]
    fn a_pack_by_emf_is_what_is_stated() {
        let battery = Battery { emf: Some(11.1), resistance: Some(0.05), ..Battery::default() };
        let equivalent = battery.equivalent().unwrap();
        assert_eq!((equivalent.voltage, equivalent.resistance, equivalent.inductance), (11.1, 0.05, 0.0));
        assert!(equivalent.assumptions.is_empty());
    }

    #[test]
    fn contradictions_are_all_told() {
        let battery = Battery {
            emf: Some(12.0),
            resistance: Some(0.1),
            polarisation_resistance: Some(0.01),
            charge: Some(1.2),
            ..pack()
        };
        let properties: Vec<_> =
            battery.equivalent().unwrap_err().into_iter().map(|mistake| mistake.property).collect();
        let expected = ["charge", "emf", "resistance", "cell_resistance", "polarisation_resistance"];
        assert_eq!(properties, expected);
        assert_eq!(Battery::default().equivalent().unwrap_err()[0].property, "cells");
    }
}
