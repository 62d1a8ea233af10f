//! A ferrite bead: resistance, inductance and capacitance in parallel, its copper in series.
//!
//! The equivalent that makers give (from memory): far below its peak a bead is its inductance, at the peak its losses, far
//! above its capacitance.

use crate::coil::{self, Coil};
use crate::mistake::{Checks, Mistake};

/// What is said of a bead.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bead {
    /// Greatest impedance in ohm.
    pub peak_resistance: f64,
    /// Inductance in henry at low frequency and no current.
    pub inductance: f64,
    /// Capacitance across it in farad.
    pub capacitance: Option<f64>,
    /// Series resistance in ohm.
    pub dcr: Option<f64>,
    /// Current in ampere at which the inductance has fallen by [`coil::DEFAULT_DROP`].
    pub saturation_current: Option<f64>,
}

impl Bead {
    /// The equivalent, which is that of a coil, or every mistake.
    pub fn equivalent(&self) -> Result<coil::Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("peak_resistance", Some(self.peak_resistance));
        checks.positive("inductance", Some(self.inductance));
        checks.not_negative("capacitance", self.capacitance);
        checks.not_negative("dcr", self.dcr);
        checks.positive("saturation_current", self.saturation_current);
        if checks.failed() {
            return Err(checks.into_mistakes());
        }
        let mut equivalent = Coil {
            inductance: self.inductance,
            saturation_current: self.saturation_current,
            winding_capacitance: self.capacitance,
            loss_resistance: Some(self.peak_resistance),
            dcr: self.dcr,
            ..Coil::default()
        }
        .equivalent()?;
        if self.saturation_current.is_some() {
            equivalent
                .assumptions
                .push("in saturation its losses stay; a real bead's impedance falls as a whole".to_owned());
        }
        Ok(equivalent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mistakes_bear_the_beads_words() {
        let wrong = Bead {
            peak_resistance: 0.0,
            inductance: 0.0,
            capacitance: Some(-1.0),
            dcr: Some(-1.0),
            saturation_current: Some(0.0),
        };
        let told: Vec<_> = wrong.equivalent().unwrap_err().iter().map(|mistake| mistake.property).collect();
        assert_eq!(told, ["peak_resistance", "inductance", "capacitance", "dcr", "saturation_current"]);
    }

    #[test]
    fn a_bead_saturates_as_a_coil_does() {
        let bead = Bead {
            peak_resistance: 600.0,
            inductance: 1e-6,
            saturation_current: Some(0.3),
            ..Bead::default()
        };
        let equivalent = bead.equivalent().unwrap();
        assert!((equivalent.law.inductance(0.3) / 0.7e-6 - 1.0).abs() < 1e-12);
        assert_eq!(equivalent.loss_resistance, Some(600.0));
    }
}
