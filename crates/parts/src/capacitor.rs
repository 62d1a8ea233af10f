//! A capacitor: its charge law with series resistance, series inductance and leakage.

mod checks;
pub mod dielectric;
pub mod electrolytic;
mod facts;
mod law;
pub mod life;
mod losses;
pub mod material;

use crate::charge_law::ChargeLaw;
use crate::fact::Fact;
use crate::mistake::{Checks, Mistake};
use crate::remark::Remark;
use dielectric::Dielectric;
use life::Life;
use material::Material;

/// Share of a class-2 ceramic's capacitance that no voltage takes away, where nothing is said.
pub const DEFAULT_FLOOR: f64 = 0.1;
/// The half voltage of a class-2 ceramic over its rated voltage, where nothing is said: with the floor, 40 % are left at the rated
/// voltage, and 10 uF 6.3 V parts lose half at 5 V, as two public engineering notes say (40 to 50 % left; 50 to 70 % lost).
pub const USUAL_HALF_VOLTAGE: f64 = 0.7;
/// Surge over rated voltage of electrolytic capacitors up to 315 V, for 30 s at a time (IEC 60384-4, from memory).
pub const SURGE: f64 = 1.15;
/// Temperature in kelvin at which data sheets state values, 20 degC.
pub const REFERENCE_TEMPERATURE: f64 = 293.15;

/// What a loss factor stands for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LossModel {
    /// A resistance in series.
    #[default]
    Series,
    /// A resistance across the capacitance.
    Parallel,
}

/// What is said of a capacitor.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Capacitor {
    /// Capacitance at zero voltage in farad.
    pub capacitance: Option<f64>,
    /// What it is made of.
    pub material: Option<Material>,
    /// Equivalent series resistance in ohm, new and at [`REFERENCE_TEMPERATURE`].
    pub esr: Option<f64>,
    /// Loss factor (tan delta).
    pub loss_factor: Option<f64>,
    /// Frequency in hertz at which that holds.
    pub loss_frequency: Option<f64>,
    /// What it stands for.
    pub loss_model: LossModel,
    /// Equivalent series inductance in henry.
    pub esl: Option<f64>,
    /// Resistance of the leakage in ohm, across the charge.
    pub leakage: Option<f64>,
    /// Greatest voltage in volt.
    pub rated: Option<f64>,
    /// Greatest voltage in volt for some seconds.
    pub surge: Option<f64>,
    /// Greatest rms ripple current in ampere.
    pub ripple_rating: Option<f64>,
    /// Kelvins by which that warms the core.
    pub core_rise: Option<f64>,
    /// Temperature of the air around it in kelvin.
    pub temperature: Option<f64>,
    /// Times by which the series resistance has grown since new.
    pub age: Option<f64>,
    /// Promised life in seconds.
    pub life: Option<f64>,
    /// Temperature of that life in kelvin.
    pub life_temperature: Option<f64>,
    /// Voltage in volt at which half of what can be lost is lost (class-2 ceramics).
    pub half_voltage: Option<f64>,
    /// Fraction of the capacitance that is never lost.
    pub floor: Option<f64>,
    /// Capacitance in farad by voltage in volt; empty where there is no table.
    pub table: Vec<(f64, f64)>,
    /// The code of a class-2 dielectric.
    pub dielectric: Option<Dielectric>,
}

/// The electrical equivalent: (charge ‖ leakage), resistance and inductance in series.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Law of the charge.
    pub law: ChargeLaw,
    /// Series resistance in ohm; 0 is none.
    pub esr: f64,
    /// Series inductance in henry; 0 is none.
    pub esl: f64,
    /// Resistance across the charge in ohm; `None` is none.
    pub leakage: Option<f64>,
    /// Whether it has a plus and a minus.
    pub polarised: bool,
    /// Greatest voltage in volt for some seconds, where it is above the rated one.
    pub surge: Option<f64>,
    /// What is known of its life.
    pub life: Life,
    /// What its values come to.
    pub facts: Vec<Fact>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// What the user should know.
    pub remarks: Vec<Remark>,
}

