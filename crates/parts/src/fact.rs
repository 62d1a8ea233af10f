//! What a part's values come to: figures that follow from what was said of it, for people and programs to see.

use quantity::Dimension;

/// A figure of a part, such as the resistance that follows from a wire's length and size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fact {
    /// Its name, words of the trade joined by `_`: `resistance`, `fusing_current`.
    pub name: &'static str,
    /// Its value in SI units.
    pub value: f64,
    /// What kind of quantity it is.
    pub dimension: Dimension,
    /// Whether it is a plain number, such as a count, where a number without dimension is otherwise a share.
    pub plain: bool,
}

impl Fact {
    /// A figure by its name, value in SI units and dimension.
    #[must_use]
    pub const fn new(name: &'static str, value: f64, dimension: Dimension) -> Self {
        Self { name, value, dimension, plain: false }
    }

    /// A plain number, such as a count.
    #[must_use]
    pub const fn plain(name: &'static str, value: f64) -> Self {
        Self { name, value, dimension: Dimension::NONE, plain: true }
    }
}
