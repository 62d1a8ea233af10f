//! What elimination asks of a number: one real or complex number, or those of several systems side by side.

use nalgebra::ComplexField;

/// Numbers that a plan of elimination works on.
pub(crate) trait Number: Copy {
    /// How large a number is: one real, or one for each system.
    type Size: Copy;

    /// Nothing.
    fn zero() -> Self;

    /// The size of nothing.
    fn no_size() -> Self::Size;

    /// The difference.
    #[must_use]
    fn minus(self, other: Self) -> Self;

    /// self - a b.
    #[must_use]
    fn minus_product(self, a: Self, b: Self) -> Self;

    /// self times another.
    #[must_use]
    fn times(self, other: Self) -> Self;

    /// self / pivot: a quotient of equals is 1 to the last bit, as their product with an inverse is not; of a nanoohm between two
    /// nodes that would leave what a load draws there.
    #[must_use]
    fn over(self, pivot: Self) -> Self;

    /// One over it.
    #[must_use]
    fn inverse(self) -> Self;

    /// Whether it is nothing, in all systems.
    fn is_zero(self) -> bool;

    /// Takes note of a number: the greatest size stays, and what is no number stays for good.
    fn note(self, greatest: &mut Self::Size);

    /// Takes note of a number only where it is not finite.
    fn note_infinite(self, greatest: &mut Self::Size);
}

/// The greater of both, or what is no number.
#[inline(always)]
pub(super) fn greater(greatest: f64, size: f64) -> f64 {
    if size > greatest || size.is_nan() { size } else { greatest }
}

impl<T: ComplexField<RealField = f64> + Copy> Number for T {
    type Size = f64;

    #[inline(always)]
    fn zero() -> Self {
        T::zero()
    }

    #[inline(always)]
    fn no_size() -> f64 {
        0.0
    }

    #[inline(always)]
    fn minus(self, other: Self) -> Self {
        self - other
    }

    #[inline(always)]
    fn minus_product(self, a: Self, b: Self) -> Self {
        self - a * b
    }

    #[inline(always)]
    fn times(self, other: Self) -> Self {
        self * other
    }

    #[inline(always)]
    fn over(self, pivot: Self) -> Self {
        self / pivot
    }

    #[inline(always)]
    fn inverse(self) -> Self {
        self.recip()
    }

    #[inline(always)]
    fn is_zero(self) -> bool {
        self == T::zero()
    }

    #[inline(always)]
    fn note(self, greatest: &mut f64) {
        *greatest = greater(*greatest, self.norm1());
    }

    #[inline(always)]
    fn note_infinite(self, greatest: &mut f64) {
        *greatest = greater(*greatest, 0.0 * self.norm1());
    }
}