/// What is said while an equivalent is worked out.
#[derive(Default)]
struct Said {
    assumptions: Vec<String>,
    remarks: Vec<Remark>,
}

impl Capacitor {
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
        let law = self.law(&mut said)?;
        let capacitance = law.capacitance(0.0);
        let esr = self.series_resistance(capacitance, &mut said);
        let parallel = self.parallel_resistance(capacitance, &mut said);
        let leakage = match (self.leakage, parallel) {
            (Some(one), Some(other)) => Some(1.0 / (1.0 / one + 1.0 / other)),
            (one, other) => one.or(other),
        };
        if self.rated.is_none() {
            said.assumptions.push("no `rated` voltage given, so it is not checked".to_owned());
        }
        self.tell_of_the_dielectric(&mut said);
        let polarised = match self.material {
            Some(kind) => kind.is_polarised(),
            // A value that falls with voltage is a ceramic's; everything else may be an electrolytic.
            None => law.is_linear() && self.dielectric.is_none(),
        };
        let surge = self.surge.or_else(|| {
            let rated = self.rated.filter(|_| self.material == Some(Material::Electrolytic))?;
            Some(SURGE * rated)
        });
        let mut equivalent = Equivalent {
            law,
            esr,
            esl: self.esl.unwrap_or(0.0),
            leakage,
            polarised,
            surge,
            life: self.life_of(),
            facts: Vec::new(),
            assumptions: said.assumptions,
            remarks: said.remarks,
        };
        equivalent.facts = self.facts(&equivalent, capacitance);
        Ok(equivalent)
    }

    fn life_of(&self) -> Life {
        let rise = self.core_rise.zip(self.ripple_rating).map_or(0.0, |(rise, rated)| rise / (rated * rated));
        Life {
            surroundings: self.temperature.unwrap_or(REFERENCE_TEMPERATURE),
            promised: self.life.zip(self.life_temperature),
            // Heat grows as the resistance does.
            rise_by_square_ampere: rise * self.age.unwrap_or(1.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn impedance_of_a_real_capacitor() {
        // |ESR + j w ESL + 1/(j w C)| of 470 uF, 30 mohm, 10 nH, from the definition.
        let part = Capacitor {
            capacitance: Some(470e-6),
            esr: Some(30e-3),
            esl: Some(10e-9),
            ..Capacitor::default()
        };
        let equivalent = part.equivalent().unwrap();
        for (frequency, milliohm) in [(1e3, 339.89), (10e3, 44.772), (1e6, 69.321)] {
            let omega = 2.0 * std::f64::consts::PI * frequency;
            let reactance = omega * equivalent.esl - 1.0 / (omega * equivalent.law.capacitance(0.0));
            assert!((equivalent.esr.hypot(reactance) * 1e3 / milliohm - 1.0).abs() < 1e-4);
        }
    }

    #[test]
    fn ceramics_get_a_floor() {
        let part = Capacitor { capacitance: Some(10e-6), half_voltage: Some(4.0), ..Capacitor::default() };
        let equivalent = part.equivalent().unwrap();
        assert!((equivalent.law.capacitance(1e9) - 1e-6).abs() < 1e-15);
        assert_eq!(equivalent.assumptions[0], "10 % of the capacitance are left at any voltage");
        // Neither resistance nor rating is given.
        assert_eq!(equivalent.assumptions.len(), 3);
    }

    #[test]
    fn impossible_values_are_all_told() {
        let part =
            Capacitor { capacitance: Some(-1e-6), esr: Some(-1.0), floor: Some(2.0), ..Capacitor::default() };
        let properties: Vec<_> =
            part.equivalent().unwrap_err().iter().map(|mistake| mistake.property).collect();
        assert_eq!(properties, ["capacitance", "esr", "floor", "floor"]);
    }
}
