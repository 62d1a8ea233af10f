//! A battery: an open-circuit voltage behind resistance, inductance and perhaps slow pairs.

mod cells;
mod checks;
mod condition;
mod facts;
pub mod published;

use crate::chemistry::Chemistry;
use crate::fact::Fact;
use crate::mistake::{Checks, Mistake};
use crate::remark::Remark;

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
    /// Capacity of the pack in coulomb.
    pub capacity: Option<f64>,
    /// Greatest lasting current over the one that empties the pack in an hour.
    pub discharge_rating: Option<f64>,
    /// Resistance of the pack in ohm.
    pub resistance: Option<f64>,
    /// Resistance of one cell in ohm.
    pub cell_resistance: Option<f64>,
    /// Whether resistances and slow pairs follow the published model of a cell.
    pub published: bool,
    /// Temperature of the cells in kelvin.
    pub temperature: Option<f64>,
    /// Times by which resistances have grown since new.
    pub wear: Option<f64>,
    /// Voltage in volt of one full cell at rest.
    pub full_voltage: Option<f64>,
    /// Voltage in volt to which one cell may be charged.
    pub charge_limit: Option<f64>,
    /// Voltage in volt under which one cell must not go.
    pub cutoff_voltage: Option<f64>,
    /// Inductance of the pack in henry.
    pub inductance: Option<f64>,
    /// Resistance in ohm of the slow pair, in series with the pack.
    pub polarisation_resistance: Option<f64>,
    /// Capacitance in farad across it.
    pub polarisation_capacitance: Option<f64>,
    /// Resistance in ohm of a second slow pair.
    pub polarisation_resistance_2: Option<f64>,
    /// Capacitance in farad across it.
    pub polarisation_capacitance_2: Option<f64>,
}

/// The electrical equivalent, all in series: voltage, resistance, inductance, and slow pairs (resistance ‖ capacitance).
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Open-circuit voltage in volt.
    pub voltage: f64,
    /// Resistance in ohm; 0 is none.
    pub resistance: f64,
    /// Inductance in henry; 0 is none.
    pub inductance: f64,
    /// Resistance in ohm and capacitance in farad of each slow pair.
    pub slow_pairs: Vec<(f64, f64)>,
    /// What its cells withstand.
    pub limits: Limits,
    /// Mass in kilogram, where the capacity is known.
    pub mass: Option<f64>,
    /// What its values come to.
    pub facts: Vec<Fact>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// What the user should know.
    pub remarks: Vec<Remark>,
}

/// What a battery and its cells withstand.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limits {
    /// Cells in series; 0 where they are not known.
    pub cells: f64,
    /// Voltage of the full pack in volt; 0 where it is not known.
    pub full_voltage: f64,
    /// Voltage in volt to which one cell may be charged.
    pub charge_limit: Option<f64>,
    /// Voltage in volt under which one cell must not go.
    pub cutoff_voltage: Option<f64>,
    /// State of charge as a fraction, where it is known.
    pub charge: Option<f64>,
    /// Greatest lasting current in ampere.
    pub current: Option<f64>,
}

/// What is said while an equivalent is worked out.
#[derive(Default)]
struct Said {
    assumptions: Vec<String>,
    remarks: Vec<Remark>,
}

/// What a pack's values come to: voltage, resistance, inductance and slow pairs.
struct Electrical {
    voltage: f64,
    resistance: f64,
    inductance: f64,
    slow_pairs: Vec<(f64, f64)>,
}

impl Battery {
    /// The equivalent, or every mistake.
    ///
    /// # Errors
    /// Values that contradict each other or physics.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        self.check(&mut checks);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let mut said = Said::default();
        let stated_pairs = [
            (self.polarisation_resistance, self.polarisation_capacitance),
            (self.polarisation_resistance_2, self.polarisation_capacitance_2),
        ];
        let stated_pairs = stated_pairs
            .into_iter()
            .filter_map(|(resistance, capacitance)| resistance.filter(|&value| value > 0.0).zip(capacitance));
        let mut electrical = match (self.emf, self.cells) {
            (Some(voltage), _) => Electrical {
                voltage,
                resistance: self.resistance.unwrap_or(0.0),
                inductance: self.inductance.unwrap_or(0.0),
                slow_pairs: Vec::new(),
            },
            (None, cells) => self.of_cells(cells.unwrap_or(1.0), &mut said),
        };
        electrical.slow_pairs.extend(stated_pairs);
        let limits = self.limits();
        let mass = self.mass();
        let facts = self.facts(&electrical, &limits);
        let Electrical { voltage, resistance, inductance, slow_pairs } = electrical;
        let Said { assumptions, remarks } = said;
        Ok(Equivalent {
            voltage,
            resistance,
            inductance,
            slow_pairs,
            limits,
            mass,
            facts,
            assumptions,
            remarks,
        })
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
