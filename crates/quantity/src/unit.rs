//! Reading a unit symbol with its SI prefix.

use crate::unit_hint::suggestions;
use crate::unit_table::{NamedUnit, PREFIXES, UNITS};
use crate::{Dimension, Quantity};
use std::fmt;

/// A unit with its prefix: the SI value of `number` of it is `number * numerator / denominator + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// What it measures.
    pub dimension: Dimension,
    /// Whole number above the fraction bar, exact in binary.
    pub numerator: f64,
    /// Whole number below the fraction bar, exact in binary.
    pub denominator: f64,
    /// SI value of the scale's zero: 273.15 for `degC`, 0 for all others.
    pub offset: f64,
}

impl Unit {
    /// `number` of this unit in SI units.
    #[must_use]
    pub fn of(self, number: f64) -> Quantity {
        Quantity::new(number * self.numerator / self.denominator + self.offset, self.dimension)
    }
}

/// Why a text is no unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnitError {
    /// Only a prefix; the unit after it is missing.
    BarePrefix(char),
    /// Not a unit; with the units that were probably meant, nearest first.
    Unknown(Vec<String>),
}

impl fmt::Display for UnitError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BarePrefix(prefix) => write!(formatter, "`{prefix}` is a prefix without a unit"),
            Self::Unknown(near) if near.is_empty() => write!(formatter, "not a unit"),
            Self::Unknown(near) => write!(formatter, "not a unit; perhaps {}", near.join(" or ")),
        }
    }
}

impl std::error::Error for UnitError {}

/// Reads a unit symbol, case-sensitive, with at most one prefix: `uF`, `mm2`, `kohm`, `%`, `degC`.
///
/// # Errors
/// [`UnitError`] where the text is a lone prefix or no unit at all.
pub fn parse_unit(text: &str) -> Result<Unit, UnitError> {
    // Whole symbols win over prefix and unit: `min` is a minute, `m` a metre, `T` a tesla.
    if let Some(found) = UNITS.iter().find(|unit| unit.symbol == text) {
        return Ok(prefixed(found, 0));
    }
    let mut characters = text.chars();
    let first = characters.next();
    let rest = characters.as_str();
    let Some((_, exponent)) = PREFIXES.iter().find(|(prefix, _)| Some(*prefix) == first) else {
        return Err(UnitError::Unknown(suggestions(text)));
    };
    if rest.is_empty() {
        return Err(UnitError::BarePrefix(text.chars().next().unwrap_or_default()));
    }
    match UNITS.iter().find(|unit| unit.prefixes && unit.symbol == rest) {
        Some(unit) => Ok(prefixed(unit, *exponent)),
        None => Err(UnitError::Unknown(suggestions(text))),
    }
}

fn prefixed(unit: &NamedUnit, exponent: i32) -> Unit {
    let scale = 10_f64.powi(exponent.abs() * unit.power);
    let (mut numerator, mut denominator) = (unit.numerator, unit.denominator);
    if exponent < 0 {
        denominator *= scale;
    } else {
        numerator *= scale;
    }
    // One of the two becomes 1 where both are powers of ten (kg), so that conversion rounds only once.
    let common = if numerator % denominator == 0.0 {
        denominator
    } else if denominator % numerator == 0.0 {
        numerator
    } else {
        1.0
    };
    Unit {
        dimension: unit.dimension,
        numerator: numerator / common,
        denominator: denominator / common,
        offset: unit.offset,
    }
}
