//! A regulator: its pass element, the resistance of its output and what it draws; a switching one draws a constant power.

use crate::current_law::CurrentLaw;
use crate::fact::Fact;
use crate::load::Input;
use crate::mistake::{Checks, Mistake, with_unit};
use crate::pass::Pass;
use crate::range::Ranges;
use crate::rejection::{self, Rejection};
use crate::remark::Remark;
use quantity::Dimension;

/// Dropout voltage in volt where nothing is said: an ordinary three-terminal regulator (from memory: typically 2 V at 1 A).
const DEFAULT_DROPOUT: f64 = 2.0;
/// Rejection in decibel where nothing is said (from memory: three-terminal regulators state 60 dB to 80 dB at 120 Hz).
const DEFAULT_REJECTION: f64 = 60.0;
/// Output resistance in ohm where nothing is said: common practice, no source.
const DEFAULT_RESISTANCE: f64 = 50e-3;
/// Voltage in volt below which the regulator's own current falls, where it has no dropout.
const LEAST_THRESHOLD: f64 = 1.0;

/// What is said of a regulator.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Regulator {
    /// Output voltage in volt.
    pub output: f64,
    /// Voltage in volt that it needs between input and output.
    pub dropout: Option<f64>,
    /// How much weaker the input's ripple is at the output, in decibel.
    pub rejection: Option<f64>,
    /// Output resistance in ohm.
    pub resistance: Option<f64>,
    /// Current in ampere that it draws from input to `gnd`.
    pub quiescent: Option<f64>,
    /// Frequency in hertz above which the rejection falls.
    pub rejection_corner: Option<f64>,
    /// Share of the input's power that a switching regulator delivers; `None` for a linear one.
    pub efficiency: Option<f64>,
    /// Current in ampere that a switching regulator delivers.
    pub load_current: Option<f64>,
    /// Input voltage in volt from which on a switching regulator runs.
    pub lockout: Option<f64>,
    /// Capacitor across the input of a switching regulator.
    pub input: Input,
}

