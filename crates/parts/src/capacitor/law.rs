//! How a capacitor's charge follows its voltage: straight, by half voltage, or by table.

use super::material::Material;
use super::{Capacitor, DEFAULT_FLOOR, Said, USUAL_HALF_VOLTAGE};
use crate::charge_law::ChargeLaw;
use crate::mistake::{Mistake, shown, with_unit};
use crate::remark::Remark;

impl Capacitor {
    pub(super) fn law(&self, said: &mut Said) -> Result<ChargeLaw, Vec<Mistake>> {
        if !self.table.is_empty() {
            return self.law_by_table(said);
        }
        let capacitance = self.capacitance.unwrap_or_default();
        let Some(half_voltage) = self.half_voltage.or_else(|| self.usual_half_voltage(said)) else {
            return Ok(ChargeLaw::Linear { capacitance });
        };
        let floor = self.floor.unwrap_or_else(|| {
            said.assumptions.push(format!(
                "{} % of the capacitance are left at any voltage",
                shown(DEFAULT_FLOOR * 100.0)
            ));
            DEFAULT_FLOOR
        });
        Ok(ChargeLaw::Ceramic { capacitance, half_voltage, floor })
    }

    /// Of a part that is said to be a class-2 ceramic, and of which nothing says how its value falls.
    fn usual_half_voltage(&self, said: &mut Said) -> Option<f64> {
        let class_2 = self.material == Some(Material::CeramicClass2) || self.dielectric.is_some();
        if !class_2 {
            return None;
        }
        let Some(rated) = self.rated else {
            said.remarks.push(Remark::new(
                "ceramic_without_bias",
                "a class-2 ceramic loses half of its capacitance or more at its rated voltage, and nothing says how much; give `half_voltage` or `capacitance_table` from its data sheet, or `rated` for a usual fall",
            ));
            return None;
        };
        let half = USUAL_HALF_VOLTAGE * rated;
        said.assumptions.push(format!(
            "its capacitance falls as is usual for class-2 ceramics, half_voltage {} for {} rated: makers' curves differ by 15 points and more",
            with_unit(half, "V"),
            with_unit(rated, "V")
        ));
        Some(half)
    }

    /// The table as it stands, or scaled to the capacitance at 0 V.
    fn law_by_table(&self, said: &mut Said) -> Result<ChargeLaw, Vec<Mistake>> {
        let mut points = self.table.clone();
        match (self.capacitance, points.first().copied()) {
            (Some(capacitance), Some((0.0, value))) => {
                let scale = capacitance / value;
                if (scale - 1.0).abs() > 1e-9 {
                    said.assumptions.push(format!(
                        "the table is scaled by {}, from {} to {} at 0 V",
                        shown(scale),
                        with_unit(value, "F"),
                        with_unit(capacitance, "F")
                    ));
                }
                points.iter_mut().for_each(|(_, value)| *value *= scale);
            }
            (Some(capacitance), _) => points.insert(0, (0.0, capacitance)),
            (None, _) => {}
        }
        ChargeLaw::table(&points).ok_or_else(|| {
            vec![Mistake::new(
                "capacitance_table",
                "the table's voltages must rise from 0 V, and its capacitances be above 0",
                "write `[0 V: 10 uF, 5 V: 4 uF]`",
            )]
        })
    }
}
