//! The elements of a lithium-polymer cell against charge, as published.
//!
//! Chen and Rincón-Mora, Accurate electrical battery model capable of predicting runtime and I-V performance, IEEE Transactions on
//! Energy Conversion 21 (2006): cells of 850 mAh, discharged at room temperature.

/// Capacity in ampere-hour of the cells that were measured.
pub const CAPACITY: f64 = 0.85;

/// Charge below which the fitted capacitances are no longer above 0; that of the second pair vanishes at 1.1 %.
pub const LEAST_CHARGE: f64 = 0.02;

/// The elements of one cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elements {
    /// Series resistance in ohm.
    pub resistance: f64,
    /// Resistance in ohm and capacitance in farad of the pairs of seconds and of minutes.
    pub slow_pairs: [(f64, f64); 2],
}

impl Elements {
    /// The elements at a charge from 0 to 1; those at [`LEAST_CHARGE`] below it.
    #[must_use]
    pub fn at(charge: f64) -> Self {
        let s = charge.clamp(LEAST_CHARGE, 1.0);
        let law = |a: f64, b: f64, c: f64| a * (-b * s).exp() + c;
        Self {
            resistance: law(0.1562, 24.37, 0.074_46),
            slow_pairs: [
                (law(0.3208, 29.14, 0.046_69), law(-752.9, 13.51, 703.6)),
                (law(6.603, 155.2, 0.049_84), law(-6056.0, 27.12, 4475.0)),
            ],
        }
    }

    /// Those of a cell of the same make with another capacity in ampere-hour: as many such cells in parallel.
    #[must_use]
    pub fn scaled_to(self, capacity: f64) -> Self {
        let times = capacity / CAPACITY;
        Self {
            resistance: self.resistance / times,
            slow_pairs: self
                .slow_pairs
                .map(|(resistance, capacitance)| (resistance / times, capacitance * times)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The paper's laws at 10 % and 50 % (five digits).
    #[test]
    fn elements_of_chen_and_rincon_mora() {
        let rows = [
            (0.1, 0.088_115, (0.064_096, 508.61), (0.049_841, 4072.9)),
            (0.5, 0.074_461, (0.046_69, 702.72), (0.049_84, 4475.0)),
        ];
        for (charge, resistance, short, long) in rows {
            let found = Elements::at(charge);
            let pairs = [
                (found.resistance, resistance),
                (found.slow_pairs[0].0, short.0),
                (found.slow_pairs[0].1, short.1),
                (found.slow_pairs[1].0, long.0),
                (found.slow_pairs[1].1, long.1),
            ];
            for (found, expected) in pairs {
                assert!((found / expected - 1.0).abs() < 1e-4, "{charge}: {found}, expected {expected}");
            }
        }
    }

    #[test]
    fn everything_is_above_0_at_any_charge() {
        for percent in 0..=100 {
            let found = Elements::at(f64::from(percent) / 100.0);
            let all = [
                found.resistance,
                found.slow_pairs[0].0,
                found.slow_pairs[0].1,
                found.slow_pairs[1].0,
                found.slow_pairs[1].1,
            ];
            assert!(all.iter().all(|&value| value > 0.0), "{percent} %: {found:?}");
        }
    }

    /// Two cells in parallel have half the resistance and twice the capacitance; the times stay.
    #[test]
    fn capacity_scales_like_cells_in_parallel() {
        let (one, two) = (Elements::at(0.5), Elements::at(0.5).scaled_to(1.7));
        assert!((two.resistance - one.resistance / 2.0).abs() < 1e-15);
        for (one, two) in one.slow_pairs.into_iter().zip(two.slow_pairs) {
            assert!((two.0 * two.1 - one.0 * one.1).abs() < 1e-10);
        }
    }
}
