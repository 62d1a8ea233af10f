//! A capacitor: its charge law with series resistance, series inductance and leakage.

use crate::charge_law::ChargeLaw;
use crate::mistake::{Checks, Mistake, shown};

/// Share of a class-2 ceramic's capacitance that no voltage takes away, where nothing is said.
pub const DEFAULT_FLOOR: f64 = 0.1;

/// What is said of a capacitor.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Capacitor {
    /// Capacitance at zero voltage in farad.
    pub capacitance: f64,
    /// Equivalent series resistance in ohm.
    pub esr: Option<f64>,
    /// Equivalent series inductance in henry.
    pub esl: Option<f64>,
    /// Resistance of the leakage in ohm, across the charge.
    pub leakage: Option<f64>,
    /// Greatest voltage in volt.
    pub rated: Option<f64>,
    /// Greatest rms ripple current in ampere.
    pub ripple_rating: Option<f64>,
    /// Voltage in volt at which half of what can be lost is lost (class-2 ceramics).
    pub half_voltage: Option<f64>,
    /// Fraction of the capacitance that is never lost.
    pub floor: Option<f64>,
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
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Capacitor {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("capacitance", Some(self.capacitance));
        checks.not_negative("esr", self.esr);
        checks.not_negative("esl", self.esl);
        checks.positive("leakage", self.leakage);
        checks.positive("rated", self.rated);
        checks.positive("ripple_rating", self.ripple_rating);
        checks.positive("half_voltage", self.half_voltage);
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
        let mut assumptions = Vec::new();
        let law = match self.half_voltage {
            None => ChargeLaw::Linear { capacitance: self.capacitance },
            Some(half_voltage) => {
                let floor = self.floor.unwrap_or_else(|| {
                    assumptions.push(format!(
                        "{} % of the capacitance are left at any voltage",
                        shown(DEFAULT_FLOOR * 100.0)
                    ));
                    DEFAULT_FLOOR
                });
                ChargeLaw::Ceramic { capacitance: self.capacitance, half_voltage, floor }
            }
        };
        if self.esr.is_none() {
            assumptions.push(
                "no `esr` given, so none is counted: real ones have some tens of milliohms, which decide at the PWM frequency"
                    .to_owned(),
            );
        }
        if self.rated.is_none() {
            assumptions.push("no `rated` voltage given, so it is not checked".to_owned());
        }
        checks.finish(|| Equivalent {
            law,
            esr: self.esr.unwrap_or(0.0),
            esl: self.esl.unwrap_or(0.0),
            leakage: self.leakage,
            assumptions,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn impedance_of_a_real_capacitor() {
        // |ESR + j w ESL + 1/(j w C)| of 470 uF, 30 mohm, 10 nH, from the definition.
        let part =
            Capacitor { capacitance: 470e-6, esr: Some(30e-3), esl: Some(10e-9), ..Capacitor::default() };
        let equivalent = part.equivalent().unwrap();
        for (frequency, milliohm) in [(1e3, 339.89), (10e3, 44.772), (1e6, 69.321)] {
            let omega = 2.0 * std::f64::consts::PI * frequency;
            let reactance = omega * equivalent.esl - 1.0 / (omega * equivalent.law.capacitance(0.0));
            assert!((equivalent.esr.hypot(reactance) * 1e3 / milliohm - 1.0).abs() < 1e-4);
        }
    }

    #[test]
    fn ceramics_get_a_floor() {
        let part = Capacitor { capacitance: 10e-6, half_voltage: Some(4.0), ..Capacitor::default() };
        let equivalent = part.equivalent().unwrap();
        assert!((equivalent.law.capacitance(1e9) - 1e-6).abs() < 1e-15);
        assert_eq!(equivalent.assumptions[0], "10 % of the capacitance are left at any voltage");
        // Neither resistance nor rating is given.
        assert_eq!(equivalent.assumptions.len(), 3);
    }

    #[test]
    fn impossible_values_are_all_told() {
        let part =
            Capacitor { capacitance: -1e-6, esr: Some(-1.0), floor: Some(2.0), ..Capacitor::default() };
        let properties: Vec<_> =
            part.equivalent().unwrap_err().iter().map(|mistake| mistake.property).collect();
        assert_eq!(properties, ["capacitance", "esr", "floor", "floor"]);
    }
}
