//! A clamp, or transient suppressor: next to nothing up to its breakdown, a steep line from there.

use crate::current_law::CurrentLaw;
use crate::fact::Fact;
use crate::mistake::{Checks, Mistake, with_unit};
use quantity::Dimension;

/// Breakdown voltage over standoff voltage where nothing is said: data sheets state 1.11 to 1.23, from memory.
const TYPICAL_BREAKDOWN: f64 = 1.17;
/// Voltage in volt at which a unidirectional clamp conducts the wrong way: a silicon junction's, from memory.
const FORWARD: f64 = 0.8;
/// Conductance in siemens before it conducts: a gigaohm; data sheets state a microampere at the standoff voltage.
const LEAKAGE: f64 = 1e-9;

/// What is said of a clamp.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Clamp {
    /// Voltage in volt up to which it draws nothing.
    pub standoff: f64,
    /// Voltage in volt across it …
    pub clamping: f64,
    /// … at this peak current in ampere, the greatest that it bears.
    pub peak_current: f64,
    /// Voltage in volt at which it begins to conduct.
    pub breakdown: Option<f64>,
    /// Capacitance in farad.
    pub capacitance: Option<f64>,
    /// Whether it clamps both ways.
    pub bidirectional: bool,
}

/// The electrical equivalent: branches in parallel.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Current by the voltage of the left node against the right one.
    pub law: CurrentLaw,
    /// Current from right to left by the voltage of the right node against the left one.
    pub reverse: CurrentLaw,
    /// Capacitance in farad; 0 is none.
    pub capacitance: f64,
    /// What its values come to.
    pub facts: Vec<Fact>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Clamp {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("standoff", Some(self.standoff));
        checks.positive("clamping", Some(self.clamping));
        checks.positive("peak_current", Some(self.peak_current));
        checks.positive("breakdown", self.breakdown);
        checks.not_negative("capacitance", self.capacitance);
        let breakdown = self.breakdown.unwrap_or(TYPICAL_BREAKDOWN * self.standoff);
        if breakdown < self.standoff {
            checks.add(
                "breakdown",
                format!(
                    "it breaks down at {}, below its standoff voltage of {}",
                    with_unit(breakdown, "V"),
                    with_unit(self.standoff, "V")
                ),
                "the data sheet's breakdown voltage lies some 11 % to 23 % above the standoff voltage",
            );
        }
        if self.clamping <= breakdown {
            checks.add(
                "clamping",
                format!(
                    "it clamps to {} at its peak current, no more than the {} at which it begins to conduct",
                    with_unit(self.clamping, "V"),
                    with_unit(breakdown, "V")
                ),
                "take both from one row of the data sheet; clamping is some 40 % to 60 % above standoff",
            );
        }
        checks.finish(|| self.build(breakdown))
    }

    fn build(&self, breakdown: f64) -> Equivalent {
        let slope = (self.clamping - breakdown) / self.peak_current;
        let mut assumptions = Vec::new();
        if self.breakdown.is_none() {
            assumptions.push(format!(
                "breakdown at {}, {TYPICAL_BREAKDOWN} times the standoff voltage",
                with_unit(breakdown, "V")
            ));
        }
        if !self.bidirectional {
            assumptions.push(format!("the other way it conducts from {} on", with_unit(FORWARD, "V")));
        }
        if self.capacitance.is_none() {
            assumptions.push("no capacitance".to_owned());
        }
        let knee = |voltage: f64| CurrentLaw::Knee { voltage, conductance: 1.0 / slope, leakage: LEAKAGE };
        Equivalent {
            law: knee(breakdown),
            reverse: knee(if self.bidirectional { breakdown } else { FORWARD }),
            capacitance: self.capacitance.unwrap_or(0.0),
            facts: vec![
                Fact::new("breakdown", breakdown, Dimension::VOLTAGE),
                Fact::new("slope_resistance", slope, Dimension::RESISTANCE),
                Fact::new("peak_power", self.clamping * self.peak_current, Dimension::POWER),
            ],
            assumptions,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A 600 W suppressor of 18 V: 29.2 V at 20.5 A (data sheets of the trade, from memory).
    const TYPICAL: Clamp = Clamp {
        standoff: 18.0,
        clamping: 29.2,
        peak_current: 20.5,
        breakdown: None,
        capacitance: None,
        bidirectional: false,
    };

    #[test]
    fn it_stands_off_and_clamps() {
        let clamp = TYPICAL.equivalent().unwrap();
        assert!(clamp.law.current(18.0) < 1e-6);
        // The leakage adds 1e-9 S over the whole voltage.
        assert!((clamp.law.current(29.2) - 20.5).abs() < 1e-7);
        assert!((clamp.reverse.current(0.8)).abs() < 1e-8 && clamp.reverse.current(2.0) > 1.0);
        let both = Clamp { bidirectional: true, ..TYPICAL }.equivalent().unwrap();
        assert_eq!(both.law, both.reverse);
        // 600 W within the 1 % of rounded figures.
        assert!((clamp.facts[2].value / 600.0 - 1.0).abs() < 0.01);
    }

    #[test]
    fn contradictions_are_mistakes() {
        let property = |clamp: Clamp| clamp.equivalent().unwrap_err()[0].property;
        assert_eq!(property(Clamp { breakdown: Some(17.0), ..TYPICAL }), "breakdown");
        assert_eq!(property(Clamp { clamping: 20.0, ..TYPICAL }), "clamping");
        assert_eq!(property(Clamp { standoff: 0.0, ..TYPICAL }), "standoff");
    }
}
