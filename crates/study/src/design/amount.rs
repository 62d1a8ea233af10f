//! Sums of masses and costs of which some may be unknown.

/// A sum, and what is missing from it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Amount {
    /// Sum of what is known.
    pub known: f64,
    /// Lines of the stock whose share is unknown, sorted, as often as they are used.
    pub unknown: Vec<usize>,
}

impl Amount {
    /// The share of one line.
    #[must_use]
    pub fn of(value: Option<f64>, line: usize) -> Self {
        match value {
            Some(known) => Self { known, unknown: Vec::new() },
            None => Self { known: 0.0, unknown: vec![line] },
        }
    }

    /// Adds another.
    pub fn add(&mut self, other: &Self) {
        self.known += other.known;
        self.unknown.extend(&other.unknown);
        self.unknown.sort_unstable();
    }

    /// Whether it is certainly not more than another: what is unknown here is so there too, and what is known is no more. Nothing
    /// weighs or costs less than nothing.
    #[must_use]
    pub fn at_most(&self, other: &Self) -> bool {
        let mut there = other.unknown.iter();
        self.known <= other.known && self.unknown.iter().all(|line| there.any(|known| known == line))
    }
}

#[cfg(test)]
mod tests {
    use super::Amount;

    #[test]
    fn what_is_unknown_compares_with_itself_alone() {
        let sum = |known, unknown: &[usize]| Amount { known, unknown: unknown.to_vec() };
        assert!(sum(1.0, &[]).at_most(&sum(2.0, &[])));
        assert!(sum(1.0, &[]).at_most(&sum(1.0, &[3])));
        assert!(!sum(1.0, &[3]).at_most(&sum(2.0, &[])));
        assert!(sum(1.0, &[3]).at_most(&sum(1.0, &[2, 3])));
        assert!(!sum(1.0, &[3, 3]).at_most(&sum(2.0, &[2, 3])));
        assert!(!sum(2.0, &[]).at_most(&sum(1.0, &[3])));
    }
}
