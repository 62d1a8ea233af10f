//! A fuse: its cold resistance. It never blows here; what would blow it is warned of.

use crate::fact::Fact;
use crate::mistake::{Checks, Mistake, with_unit};
use quantity::Dimension;

/// Cold resistance in ohm of a blade fuse rated 1 A, and the power by which it falls with the rating: 120 mohm at 1 A, 7.6 mohm
/// at 10 A, 2 mohm at 30 A, within a tenth of what makers state (from memory).
const TYPICAL: (f64, f64) = (0.12, -1.2);
/// Multiple of its rating at which a blade fuse opens within ten minutes at the latest: ISO 8820-3, from memory.
pub const OPENS_AT: f64 = 1.35;

/// What is said of a fuse.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Fuse {
    /// Rated current in ampere.
    pub rated: f64,
    /// Cold resistance in ohm.
    pub resistance: Option<f64>,
    /// Greatest voltage in volt that it can interrupt.
    pub voltage_rating: Option<f64>,
}

/// The electrical equivalent.
#[derive(Clone, Debug, PartialEq)]
pub struct Equivalent {
    /// Resistance in ohm.
    pub resistance: f64,
    /// What its values come to.
    pub facts: Vec<Fact>,
    /// Defaults that were taken, as sentences.
    pub assumptions: Vec<String>,
}

impl Fuse {
    /// The equivalent, or every mistake.
    pub fn equivalent(&self) -> Result<Equivalent, Vec<Mistake>> {
        let mut checks = Checks::default();
        checks.positive("rated", Some(self.rated));
        checks.not_negative("resistance", self.resistance);
        checks.positive("voltage_rating", self.voltage_rating);
        checks.finish(|| {
            let mut assumptions = Vec::new();
            let resistance = self.resistance.unwrap_or_else(|| {
                let typical = TYPICAL.0 * self.rated.powf(TYPICAL.1);
                assumptions.push(format!(
                    "resistance {}, as cold blade fuses of its rating have",
                    with_unit(typical, "ohm")
                ));
                typical
            });
            assumptions.push("it does not blow here, whatever flows".to_owned());
            let facts = vec![
                Fact::new("resistance", resistance, Dimension::RESISTANCE),
                Fact::new("voltage_at_rating", resistance * self.rated, Dimension::VOLTAGE),
                Fact::new("opening_current", OPENS_AT * self.rated, Dimension::CURRENT),
            ];
            Equivalent { resistance, facts, assumptions }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Cold resistances of blade fuses by their makers (from memory), which the law meets within a tenth.
    #[test]
    fn typical_resistances() {
        for (rated, milliohm) in
            [(1.0, 123.0), (2.0, 53.5), (3.0, 31.1), (5.0, 17.85), (10.0, 7.7), (20.0, 3.21), (30.0, 1.93)]
        {
            let fuse = Fuse { rated, ..Fuse::default() }.equivalent().unwrap();
            assert!((fuse.resistance / milliohm / 1e-3 - 1.0).abs() < 0.1, "{rated}: {}", fuse.resistance);
        }
    }

    #[test]
    fn stated_values_stand() {
        let fuse =
            Fuse { rated: 5.0, resistance: Some(0.02), voltage_rating: Some(32.0) }.equivalent().unwrap();
        assert_eq!((fuse.resistance, fuse.facts[1].value), (0.02, 0.1));
        assert_eq!(fuse.assumptions, ["it does not blow here, whatever flows"]);
        assert_eq!(Fuse::default().equivalent().unwrap_err()[0].property, "rated");
    }
}
