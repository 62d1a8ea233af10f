//! A bench supply: a voltage behind a resistance, perhaps ramped up.

use crate::mistake::{Checks, Mistake};

/// What is said of a supply.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Supply {
    /// Voltage in volt.
    pub voltage: f64,
    /// Series resistance in ohm.
    pub resistance: Option<f64>,
    /// Duration in seconds of the ramp from 0 at t = 0.
    pub rise: Option<f64>,
}

/// The electrical equivalent: a voltage source and a resistance in series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Equivalent {
    /// Voltage in volt.
    pub voltage: f64,
    /// Series resistance in ohm; 0 is none.
    pub resistance: f64,
    /// Duration in seconds of the ramp; 0 is a step.
    pub rise: f64,
}

impl Supply {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.not_negative("resistance", self.resistance);
        checks.edge("rise", self.rise);
        checks.finish(|| Equivalent {
            voltage: self.voltage,
            resistance: self.resistance.unwrap_or(0.0),
            rise: self.rise.unwrap_or(0.0),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn left_out_is_ideal() {
        let supply = Supply { voltage: 12.0, ..Supply::default() };
        let expected = Equivalent { voltage: 12.0, resistance: 0.0, rise: 0.0 };
        assert_eq!(supply.equivalent(), Ok(expected));
    }

    #[test]
    fn negative_values_are_told() {
        let supply = Supply { voltage: 12.0, resistance: Some(-1.0), rise: Some(f64::NAN) };
        assert_eq!(supply.equivalent().unwrap_err().len(), 2);
    }

    #[test]
    fn an_edge_that_nothing_can_make_is_told() {
        let supply = |rise| Supply { voltage: 12.0, resistance: None, rise: Some(rise) };
        let told = supply(1e-15).equivalent().unwrap_err();
        assert_eq!((told.len(), told[0].property), (1, "rise"));
        assert!(told[0].message.contains("1e-15 s, shorter than 1 ps"), "{}", told[0].message);
        assert!(supply(1e-12).equivalent().is_ok());
        assert!(supply(0.0).equivalent().is_ok());
    }
}
