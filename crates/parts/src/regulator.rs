//! A linear regulator: its pass element, the resistance of its output and what it draws for itself.

use crate::current_law::CurrentLaw;
use crate::mistake::{Checks, Mistake, with_unit};
use crate::pass::Pass;

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
    /// Defaults and simplifications that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Regulator {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("output", Some(self.output));
        checks.not_negative("dropout", self.dropout);
        checks.not_negative("rejection", self.rejection);
        checks.positive("resistance", self.resistance);
        checks.not_negative("quiescent", self.quiescent);
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
            assumptions.push(
                "the rejection is the same at every frequency; real ones lose much of it above some ten kilohertz"
                    .to_owned(),
            );
            assumptions.push(
                "conducts both ways and to any current; real ones take none back and limit it".to_owned(),
            );
            let pass = CurrentLaw::Pass(Pass {
                output: self.output,
                dropout,
                // 20 log10 of an amplitude's ratio.
                ripple_ratio: 10f64.powf(-rejection / 20.0),
                conductance: 1.0 / resistance,
            });
            let threshold = if dropout > 0.0 { dropout } else { LEAST_THRESHOLD };
            let quiescent = self.quiescent.filter(|&current| current > 0.0);
            Equivalent {
                pass,
                resistance,
                quiescent: quiescent.map(|current| CurrentLaw::Constant { current, threshold }),
                assumptions,
            }
        })
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
    fn contradictions_are_mistakes() {
        let wrong = Regulator {
            output: 0.0,
            dropout: Some(-1.0),
            rejection: Some(-3.0),
            resistance: Some(0.0),
            quiescent: Some(-1e-3),
        };
        let told: Vec<_> = wrong.equivalent().unwrap_err().iter().map(|mistake| mistake.property).collect();
        assert_eq!(told, ["output", "dropout", "rejection", "resistance", "quiescent"]);
    }
}
