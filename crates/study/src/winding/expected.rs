//! What meters should read, and how far off is still right.

use language::description::{Part, Tolerance, Value};

/// A reading to expect, in SI units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Expected {
    /// What follows from the values as they stand.
    pub nominal: f64,
    /// The least and the greatest that is still right.
    pub range: (f64, f64),
    /// Where the range comes from.
    pub spread: Spread,
}

/// Where the range of a reading comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// The tolerance that the file states.
    Stated,
    /// A winding was measured: two readings of a meter, and how tight the turns lie (5 %: common practice, no source).
    Measured,
    /// How far rings of powder differ from one to the next (10 %; from memory: makers state 8 % to 10 %).
    Powder,
    /// How far rings of ferrite do (25 %; from memory: makers state 20 % to 30 %).
    Ferrite,
    /// Wire: 1.5 % of its diameter either way and ends of up to a tenth of the length (common practice, no source).
    Wire,
}

impl Spread {
    fn fraction(self) -> f64 {
        match self {
            Self::Measured => 0.05,
            Self::Powder => 0.1,
            Self::Ferrite => 0.25,
            Self::Wire | Self::Stated => 0.0,
        }
    }
}

/// What the wire's cross section may lack or have beyond its nominal: twice 1.5 % of the diameter.
const SECTION: f64 = 0.03;
/// What uncut ends add to the length.
pub(super) const ENDS: f64 = 0.1;

/// The inductance of `turns` turns as a meter reads it without current.
pub(super) fn inductance(part: &Part, nominal: f64) -> Expected {
    let stated = |property: &str| match part.properties.get(property) {
        Some(Value::Number(_, Some(Tolerance::Relative(fraction)))) => Some(*fraction),
        Some(Value::Number(quantity, Some(Tolerance::Absolute(absolute)))) if quantity.value != 0.0 => {
            Some(absolute / quantity.value.abs())
        }
        _ => None,
    };
    let has = |property: &str| part.properties.contains_key(property);
    // In the order in which the coil takes its inductance from them.
    let source = ["inductance", "al", "test_inductance", "permeability"].into_iter().find(|name| has(name));
    let (fraction, spread) = match source.and_then(stated) {
        Some(fraction) => (fraction, Spread::Stated),
        None => {
            let spread = match source {
                Some("inductance" | "test_inductance") => Spread::Measured,
                _ if part.word("material") == Some("powder") => Spread::Powder,
                _ => Spread::Ferrite,
            };
            (spread.fraction(), spread)
        }
    };
    Expected { nominal, range: (nominal * (1.0 - fraction), nominal * (1.0 + fraction)), spread }
}

/// The resistance of wire as an ohmmeter reads it.
pub(super) fn resistance(nominal: f64) -> Expected {
    let range = (nominal * (1.0 - SECTION), nominal * (1.0 + SECTION) * (1.0 + ENDS));
    Expected { nominal, range, spread: Spread::Wire }
}
