//! Electronic loads, and the input that they and cameras share: a law with capacitance and resistance beside it.

use crate::current_law::CurrentLaw;
use crate::mistake::{Checks, Mistake};

/// Voltage in volt under which a load lets go where nothing is said.
pub const DEFAULT_THRESHOLD: f64 = 1.0;

/// What is said of a load.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Load {
    /// Resistance in ohm.
    pub resistance: Option<f64>,
    /// Current in ampere.
    pub current: Option<f64>,
    /// Power in watt.
    pub power: Option<f64>,
    /// Voltage in volt under which current or power are no longer held.
    pub below: Option<f64>,
    /// What lies beside the law.
    pub input: Input,
}

/// What is said of the input of a load or camera.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Input {
    /// Capacitance across the input in farad.
    pub capacitance: Option<f64>,
    /// Series resistance of that capacitance in ohm.
    pub esr: Option<f64>,
    /// Resistance across the input in ohm.
    pub resistance: Option<f64>,
}

/// How a load draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Draw {
    /// A resistance in ohm.
    Resistance(f64),
    /// A current law.
    Law(CurrentLaw),
}

/// The electrical equivalent: all in parallel.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// What it draws.
    pub draw: Draw,
    /// Capacitance across the input in farad; 0 is none.
    pub input_capacitance: f64,
    /// Its series resistance in ohm; 0 is none.
    pub input_esr: f64,
    /// Resistance across the input in ohm; `None` is none.
    pub input_resistance: Option<f64>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Load {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("resistance", self.resistance);
        checks.not_negative("current", self.current);
        checks.not_negative("power", self.power);
        checks.positive("below", self.below);
        self.input.check(&mut checks);
        let threshold = self.below.unwrap_or(DEFAULT_THRESHOLD);
        let draw = match (self.resistance, self.current, self.power) {
            (Some(resistance), None, None) => Some(Draw::Resistance(resistance)),
            (None, Some(current), None) => Some(Draw::Law(CurrentLaw::Constant { current, threshold })),
            (None, None, Some(power)) => Some(Draw::Law(CurrentLaw::Power { power, threshold })),
            _ => None,
        };
        let Some(draw) = draw else {
            let several = self.resistance.is_some() || self.current.is_some() || self.power.is_some();
            checks.add(
                "current",
                if several {
                    "what the load draws is given more than once"
                } else {
                    "nothing says what the load draws"
                },
                "give one of `resistance 10 ohm`, `current 0.5 A` and `power 5 W`",
            );
            return Err(checks.into_mistakes());
        };
        let mut assumptions = Vec::new();
        if self.below.is_none() && matches!(draw, Draw::Law(CurrentLaw::Power { .. })) {
            assumptions.push("the power is held down to 1 V".to_owned());
        }
        checks.finish(|| Equivalent {
            draw,
            input_capacitance: self.input.capacitance.unwrap_or(0.0),
            input_esr: self.input.esr.unwrap_or(0.0),
            input_resistance: self.input.resistance,
            assumptions,
        })
    }
}

impl Equivalent {
    /// Whether the load holds its current (or power) whatever the voltage does, with nothing beside it: a coil alone in front
    /// of it then changes nothing but the load's voltage.
    #[must_use]
    pub fn is_bare(&self) -> bool {
        matches!(self.draw, Draw::Law(_)) && self.input_capacitance == 0.0
    }
}

impl Input {
    pub(crate) fn check(&self, checks: &mut Checks) {
        checks.not_negative("input_capacitance", self.capacitance);
        checks.not_negative("input_esr", self.esr);
        checks.positive("input_resistance", self.resistance);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_current_load_lets_go_below_1_volt() {
        let load = Load { current: Some(2.0), ..Load::default() };
        let equivalent = load.equivalent().unwrap();
        let Draw::Law(law) = equivalent.draw else { panic!("{equivalent:?}") };
        assert_eq!((law.current(0.5), law.current(5.0)), (1.0, 2.0));
        assert!(equivalent.is_bare());
        let smoothed = Load { input: Input { capacitance: Some(1e-6), ..Input::default() }, ..load };
        assert!(!smoothed.equivalent().unwrap().is_bare());
    }

    #[test]
    fn one_way_of_drawing_is_wanted() {
        assert_eq!(Load::default().equivalent().unwrap_err()[0].property, "current");
        let twice = Load { current: Some(1.0), power: Some(1.0), ..Load::default() };
        assert_eq!(twice.equivalent().unwrap_err().len(), 1);
    }

    #[test]
    fn a_resistance_is_never_bare() {
        let load = Load { resistance: Some(10.0), ..Load::default() };
        assert!(!load.equivalent().unwrap().is_bare());
    }
}
