//! A camera: a constant-current load with an input capacitor.

use crate::current_law::CurrentLaw;
use crate::load::{DEFAULT_THRESHOLD, Draw, Equivalent, Input};
use crate::mistake::{Checks, Mistake, with_unit};
use crate::range::Ranges;
use crate::rejection::{self, Rejection};
use crate::remark::Remark;

/// Input capacitance in farad of a camera where nothing is said (from memory: a ceramic or small electrolytic in front of
/// its regulator).
pub const DEFAULT_CAPACITANCE: f64 = 10e-6;

/// Its series resistance in ohm (from memory).
pub const DEFAULT_ESR: f64 = 0.2;

/// What is said of a camera.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Camera {
    /// Current in ampere.
    pub current: f64,
    /// Least and greatest supply voltage in volt.
    pub supply: Option<(f64, f64)>,
    /// Voltage in volt under which it draws in proportion to the voltage; the least supply voltage where not given.
    pub below: Option<f64>,
    /// How much weaker the supply's ripple is in the picture, in decibel.
    pub rejection: Option<f64>,
    /// Frequency in hertz above which that falls.
    pub rejection_corner: Option<f64>,
    /// What lies beside the current.
    pub input: Input,
}

impl Camera {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.not_negative("current", Some(self.current));
        checks.positive("below", self.below);
        rejection::check(self.rejection, self.rejection_corner, &mut checks);
        self.input.check(&mut checks);
        if let Some((low, high)) = self.supply.filter(|&(low, high)| !(low >= 0.0 && high > low)) {
            checks.add(
                "supply",
                format!("`supply` goes from {} to {}", with_unit(low, "V"), with_unit(high, "V")),
                "give the least and the greatest voltage that the camera works with: `supply 9 V .. 18 V`",
            );
        }
        let mut assumptions = Vec::new();
        let (input_capacitance, input_esr) = self.capacitor(&mut assumptions);
        let least = self.supply.map(|range| range.0).filter(|&low| low > 0.0);
        let threshold = self.below.or(least).unwrap_or(DEFAULT_THRESHOLD);
        checks.finish(|| Equivalent {
            draw: Draw::Law(CurrentLaw::Constant { current: self.current, threshold }),
            input_capacitance,
            input_esr,
            input_resistance: self.input.resistance,
            assumptions,
        })
    }

    /// How its picture sees the supply: with all of the ripple where nothing is said.
    #[must_use]
    pub fn rejection(&self) -> Rejection {
        Rejection::new(self.rejection.unwrap_or(0.0), self.rejection_corner)
    }

    /// Remarks on values outside the model's range.
    #[must_use]
    pub fn remarks(&self) -> Vec<Remark> {
        let mut ranges = Ranges::default();
        rejection::judge(self.rejection, &mut ranges);
        ranges.into_remarks()
    }

    fn capacitor(&self, assumptions: &mut Vec<String>) -> (f64, f64) {
        let capacitance = self.input.capacitance.unwrap_or(DEFAULT_CAPACITANCE);
        let esr = self.input.esr.unwrap_or(DEFAULT_ESR);
        let (farad, ohm) = (with_unit(capacitance, "F"), with_unit(esr, "ohm"));
        match (self.input.capacitance, self.input.esr) {
            (None, None) => assumptions.push(format!("input capacitance {farad} with {ohm}")),
            (None, Some(_)) => assumptions.push(format!("input capacitance {farad}")),
            (Some(_), None) if capacitance > 0.0 => {
                assumptions.push(format!("series resistance of the input capacitance {ohm}"));
            }
            _ => {}
        }
        (capacitance, esr)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn eye() -> Camera {
        Camera { current: 0.16, supply: Some((9.0, 18.0)), ..Camera::default() }
    }

    #[test]
    fn draws_its_current_down_to_its_least_supply() {
        let Draw::Law(law) = eye().equivalent().unwrap().draw else { panic!() };
        assert_eq!((law.current(9.0), law.current(4.5)), (0.16, 0.08));
        let Draw::Law(law) = Camera { supply: None, ..eye() }.equivalent().unwrap().draw else { panic!() };
        assert_eq!((law.current(1.0), law.current(0.5)), (0.16, 0.08));
        let Draw::Law(law) = Camera { below: Some(7.0), ..eye() }.equivalent().unwrap().draw else {
            panic!()
        };
        assert_eq!((law.current(7.0), law.current(3.5)), (0.16, 0.08));
    }

    #[test]
    fn its_input_capacitor_is_assumed_and_said() {
        let equivalent = eye().equivalent().unwrap();
        assert_eq!((equivalent.input_capacitance, equivalent.input_esr), (10e-6, 0.2));
        assert_eq!(equivalent.assumptions, ["input capacitance 10 uF with 0.2 ohm"]);
        let none = Camera { input: Input { capacitance: Some(0.0), ..Input::default() }, ..eye() };
        let equivalent = none.equivalent().unwrap();
        assert!(equivalent.is_bare() && equivalent.assumptions.is_empty());
    }

    #[test]
    fn an_upside_down_range_is_a_mistake() {
        let camera = Camera { supply: Some((18.0, 9.0)), ..eye() };
        assert_eq!(camera.equivalent().unwrap_err()[0].property, "supply");
    }
}