/// The electrical equivalent.
///
/// `resistance` lies from input to output; the current of `pass`, by the input's voltage against `gnd`, flows against it, from
/// output to input; see [`Pass`]. `quiescent` lies from input to `gnd`.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// What the pass element takes away.
    pub pass: CurrentLaw,
    /// Resistance in ohm.
    pub resistance: f64,
    /// The regulator's own current; `None` is none.
    pub quiescent: Option<CurrentLaw>,
    /// Time constant in seconds of the low-pass through which the pass element's law sees the input; `None` is none.
    pub loop_time: Option<f64>,
    /// What a switching regulator draws at its input, which then is no end of `resistance`; `None` for a linear one.
    pub switching: Option<CurrentLaw>,
    /// What the values come to.
    pub facts: Vec<Fact>,
    /// Remarks on values outside the model's range.
    pub remarks: Vec<Remark>,
    /// Defaults and simplifications that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Regulator {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("output", Some(self.output));
        checks.not_negative("dropout", self.dropout);
        rejection::check(self.rejection, self.rejection_corner, &mut checks);
        checks.positive("resistance", self.resistance);
        checks.not_negative("quiescent", self.quiescent);
        self.check_switching(&mut checks);
        checks.finish(|| {
            let mut assumptions = Vec::new();
            let dropout = self.dropout.unwrap_or_else(|| {
                assumptions
                    .push(format!("dropout {}, an ordinary regulator's", with_unit(DEFAULT_DROPOUT, "V")));
                DEFAULT_DROPOUT
            });
            let rejection = self.rejection.unwrap_or_else(|| {
                assumptions.push(format!("rejection {DEFAULT_REJECTION} dB, as at mains frequency"));
                DEFAULT_REJECTION
            });
            let resistance = self.resistance.unwrap_or_else(|| {
                assumptions.push(format!("output resistance {}", with_unit(DEFAULT_RESISTANCE, "ohm")));
                DEFAULT_RESISTANCE
            });
            let rejection = Rejection::new(rejection, self.rejection_corner);
            assumptions.push(rejection.in_words().unwrap_or_else(|| {
                "the rejection is the same at every frequency; real ones lose much of it above some ten kilohertz"
                    .to_owned()
            }));
            assumptions.push(
                "conducts both ways and to any current; real ones take none back and limit it".to_owned(),
            );
            let mut facts = Vec::new();
            let switching = self.switching(dropout, &mut facts, &mut assumptions);
            let pass = CurrentLaw::Pass(Pass {
                output: self.output,
                dropout,
                ripple_ratio: rejection.ripple_ratio,
                conductance: 1.0 / resistance,
            });
            let threshold = if dropout > 0.0 { dropout } else { LEAST_THRESHOLD };
            let quiescent = self.quiescent.filter(|&current| current > 0.0);
            Equivalent {
                pass,
                resistance,
                quiescent: quiescent.map(|current| CurrentLaw::Constant { current, threshold }),
                loop_time: rejection.time_constant(),
                switching,
                facts,
                remarks: self.outside_range(),
                assumptions,
            }
        })
    }

    fn check_switching(&self, checks: &mut Checks) {
        if let Some(efficiency) =
            self.efficiency.filter(|&efficiency| !(efficiency > 0.0 && efficiency <= 1.0))
        {
            checks.add(
                "efficiency",
                format!(
                    "`efficiency` is {} %, but it must be above 0 % and at most 100 %",
                    efficiency * 100.0
                ),
                "good switching regulators reach 80 % to 95 %",
            );
        }
        checks.not_negative("load_current", self.load_current);
        checks.positive("lockout", self.lockout);
        self.input.check(checks);
    }

    /// The constant power that a switching regulator draws.
    fn switching(
        &self,
        dropout: f64,
        facts: &mut Vec<Fact>,
        assumptions: &mut Vec<String>,
    ) -> Option<CurrentLaw> {
        let (efficiency, current) = self.efficiency.zip(self.load_current)?;
        let power = self.output * current / efficiency;
        let lockout = self.lockout.unwrap_or_else(|| {
            let lockout = self.output + dropout;
            assumptions.push(format!("runs from {} on, output and dropout", with_unit(lockout, "V")));
            lockout
        });
        assumptions.push(format!(
            "draws {}, what `load_current` and `efficiency` say, whatever hangs on its output",
            with_unit(power, "W")
        ));
        facts.push(Fact::new("input_power", power, Dimension::POWER));
        // -V^2/P where it begins to run: the least magnitude that its input's negative resistance has.
        if power > 0.0 {
            facts.push(Fact::new(
                "least_input_resistance",
                -lockout * lockout / power,
                Dimension::RESISTANCE,
            ));
        }
        Some(CurrentLaw::Lockout { power, lockout })
    }

    /// Values at which real regulators do what the model does not.
    fn outside_range(&self) -> Vec<Remark> {
        let mut ranges = Ranges::default();
        rejection::judge(self.rejection, &mut ranges);
        let percent = self.efficiency.map(|efficiency| efficiency * 100.0);
        ranges.at_most("efficiency", percent, 98.0, "%", "switches, coil and driver always lose some");
        ranges.into_remarks()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rejection_is_a_ratio_of_amplitudes() {
        // Franco, Design with Operational Amplifiers: 150 uV/V are 76.478 dB (20 log10).
        let regulator = Regulator { output: 5.0, rejection: Some(76.478), ..Regulator::default() };
        let CurrentLaw::Pass(pass) = regulator.equivalent().unwrap().pass else { panic!() };
        assert!((pass.ripple_ratio / 150e-6 - 1.0).abs() < 1e-4, "{}", pass.ripple_ratio);
    }

    #[test]
    fn defaults_are_told() {
        let told = Regulator { output: 5.0, ..Regulator::default() }.equivalent().unwrap().assumptions;
        assert_eq!(told[0], "dropout 2 V, an ordinary regulator's");
        assert_eq!(told[1], "rejection 60 dB, as at mains frequency");
        assert_eq!(told[2], "output resistance 50 mohm");
        assert!(told[4].starts_with("conducts both ways"), "{told:?}");
    }

    #[test]
    fn its_own_current_lets_go_below_the_dropout() {
        let regulator = |dropout| Regulator {
            output: 5.0,
            dropout: Some(dropout),
            quiescent: Some(4e-3),
            ..Regulator::default()
        };
        for (dropout, voltage) in [(0.5, 0.25), (0.0, 0.5)] {
            let law = regulator(dropout).equivalent().unwrap().quiescent.unwrap();
            assert_eq!((law.current(voltage), law.current(12.0)), (2e-3, 4e-3));
        }
    }

    #[test]
    fn a_switching_one_draws_a_constant_power() {
        let buck = Regulator {
            output: 5.0,
            dropout: Some(0.5),
            efficiency: Some(0.9),
            load_current: Some(1.8),
            ..Regulator::default()
        };
        let found = buck.equivalent().unwrap();
        // 5 V x 1.8 A / 0.9 = 10 W, from 5.5 V on.
        assert_eq!(found.switching, Some(CurrentLaw::Lockout { power: 10.0, lockout: 5.5 }));
        assert_eq!(found.facts[0].value, 10.0);
        assert!((found.facts[1].value + 5.5 * 5.5 / 10.0).abs() < 1e-12);
        assert!(found.assumptions.iter().any(|told| told == "runs from 5.5 V on, output and dropout"));
        let wrong = Regulator { efficiency: Some(1.1), ..buck };
        assert_eq!(wrong.equivalent().unwrap_err()[0].property, "efficiency");
        let ideal = Regulator { efficiency: Some(1.0), ..buck };
        assert_eq!(ideal.equivalent().unwrap().remarks.len(), 1);
    }

    #[test]
    fn contradictions_are_mistakes() {
        let wrong = Regulator {
            output: 0.0,
            dropout: Some(-1.0),
            rejection: Some(-3.0),
            resistance: Some(0.0),
            quiescent: Some(-1e-3),
            ..Regulator::default()
        };
        let told: Vec<_> = wrong.equivalent().unwrap_err().iter().map(|mistake| mistake.property).collect();
        assert_eq!(told, ["output", "dropout", "rejection", "resistance", "quiescent"]);
    }
}
