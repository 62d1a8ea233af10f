//! A diode: a junction with a resistance in series, or a fixed drop.

use crate::current_law::CurrentLaw;
use crate::junction::Junction;
use crate::mistake::{Checks, Mistake, shown, with_unit};
use crate::remark::Remark;

/// Boltzmann's constant in joule per kelvin: exact by the definition of the SI of 2019 (CODATA).
const BOLTZMANN: f64 = 1.380_649e-23;
/// Elementary charge in coulomb: exact by the definition of the SI of 2019 (CODATA).
const ELEMENTARY_CHARGE: f64 = 1.602_176_634e-19;
/// Temperature in kelvin where nothing is said: 25 degC.
const DEFAULT_TEMPERATURE: f64 = 298.15;
/// Saturation current in ampere where nothing is said: with the thermal voltage of 25.7 mV it drops 0.77 V at 1 A, as silicon
/// rectifiers of 1 A to 3 A do (from memory: 0.7 V to 1 V).
const DEFAULT_SATURATION: f64 = 1e-13;
/// Greatest saturation current in ampere: hot power Schottky diodes leak some milliampere (from memory).
const MOST_SATURATION: f64 = 10e-3;
/// Resistance in ohm of a fixed drop where nothing is said: common practice, no source.
const DEFAULT_SLOPE: f64 = 10e-3;
/// Conductance in siemens of a fixed drop before it conducts: a gigaohm, more than any board's.
const LEAKAGE: f64 = 1e-9;

/// What is said of a diode.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Diode {
    /// Saturation current in ampere at the diode's temperature.
    pub saturation: Option<f64>,
    /// Emission coefficient.
    pub ideality: Option<f64>,
    /// Series resistance in ohm; the slope of a fixed drop.
    pub resistance: Option<f64>,
    /// Reverse voltage in volt at which it breaks down.
    pub breakdown: Option<f64>,
    /// Temperature of the junction in kelvin.
    pub temperature: Option<f64>,
    /// Fixed forward drop in volt, instead of a junction.
    pub drop: Option<f64>,
}

/// The electrical equivalent: a law and a resistance in series, anode on the left.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Current by the voltage of anode against cathode.
    pub law: CurrentLaw,
    /// Series resistance in ohm; 0 is none.
    pub resistance: f64,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// Remarks on values outside the model's range.
    pub remarks: Vec<Remark>,
}

/// Least and greatest temperature in kelvin of a silicon junction: -55 °C and 175 °C, usual limits of data sheets (from memory).
const TEMPERATURES: [f64; 2] = [218.15, 448.15];

/// Thermal voltage `k T / q` in volt at a temperature in kelvin.
#[must_use]
pub fn thermal_voltage(temperature: f64) -> f64 {
    BOLTZMANN * temperature / ELEMENTARY_CHARGE
}

