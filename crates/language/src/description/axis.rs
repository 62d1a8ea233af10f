//! Axes of a study, and their points by name.

use quantity::{Dimension, Quantity, parse_unit, parse_value_code};

/// What kind of axis this is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AxisKind {
    /// The builder's pick.
    Choice,
    /// What the vehicle meets; verdicts take the worst case over it.
    Condition,
    /// A value that goes from point to point; verdicts take the worst case over it as over a condition.
    Sweep,
}

impl AxisKind {
    /// Whether verdicts take the worst case over such an axis, rather than judge each of its points.
    #[must_use]
    pub fn takes_worst_case(self) -> bool {
        self != Self::Choice
    }
}

/// One axis of the study with the names of its options, cases or values, in the file's order.
#[derive(Clone, Debug)]
pub struct Axis {
    /// The axis' name.
    pub name: String,
    /// Choice, condition or sweep.
    pub kind: AxisKind,
    /// Names of the options or cases; of a sweep the values in print, with so many digits that no two are alike.
    pub points: Vec<String>,
    /// The value at each point of a sweep; empty for all others.
    pub values: Vec<Quantity>,
    /// Index into `points` of the option that others are compared with; `Some` for exactly one choice.
    pub baseline: Option<usize>,
}

/// Two values that differ by less than this fraction are one.
const SAME: f64 = 1e-9;

impl Axis {
    /// The index of the point of this name; of a sweep also the point with this value, however it is written: `4k7`, `4.7 kohm`.
    #[must_use]
    pub fn position(&self, text: &str) -> Option<usize> {
        let named = self.points.iter().position(|name| name == text);
        named.or_else(|| {
            let dimension = self.values.first()?.dimension;
            let value = value(text.trim(), dimension)?;
            self.values.iter().position(|known| (known.value - value).abs() <= SAME * known.value.abs())
        })
    }
}

/// The value of a number with a unit of this dimension, in SI units.
fn value(text: &str, dimension: Dimension) -> Option<f64> {
    if let Some(value) = parse_value_code(text, dimension) {
        return Some(value);
    }
    // The unit is what is left after the longest number.
    let ends = (0..=text.len()).rev().filter(|end| text.is_char_boundary(*end));
    let (number, unit) = ends.map(|end| text.split_at(end)).find_map(|(number, unit)| {
        let number = number.trim().parse::<f64>().ok().filter(|number| number.is_finite())?;
        Some((number, unit.trim()))
    })?;
    if unit.is_empty() {
        return dimension.is_none().then_some(number);
    }
    let quantity = parse_unit(unit).ok()?.of(number);
    (quantity.dimension == dimension).then_some(quantity.value)
}
