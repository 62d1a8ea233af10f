//! Names of a sweep's points: the values in print.

use crate::syntax::SweepPoints;
use quantity::{Dimension, Quantity, engineering};
use rustc_hash::FxHashSet as HashSet;

/// Fewest and most significant digits: what a table shows, and what tells any two numbers apart.
const DIGITS: std::ops::RangeInclusive<usize> = 4..=17;
/// Zero of the scale of `degC` in kelvin.
const CELSIUS: f64 = 273.15;

/// What the values are written like.
pub(super) enum Style {
    Engineering,
    /// A plain number, where a percentage would read oddly: 2 cells.
    Plain,
    Celsius,
}

impl Style {
    /// As the file writes them; `percent` tells whether such values usually are percentages.
    pub(super) fn of(points: &SweepPoints, percent: bool, values: &[Quantity]) -> Self {
        let mentioned = |unit| points.values().iter().any(|node| node.mentions_unit(unit));
        match values.first().map(|value| value.dimension) {
            Some(Dimension::NONE) if !mentioned("%") && !percent => Self::Plain,
            Some(Dimension::TEMPERATURE) if mentioned("degC") => Self::Celsius,
            _ => Self::Engineering,
        }
    }

    /// All of them, with so many digits that no two are alike; `None` where no number of digits does that.
    pub(super) fn names(&self, values: &[Quantity]) -> Option<Vec<String>> {
        DIGITS.map(|digits| values.iter().map(|value| self.name(*value, digits)).collect::<Vec<_>>()).find(
            |names| {
                let mut seen = HashSet::with_capacity_and_hasher(names.len(), Default::default());
                names.iter().all(|name| seen.insert(name.as_str()))
            },
        )
    }

    fn name(&self, quantity: Quantity, digits: usize) -> String {
        match self {
            Self::Engineering => engineering(quantity, digits),
            Self::Plain => plain(quantity.value, digits),
            Self::Celsius => format!("{} degC", plain(tidy_difference(quantity.value), digits)),
        }
    }
}

/// With so many significant digits, trailing zeros left out.
fn plain(value: f64, digits: usize) -> String {
    let rounded: f64 = format!("{value:.*e}", digits - 1).parse().unwrap_or(value);
    (rounded + 0.0).to_string()
}

/// The difference to the scale's zero without what the subtraction of two doubles adds: a hundred-millionth of a degree is
/// below every thermometer.
fn tidy_difference(kelvin: f64) -> f64 {
    let celsius = kelvin - CELSIUS;
    format!("{celsius:.9}").parse().unwrap_or(celsius)
}
