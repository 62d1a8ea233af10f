//! A motor behind a half bridge: a winding that two switches tie to the supply and to its return in turn.

use crate::fact::Fact;
use crate::mistake::{Checks, Mistake, with_unit};
use crate::range::Ranges;
use crate::remark::Remark;
use quantity::Dimension;

/// Resistance in ohm of a switch that is on where nothing is said (from memory: small power transistors have 2 to 20 mohm).
const DEFAULT_ON: f64 = 5e-3;
/// Resistance in ohm of a switch that is off where nothing is said: far above everything else.
const DEFAULT_OPEN: f64 = 1e6;

/// What is said of half bridges and their motors.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct HalfBridge {
    /// Pulse-width modulation frequency in hertz.
    pub pwm: f64,
    /// Share of the period that the upper switch is on.
    pub duty: f64,
    /// Resistance of a winding in ohm.
    pub resistance: f64,
    /// Inductance of a winding in henry.
    pub inductance: f64,
    /// Voltage in volt that the turning motor makes.
    pub back_emf: Option<f64>,
    /// Resistance in ohm of a switch that is on.
    pub on_resistance: Option<f64>,
    /// Resistance in ohm of a switch that is off.
    pub open_resistance: Option<f64>,
    /// Capacitance across the bridge in farad.
    pub link_capacitance: Option<f64>,
    /// Its series resistance in ohm.
    pub link_esr: Option<f64>,
    /// Number of motors.
    pub motors: Option<f64>,
}

/// The electrical equivalent of one bridge, and what all share.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Number of motors.
    pub motors: u32,
    /// Voltage in volt that the turning motor makes.
    pub back_emf: f64,
    /// Resistance in ohm of a switch that is on.
    pub on_resistance: f64,
    /// Resistance in ohm of a switch that is off.
    pub open_resistance: f64,
    /// Capacitance across the bridge in farad; 0 is none.
    pub link_capacitance: f64,
    /// Its series resistance in ohm; 0 is none.
    pub link_esr: f64,
    /// What the values come to.
    pub facts: Vec<Fact>,
    /// Defaults and simplifications that were taken, as sentences.
    pub assumptions: Vec<String>,
    /// Remarks on values outside the model's range.
    pub remarks: Vec<Remark>,
}

impl HalfBridge {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("pwm", Some(self.pwm));
        checks.fraction("duty", Some(self.duty));
        checks.positive("resistance", Some(self.resistance));
        checks.positive("inductance", Some(self.inductance));
        checks.not_negative("back_emf", self.back_emf);
        checks.positive("on_resistance", self.on_resistance);
        checks.positive("open_resistance", self.open_resistance);
        checks.not_negative("link_capacitance", self.link_capacitance);
        checks.not_negative("link_esr", self.link_esr);
        checks.whole("motors", self.motors);
        let mut assumptions = Vec::new();
        let on_resistance = self.on_resistance.unwrap_or_else(|| {
            assumptions.push(format!("switches of {} while on", with_unit(DEFAULT_ON, "ohm")));
            DEFAULT_ON
        });
        let open_resistance = self.open_resistance.unwrap_or(DEFAULT_OPEN);
        if self.back_emf.is_none() {
            assumptions.push("no back EMF: its motors stand still".to_owned());
        }
        assumptions
            .push("one switch or the other is on, without a gap between, and both conduct both ways".into());
        assumptions.push(
            "over frequency it stands still with its upper switch on where `duty` is above 50 %, else off"
                .into(),
        );
        if open_resistance <= on_resistance {
            checks.add(
                "open_resistance",
                format!(
                    "a switch that is off has {}, one that is on {}",
                    with_unit(open_resistance, "ohm"),
                    with_unit(on_resistance, "ohm")
                ),
                "perhaps the two are swapped, or `m` (milli) was written for `M` (mega)",
            );
        }
        let mut ranges = Ranges::default();
        let fast = "edges and the gap between the switches are then a good part of the period";
        ranges.at_most("pwm", Some(self.pwm), 1e6, "Hz", fast);
        let remarks = ranges.into_remarks();
        let time_constant = self.inductance / (self.resistance + on_resistance);
        let facts = vec![
            Fact::new("winding_time_constant", time_constant, Dimension::TIME),
            Fact::new("period", 1.0 / self.pwm, Dimension::TIME),
        ];
        checks.finish(|| Equivalent {
            motors: self.motors.unwrap_or(1.0) as u32,
            back_emf: self.back_emf.unwrap_or(0.0),
            on_resistance,
            open_resistance,
            link_capacitance: self.link_capacitance.unwrap_or(0.0),
            link_esr: self.link_esr.unwrap_or(0.0),
            facts,
            assumptions,
            remarks,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn track() -> HalfBridge {
        HalfBridge { pwm: 20e3, duty: 0.6, resistance: 0.1, inductance: 100e-6, ..HalfBridge::default() }
    }

    #[test]
    fn defaults_are_told() {
        let found = track().equivalent().unwrap();
        assert_eq!((found.back_emf, found.on_resistance, found.motors), (0.0, 5e-3, 1));
        assert_eq!(found.assumptions[0], "switches of 5 mohm while on");
        assert_eq!(found.assumptions[1], "no back EMF: its motors stand still");
        assert!((found.facts[0].value - 100e-6 / 0.105).abs() < 1e-15);
    }

    #[test]
    fn contradictions_are_mistakes() {
        let property = |bridge: HalfBridge| bridge.equivalent().unwrap_err()[0].property;
        assert_eq!(property(HalfBridge { duty: 1.2, ..track() }), "duty");
        assert_eq!(property(HalfBridge { open_resistance: Some(1e-3), ..track() }), "open_resistance");
        assert_eq!(property(HalfBridge { inductance: 0.0, ..track() }), "inductance");
    }
}