impl Diode {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("saturation", self.saturation);
        checks.positive("ideality", self.ideality);
        checks.not_negative("resistance", self.resistance);
        checks.positive("breakdown", self.breakdown);
        checks.positive("temperature", self.temperature);
        checks.not_negative("drop", self.drop);
        if let Some(saturation) = self.saturation.filter(|&saturation| saturation > MOST_SATURATION) {
            checks.add(
                "saturation",
                format!(
                    "`saturation` is {}, more than {}: no junction leaks so much",
                    with_unit(saturation, "A"),
                    with_unit(MOST_SATURATION, "A")
                ),
                "it is the leakage that the data sheet's curve begins with (picoampere to microampere), not the forward current",
            );
        }
        if self.drop.is_some() && self.resistance == Some(0.0) {
            checks.add(
                "resistance",
                "`resistance` is 0 ohm, but a fixed drop needs some slope to share its current",
                "give some milliohm, or leave `resistance` out for 10 mohm",
            );
        }
        checks.finish(|| match self.drop {
            Some(drop) => self.fixed(drop),
            None => self.junction(),
        })
    }

    /// The ideal form: next to nothing below the drop, a steep line from there.
    fn fixed(&self, voltage: f64) -> Equivalent {
        let mut assumptions = vec!["a fixed drop, which neither leaks nor breaks down in reverse".to_owned()];
        let resistance = self.resistance.unwrap_or_else(|| {
            assumptions.push(format!("resistance {} beyond the drop", with_unit(DEFAULT_SLOPE, "ohm")));
            DEFAULT_SLOPE
        });
        let law = CurrentLaw::Knee { voltage, conductance: 1.0 / resistance, leakage: LEAKAGE };
        Equivalent { law, resistance: 0.0, assumptions, remarks: Vec::new() }
    }

    fn junction(&self) -> Equivalent {
        let mut assumptions = Vec::new();
        let temperature = self.temperature.unwrap_or(DEFAULT_TEMPERATURE);
        let thermal_voltage = self.ideality.unwrap_or(1.0) * thermal_voltage(temperature);
        let saturation = self.saturation.unwrap_or_else(|| {
            assumptions.push(format!(
                "saturation {}, a silicon rectifier of {} V at 1 A",
                with_unit(DEFAULT_SATURATION, "A"),
                shown(thermal_voltage * (1.0 / DEFAULT_SATURATION).ln())
            ));
            DEFAULT_SATURATION
        });
        let law = CurrentLaw::Junction(Junction { saturation, thermal_voltage, breakdown: self.breakdown });
        let outside = !(TEMPERATURES[0]..=TEMPERATURES[1]).contains(&temperature);
        let remarks = outside.then(|| {
            let celsius = |kelvin: f64| shown(kelvin - 273.15);
            let text = format!(
                "`temperature` is {} degC, and the model is good from {} degC to {} degC: silicon junctions live there, and `saturation` is meant for the same temperature",
                celsius(temperature),
                celsius(TEMPERATURES[0]),
                celsius(TEMPERATURES[1])
            );
            Remark::new("outside_model_range", text)
        });
        let remarks = remarks.into_iter().collect();
        Equivalent { law, resistance: self.resistance.unwrap_or(0.0), assumptions, remarks }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thermal_voltage_of_a_room() {
        // 25.693 mV at 25 degC, 25.852 mV at 300 K: tables of semiconductor physics, e.g. Sze, Physics of Semiconductor Devices.
        assert!((thermal_voltage(298.15) - 25.693e-3).abs() < 5e-7);
        assert!((thermal_voltage(300.0) - 25.852e-3).abs() < 5e-7);
    }

    #[test]
    fn a_decade_of_current_takes_59_millivolts() {
        // ln 10 k T / q at 25 degC is 59.16 mV (the slope of electrochemistry's Nernst equation); twice as much with n = 2.
        for (ideality, decade) in [(None, 59.16e-3), (Some(2.0), 118.32e-3)] {
            let law = Diode { ideality, ..Diode::default() }.equivalent().unwrap().law;
            let base = 0.6 * ideality.unwrap_or(1.0);
            let ratio = law.current(base + decade) / law.current(base);
            // Half a unit of the last digit printed, over the thermal voltage.
            assert!((ratio / 10.0 - 1.0).abs() < 5e-6 / 25.7e-3, "{ratio}");
        }
    }

    #[test]
    fn a_fixed_drop_is_a_line_from_there() {
        let equivalent =
            Diode { drop: Some(0.4), resistance: Some(0.02), ..Diode::default() }.equivalent().unwrap();
        assert!((equivalent.law.current(0.44) - 2.0).abs() < 1e-8);
        assert!(equivalent.law.current(-20.0).abs() < 1e-7 && equivalent.law.current(0.39) < 1e-9);
        assert_eq!(equivalent.resistance, 0.0);
    }

    #[test]
    fn defaults_are_told() {
        let told = Diode::default().equivalent().unwrap().assumptions;
        assert_eq!(told, ["saturation 100 fA, a silicon rectifier of 0.7691 V at 1 A"]);
        let told = Diode { drop: Some(0.4), ..Diode::default() }.equivalent().unwrap().assumptions;
        assert_eq!(told.last().unwrap(), "resistance 10 mohm beyond the drop");
    }

    #[test]
    fn contradictions_are_mistakes() {
        let property = |diode: Diode| diode.equivalent().unwrap_err()[0].property;
        assert_eq!(property(Diode { saturation: Some(1.0), ..Diode::default() }), "saturation");
        assert_eq!(property(Diode { saturation: Some(0.0), ..Diode::default() }), "saturation");
        assert_eq!(
            property(Diode { drop: Some(0.4), resistance: Some(0.0), ..Diode::default() }),
            "resistance"
        );
        assert_eq!(property(Diode { temperature: Some(0.0), ..Diode::default() }), "temperature");
        assert_eq!(property(Diode { drop: Some(-0.1), ..Diode::default() }), "drop");
    }
}
