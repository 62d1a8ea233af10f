//! Values of a capacitor that contradict each other or physics.

use super::Capacitor;
use super::material::Material;
use crate::mistake::{Checks, with_unit};

impl Capacitor {
    pub(super) fn check(&self, checks: &mut Checks) {
        for (property, value) in [
            ("capacitance", self.capacitance),
            ("loss_frequency", self.loss_frequency),
            ("leakage", self.leakage),
            ("rated", self.rated),
            ("surge", self.surge),
            ("ripple_rating", self.ripple_rating),
            ("temperature", self.temperature),
            ("age", self.age),
            ("life", self.life),
            ("life_temperature", self.life_temperature),
            ("half_voltage", self.half_voltage),
        ] {
            checks.positive(property, value);
        }
        checks.not_negative("esr", self.esr);
        checks.not_negative("loss_factor", self.loss_factor);
        checks.not_negative("esl", self.esl);
        checks.not_negative("core_rise", self.core_rise);
        checks.fraction("floor", self.floor);
        if self.floor == Some(0.0) {
            checks.add(
                "floor",
                "`floor` is 0 %, which would let the capacitance vanish",
                "ceramics keep 10 % or more; give a value above 0 %",
            );
        }
        if self.floor.is_some() && self.half_voltage.is_none() {
            checks.add(
                "floor",
                "`floor` is given without `half_voltage`",
                "add `half_voltage`, the voltage at which half of what can be lost is lost; or take `floor` away",
            );
        }
        if let Some((rated, surge)) = self.rated.zip(self.surge).filter(|(rated, surge)| surge < rated) {
            checks.add(
                "surge",
                format!("`surge` {} is below `rated` {}", with_unit(surge, "V"), with_unit(rated, "V")),
                "the surge voltage is what it withstands for seconds, above what it is rated for",
            );
        }
        self.check_type(checks);
        self.check_table(checks);
    }

    /// Only class-2 ceramics lose capacitance with voltage and have a code of three characters.
    fn check_type(&self, checks: &mut Checks) {
        let Some(kind) = self.material.filter(|kind| *kind != Material::CeramicClass2) else { return };
        let given = [
            ("half_voltage", self.half_voltage.is_some()),
            ("capacitance_table", !self.table.is_empty()),
            ("dielectric", self.dielectric.is_some()),
        ];
        for (property, _) in given.into_iter().filter(|(_, is_given)| *is_given) {
            checks.add(
                property,
                format!("`{property}` is said of a `{}`, but only class-2 ceramics have it", kind.word()),
                format!("give `type {}`, or take `{property}` away", Material::CeramicClass2.word()),
            );
        }
    }

    fn check_table(&self, checks: &mut Checks) {
        let Some((first, _)) = self.table.first() else {
            if self.capacitance.is_none() {
                checks.add(
                    "capacitance",
                    "nothing says what capacitance this is",
                    "give `capacitance 330 uF`, or `capacitance_table`",
                );
            }
            return;
        };
        if *first != 0.0 && self.capacitance.is_none() {
            checks.add(
                "capacitance_table",
                format!("the table begins at {}, and nothing says what holds at 0 V", with_unit(*first, "V")),
                "begin with `0 V: …`, or give `capacitance`, which is the value at 0 V",
            );
        }
    }
}
