//! The resistances that a capacitor's losses stand for, and what cold, heat and age do to them.

use super::material::Material;
use super::{Capacitor, LossModel, REFERENCE_TEMPERATURE, Said, electrolytic};
use crate::mistake::{shown, with_unit};
use crate::remark::Remark;
use std::f64::consts::TAU;

impl Capacitor {
    /// The esr in ohm, with what cold, heat and age do to it.
    pub(super) fn series_resistance(&self, capacitance: f64, said: &mut Said) -> f64 {
        let is_electrolytic = self.material == Some(Material::Electrolytic);
        let frequency = self.loss_frequency.unwrap_or(electrolytic::LOSS_FREQUENCY);
        let rated = self.rated.unwrap_or(electrolytic::USUAL_RATED);
        let of_loss = |loss: f64| loss / (TAU * frequency * capacitance);
        let new = match (self.esr, self.loss_factor) {
            (Some(esr), _) => esr,
            (None, Some(_)) if self.loss_model == LossModel::Parallel => 0.0,
            (None, Some(loss)) => {
                said.assumptions.push(format!(
                    "its loss factor at {} gives an esr of {} for all frequencies; the dielectric's share of it falls with frequency, so fast pulses may meet less",
                    with_unit(frequency, "Hz"),
                    with_unit(of_loss(loss), "ohm")
                ));
                of_loss(loss)
            }
            (None, None) if is_electrolytic => {
                let loss = electrolytic::loss_factor(capacitance, rated);
                said.assumptions.push(self.usual_loss(loss, of_loss(loss)));
                if electrolytic::is_outside_rows(rated) {
                    said.remarks.push(Remark::new(
                        "outside_model_range",
                        format!(
                            "`rated` is {}, and the catalogue's loss factors go from 6.3 V to 100 V: the nearest row is taken for its esr; give `esr` or `loss_factor`",
                            with_unit(rated, "V")
                        ),
                    ));
                }
                of_loss(loss)
            }
            (None, None) => {
                said.assumptions.push(
                    "no `esr` given, so none is counted: real ones have some tens of milliohms, which decide at the PWM frequency"
                        .to_owned(),
                );
                0.0
            }
        };
        let age = self.age.unwrap_or(1.0);
        let Some(temperature) = self.temperature.filter(|_| new > 0.0) else { return new * age };
        if !is_electrolytic {
            if self.material.is_none_or(Material::is_polarised) && temperature < REFERENCE_TEMPERATURE {
                said.assumptions.push(
                    "its esr is taken as the same at any temperature; that of an electrolytic (`type electrolytic`) grows in the cold"
                        .to_owned(),
                );
            }
            return new * age;
        }
        let factor = electrolytic::esr_factor(capacitance, rated, temperature);
        said.tell_of_temperature(temperature, factor);
        new * age * factor
    }

    fn usual_loss(&self, loss: f64, esr: f64) -> String {
        let rated = match self.rated {
            None => {
                format!("as for {}, since no `rated` is given", with_unit(electrolytic::USUAL_RATED, "V"))
            }
            Some(rated) if electrolytic::is_a_row(rated) => format!("for {}", with_unit(rated, "V")),
            Some(rated) if electrolytic::is_outside_rows(rated) => format!(
                "of the catalogue's last row on that side, for {} lies outside its 6.3 V to 100 V",
                with_unit(rated, "V")
            ),
            Some(rated) => format!("between the catalogue's rows for {}", with_unit(rated, "V")),
        };
        format!(
            "no `esr` given, so the greatest loss factor of general-purpose electrolytics is taken, {} at {} {rated}: an esr of {}; low-impedance parts have a tenth",
            shown(loss),
            with_unit(electrolytic::LOSS_FREQUENCY, "Hz"),
            with_unit(esr, "ohm")
        )
    }

    /// The resistance across the capacitance that a loss factor stands for: `1 / (2 pi f C d)`, the definition of the parallel
    /// model (IEC 60384-1).
    pub(super) fn parallel_resistance(&self, capacitance: f64, said: &mut Said) -> Option<f64> {
        let loss = self.loss_factor.filter(|&loss| loss > 0.0 && self.loss_model == LossModel::Parallel)?;
        let frequency = self.loss_frequency.unwrap_or(electrolytic::LOSS_FREQUENCY);
        let resistance = 1.0 / (TAU * frequency * capacitance * loss);
        said.assumptions.push(format!(
            "its loss factor at {} gives {} across it for all frequencies, for direct voltage too",
            with_unit(frequency, "Hz"),
            with_unit(resistance, "ohm")
        ));
        Some(resistance)
    }

    pub(super) fn tell_of_the_dielectric(&self, said: &mut Said) {
        let Some((dielectric, temperature)) = self.dielectric.zip(self.temperature) else { return };
        if dielectric.takes(temperature) {
            return;
        }
        let celsius = |kelvin: f64| shown(kelvin - 273.15);
        said.remarks.push(Remark::new(
            "outside_dielectric_temperature",
            format!(
                "{} degC is outside of what its code promises, {} degC to {} degC; its capacitance may fall far below; take a code with a wider range",
                celsius(temperature),
                celsius(dielectric.temperatures.0),
                celsius(dielectric.temperatures.1)
            ),
        ));
    }
}

impl Said {
    fn tell_of_temperature(&mut self, temperature: f64, factor: f64) {
        let celsius = |kelvin: f64| shown(kelvin - 273.15);
        let (low, high) = electrolytic::TEMPERATURES;
        if temperature < low - 1e-9 || temperature > high + 1e-9 {
            self.remarks.push(Remark::new(
                "outside_electrolytic_temperature",
                format!(
                    "{} degC is outside of {} degC to {} degC, where the esr of electrolytics is known; its value at the nearer end is taken",
                    celsius(temperature),
                    celsius(low),
                    celsius(high)
                ),
            ));
        }
        if (factor - 1.0).abs() > 1e-9 {
            let why = if factor > 1.0 {
                "the most that catalogues of general-purpose electrolytics allow; most parts grow a third to a half as much"
            } else {
                "usual of electrolytics that get warm"
            };
            self.assumptions.push(format!(
                "at {} degC its esr is {} times that at 20 degC, {why}",
                celsius(temperature),
                shown(factor)
            ));
        }
    }
}
