//! What a battery's values come to.

use super::{Battery, Electrical, Limits};
use crate::chemistry::Chemistry;
use crate::fact::Fact;
use quantity::Dimension;

/// Joules in a watt-hour.
const WATT_HOUR: f64 = 3600.0;

impl Battery {
    /// Energy in joule of the full pack at its nominal voltage.
    fn energy(&self) -> Option<f64> {
        let chemistry = self.chemistry.unwrap_or(Chemistry::LithiumIon);
        let voltage = self.emf.or(self.cells.map(|cells| cells * chemistry.nominal_voltage()))?;
        Some(self.capacity? * voltage)
    }

    /// Mass in kilogram of the cells by the energy density that is usual for the chemistry.
    pub(super) fn mass(&self) -> Option<f64> {
        let chemistry = self.chemistry.unwrap_or(Chemistry::LithiumIon);
        Some(self.energy()? / WATT_HOUR / chemistry.energy_density())
    }

    pub(super) fn facts(&self, electrical: &Electrical, limits: &Limits) -> Vec<Fact> {
        let mut facts = vec![
            Fact::new("open_circuit_voltage", electrical.voltage, Dimension::VOLTAGE),
            Fact::new("resistance", electrical.resistance, Dimension::RESISTANCE),
            Fact::new("inductance", electrical.inductance, Dimension::INDUCTANCE),
        ];
        if let Some(cells) = self.cells {
            let strings = self.parallel.unwrap_or(1.0);
            facts.extend([
                Fact::new("cell_voltage", electrical.voltage / cells, Dimension::VOLTAGE),
                Fact::new("cell_resistance", electrical.resistance * strings / cells, Dimension::RESISTANCE),
                Fact::new("full_pack_voltage", limits.full_voltage, Dimension::VOLTAGE),
            ]);
            let cutoff = limits.cutoff_voltage.map(|cutoff| cells * cutoff);
            facts.extend(cutoff.map(|volt| Fact::new("cutoff_pack_voltage", volt, Dimension::VOLTAGE)));
        }
        const NAMES: [[&str; 3]; 2] = [
            ["polarisation_resistance", "polarisation_capacitance", "time_constant"],
            ["polarisation_resistance_2", "polarisation_capacitance_2", "time_constant_2"],
        ];
        for (&(resistance, capacitance), names) in electrical.slow_pairs.iter().zip(NAMES) {
            facts.extend([
                Fact::new(names[0], resistance, Dimension::RESISTANCE),
                Fact::new(names[1], capacitance, Dimension::CAPACITANCE),
                Fact::new(names[2], resistance * capacitance, Dimension::TIME),
            ]);
        }
        facts.extend(self.capacity.map(|capacity| Fact::new("capacity", capacity, Dimension::CHARGE)));
        facts.extend(self.energy().map(|energy| Fact::new("energy", energy, Dimension::ENERGY)));
        facts
            .extend(limits.current.map(|current| Fact::new("greatest_current", current, Dimension::CURRENT)));
        facts
    }
}
