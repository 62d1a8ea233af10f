//! Exact periods of sources and their least common multiple.

/// A period in seconds as an exact fraction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Period {
    numerator: u128,
    denominator: u128,
}

impl Period {
    /// The period in seconds, rounded once.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }
}
