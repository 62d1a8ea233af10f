//! Arithmetic that keeps track of dimensions.
//!
//! Everything returns an `Option`: exponents live in a byte each, and a user may ask for the millionth power of a metre.

use crate::{Dimension, Quantity};

impl Dimension {
    fn exponents(self) -> [i8; 7] {
        [self.metre, self.kilogram, self.second, self.ampere, self.kelvin, self.decibel, self.gauge]
    }

    fn from_exponents([metre, kilogram, second, ampere, kelvin, decibel, gauge]: [i8; 7]) -> Self {
        Self { metre, kilogram, second, ampere, kelvin, decibel, gauge }
    }

    fn combine(self, other: Self, operation: impl Fn(i8, i8) -> Option<i8>) -> Option<Self> {
        let mut exponents = self.exponents();
        for (left, right) in exponents.iter_mut().zip(other.exponents()) {
            *left = operation(*left, right)?;
        }
        Some(Self::from_exponents(exponents))
    }

    /// Whether this is a plain number.
    #[must_use]
    pub fn is_none(self) -> bool {
        self == Self::NONE
    }

    /// The dimension of a product; `None` where an exponent leaves -128 to 127.
    #[must_use]
    pub fn multiply(self, other: Self) -> Option<Self> {
        self.combine(other, i8::checked_add)
    }

    /// The dimension of a quotient; `None` where an exponent leaves -128 to 127.
    #[must_use]
    pub fn divide(self, other: Self) -> Option<Self> {
        self.combine(other, i8::checked_sub)
    }

    /// The dimension of a whole power; `None` where an exponent leaves -128 to 127.
    #[must_use]
    pub fn power(self, exponent: i32) -> Option<Self> {
        let mut exponents = self.exponents();
        for each in &mut exponents {
            *each = i8::try_from(i64::from(*each) * i64::from(exponent)).ok()?;
        }
        Some(Self::from_exponents(exponents))
    }

    /// The dimension of a square root; `None` where an exponent is odd.
    #[must_use]
    pub fn square_root(self) -> Option<Self> {
        let mut exponents = self.exponents();
        for each in &mut exponents {
            if *each % 2 != 0 {
                return None;
            }
            *each /= 2;
        }
        Some(Self::from_exponents(exponents))
    }
}

impl Quantity {
    /// A quantity from its value in SI units.
    #[must_use]
    pub const fn new(value: f64, dimension: Dimension) -> Self {
        Self { value, dimension }
    }

    /// A plain number.
    #[must_use]
    pub const fn ratio(value: f64) -> Self {
        Self::new(value, Dimension::NONE)
    }

    /// The sum; `None` for unlike dimensions.
    #[must_use]
    pub fn plus(self, other: Self) -> Option<Self> {
        (self.dimension == other.dimension).then(|| Self::new(self.value + other.value, self.dimension))
    }

    /// The difference; `None` for unlike dimensions.
    #[must_use]
    pub fn minus(self, other: Self) -> Option<Self> {
        (self.dimension == other.dimension).then(|| Self::new(self.value - other.value, self.dimension))
    }

    /// The product; `None` where an exponent leaves -128 to 127.
    #[must_use]
    pub fn multiply(self, other: Self) -> Option<Self> {
        Some(Self::new(self.value * other.value, self.dimension.multiply(other.dimension)?))
    }

    /// The quotient, infinite or NaN by the rules of floating point for a zero divisor; `None` where an exponent
    /// leaves -128 to 127.
    #[must_use]
    pub fn divide(self, other: Self) -> Option<Self> {
        Some(Self::new(self.value / other.value, self.dimension.divide(other.dimension)?))
    }

    /// A whole power; `None` where an exponent leaves -128 to 127.
    #[must_use]
    pub fn power(self, exponent: i32) -> Option<Self> {
        Some(Self::new(self.value.powi(exponent), self.dimension.power(exponent)?))
    }

    /// The square root, NaN for a negative value; `None` where an exponent of the dimension is odd.
    #[must_use]
    pub fn square_root(self) -> Option<Self> {
        Some(Self::new(self.value.sqrt(), self.dimension.square_root()?))
    }
}
