//! Voltage and resistance of a pack by its cells.

use super::published::Elements;
use super::{Battery, CELL_INDUCTANCE, Electrical, Limits, Said, condition};
use crate::chemistry::Chemistry;
use crate::mistake::{shown, with_unit};

/// Coulombs in an ampere-hour.
const AMPERE_HOUR: f64 = 3600.0;

impl Battery {
    pub(super) fn of_cells(&self, cells: f64, said: &mut Said) -> Electrical {
        let strings = self.parallel.unwrap_or(1.0);
        let chemistry = self.chemistry.unwrap_or_else(|| {
            said.assumptions.push("the chemistry is li_ion".to_owned());
            Chemistry::LithiumIon
        });
        let charge = self.charge.unwrap_or_else(|| {
            said.assumptions.push("the battery is full, charge 100 %".to_owned());
            1.0
        });
        let factor = self.wear.unwrap_or(1.0) * self.temperature_factor(chemistry, said);
        let published = self.published.then(|| self.elements(charge, said));
        let cell = self.resistance_of_a_cell(chemistry, published.as_ref(), said);
        let resistance = match self.resistance {
            Some(resistance) => resistance * factor * published_share(self.published, charge),
            None => cells * cell * factor / strings,
        };
        if let Some(cell) = self.cell_resistance {
            condition::tell(chemistry, cell * self.wear.unwrap_or(1.0), self.cell_capacity(), said);
        }
        let slow_pairs = published.map_or_else(Vec::new, |elements| {
            elements
                .slow_pairs
                .map(|(r, c)| (cells * r * factor / strings, c * strings / cells / factor))
                .to_vec()
        });
        let inductance = self.inductance.unwrap_or_else(|| {
            let inductance = cells * CELL_INDUCTANCE / strings;
            said.assumptions.push(format!(
                "inductance {}, 30 nH a cell ({} in series, {} in parallel)",
                with_unit(inductance, "H"),
                shown(cells),
                shown(strings)
            ));
            inductance
        });
        Electrical {
            voltage: cells * self.cell_voltage(chemistry, charge),
            resistance,
            inductance,
            slow_pairs,
        }
    }

    /// Open-circuit voltage in volt of one cell, the curve's end drawn to the stated voltage of a full cell.
    ///
    /// The difference at full charge is spread with the fifth power of the charge (own choice: at half charge 3 % of it are left).
    pub(super) fn cell_voltage(&self, chemistry: Chemistry, charge: f64) -> f64 {
        let more = self.full_voltage.map_or(0.0, |full| full - chemistry.open_circuit_voltage(1.0));
        chemistry.open_circuit_voltage(charge) + more * charge.clamp(0.0, 1.0).powi(5)
    }

    /// Capacity of one cell in ampere-hour, where that of the pack is stated.
    pub(super) fn cell_capacity(&self) -> Option<f64> {
        Some(self.capacity? / AMPERE_HOUR / self.parallel.unwrap_or(1.0))
    }

    /// Resistance in ohm of one cell before temperature and wear.
    fn resistance_of_a_cell(
        &self,
        chemistry: Chemistry,
        published: Option<&Elements>,
        said: &mut Said,
    ) -> f64 {
        if let Some(cell) = self.cell_resistance {
            return cell * published_share(self.published, self.charge.unwrap_or(1.0));
        }
        if let Some(elements) = published {
            return elements.resistance;
        }
        if self.resistance.is_some() {
            return 0.0;
        }
        let (usual, usual_capacity) = (chemistry.usual_resistance(), chemistry.usual_capacity());
        let cell = self.cell_capacity().map_or(usual, |capacity| usual * usual_capacity / capacity);
        let scaled = match self.cell_capacity() {
            None => String::new(),
            Some(capacity) => format!(", by its capacity of {} Ah", shown(capacity)),
        };
        said.assumptions.push(format!(
            "each cell has {}, usual for {} in fair condition{scaled}",
            with_unit(cell, "ohm"),
            chemistry.word()
        ));
        cell
    }

    /// The published elements of one cell at a charge, scaled to its capacity.
    fn elements(&self, charge: f64, said: &mut Said) -> Elements {
        let capacity = self.cell_capacity().unwrap_or_else(|| {
            said.assumptions.push(format!(
                "each cell has {} Ah, as the cell of the published model",
                shown(super::published::CAPACITY)
            ));
            super::published::CAPACITY
        });
        if charge < super::published::LEAST_CHARGE {
            said.assumptions.push(format!(
                "resistances are those at {} % charge, below which the published model has none",
                shown(super::published::LEAST_CHARGE * 100.0)
            ));
        }
        if self.cell_resistance.or(self.resistance).is_some() {
            said.assumptions.push(
                "the stated resistance is taken as that at half charge, and follows the published model"
                    .to_owned(),
            );
        }
        Elements::at(charge).scaled_to(capacity)
    }

    /// Times by which cold or warmth changes the resistances.
    fn temperature_factor(&self, chemistry: Chemistry, said: &mut Said) -> f64 {
        let Some(temperature) = self.temperature else { return 1.0 };
        let factor = condition::temperature_factor(chemistry, temperature, said);
        if (factor - 1.0).abs() > 1e-9 {
            said.assumptions.push(format!(
                "at {} degC its resistance is {} times that at {} degC (from memory, to a third)",
                shown(temperature - 273.15),
                shown(factor),
                shown(condition::REFERENCE_TEMPERATURE - 273.15)
            ));
        }
        factor
    }

    /// Charge limit and cut-off in volt of one cell.
    pub(super) fn cell_limits(&self) -> (f64, f64) {
        let chemistry = self.chemistry.unwrap_or(Chemistry::LithiumIon);
        let (limit, cutoff) = chemistry.voltage_limits();
        let limit = self.charge_limit.unwrap_or_else(|| limit.max(self.full_voltage.unwrap_or(0.0)));
        (limit, self.cutoff_voltage.unwrap_or(cutoff))
    }

    pub(super) fn limits(&self) -> Limits {
        let current = self
            .capacity
            .zip(self.discharge_rating)
            .map(|(capacity, rating)| rating * capacity / AMPERE_HOUR);
        let Some(cells) = self.cells else {
            return Limits { full_voltage: self.emf.unwrap_or(0.0), current, ..Limits::default() };
        };
        let (limit, cutoff) = self.cell_limits();
        Limits {
            cells,
            full_voltage: cells * limit,
            charge_limit: Some(limit),
            cutoff_voltage: Some(cutoff),
            charge: Some(self.charge.unwrap_or(1.0)),
            current,
        }
    }
}

/// How the published resistance at a charge compares with that at half charge; 1 where the model is not asked for.
fn published_share(published: bool, charge: f64) -> f64 {
    if published { Elements::at(charge).resistance / Elements::at(0.5).resistance } else { 1.0 }
}
