//! Exact periods of sources and their least common multiple.
//!
//! Whether two sources have a common period is a question about exact numbers: 20 kHz and 480 Hz repeat together after
//! 6.25 ms, while the doubles nearest to their periods never do. A period is therefore kept as a fraction, read from the
//! shortest decimal text of the number that the user gave.

/// A period in seconds as an exact fraction in lowest terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Period {
    numerator: u128,
    denominator: u128,
}

impl Period {
    /// Longest common period in seconds that is still worth looking for.
    pub const LONGEST_COMMON: u128 = 1;

    /// The period of `frequency` in hertz, read as its shortest decimal text.
    ///
    /// `None` where it is not a finite number above 0 or too large or small for exact arithmetic.
    #[must_use]
    pub fn from_frequency(frequency: f64) -> Option<Self> {
        let Self { numerator, denominator } = Self::from_seconds(frequency)?;
        Some(Self { numerator: denominator, denominator: numerator })
    }

    /// The period of `seconds`, read as its shortest decimal text.
    ///
    /// `None` where it is not a finite number above 0 or too large or small for exact arithmetic.
    #[must_use]
    pub fn from_seconds(seconds: f64) -> Option<Self> {
        if !(seconds.is_finite() && seconds > 0.0) {
            return None;
        }
        let text = format!("{seconds:e}");
        let (mantissa, exponent) = text.split_once('e')?;
        let exponent: i32 = exponent.parse().ok()?;
        let (whole, fraction) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        let digits: u128 = format!("{whole}{fraction}").parse().ok()?;
        let exponent = exponent - i32::try_from(fraction.len()).ok()?;
        let power = 10_u128.checked_pow(exponent.unsigned_abs())?;
        if exponent >= 0 {
            Some(Self::reduced(digits.checked_mul(power)?, 1))
        } else {
            Some(Self::reduced(digits, power))
        }
    }

    /// The period in seconds, rounded once.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }

    /// So many periods one after another; `None` where exact arithmetic overflows.
    #[must_use]
    pub fn times(&self, count: u32) -> Option<Self> {
        Some(Self::reduced(self.numerator.checked_mul(u128::from(count))?, self.denominator))
    }

    /// The least common multiple of `periods`.
    ///
    /// `None` where there are no periods, where it is longer than [`Self::LONGEST_COMMON`] or where exact arithmetic
    /// overflows (which means the same: numbers with many digits have no short common period).
    #[must_use]
    pub fn common(periods: &[Self]) -> Option<Self> {
        let (first, rest) = periods.split_first()?;
        let common = rest.iter().try_fold(*first, |common, &period| common.least_common_multiple(period))?;
        let longest = Self::LONGEST_COMMON.checked_mul(common.denominator)?;
        (common.numerator <= longest).then_some(common)
    }

    /// For fractions in lowest terms, lcm(a/b, c/d) = lcm(a, c) / gcd(b, d).
    fn least_common_multiple(self, other: Self) -> Option<Self> {
        let shared = greatest_common_divisor(self.numerator, other.numerator);
        let numerator = self.numerator.checked_mul(other.numerator / shared)?;
        Some(Self { numerator, denominator: greatest_common_divisor(self.denominator, other.denominator) })
    }

    fn reduced(numerator: u128, denominator: u128) -> Self {
        let shared = greatest_common_divisor(numerator, denominator);
        Self { numerator: numerator / shared, denominator: denominator / shared }
    }
}

fn greatest_common_divisor(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frequency(hertz: f64) -> Period {
        Period::from_frequency(hertz).unwrap()
    }

    #[test]
    fn text_of_a_number_is_taken_exactly() {
        assert_eq!(frequency(0.1), Period { numerator: 10, denominator: 1 });
        assert_eq!(frequency(20e3), Period { numerator: 1, denominator: 20_000 });
        assert_eq!(Period::from_seconds(0.000_15), Some(Period { numerator: 3, denominator: 20_000 }));
        assert_eq!(Period::from_seconds(2.5).unwrap().seconds(), 2.5);
    }

    #[test]
    fn periods_one_after_another() {
        assert_eq!(frequency(480.0).times(6), Some(Period { numerator: 1, denominator: 80 }));
        assert_eq!(frequency(1e-30).times(u32::MAX).and_then(|period| period.times(u32::MAX)), None);
    }

    #[test]
    fn what_is_no_period_is_refused() {
        for value in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300, 1e-300, f64::MIN_POSITIVE] {
            assert_eq!(Period::from_frequency(value), None, "{value}");
            assert_eq!(Period::from_seconds(value), None, "{value}");
        }
    }

    #[test]
    fn common_period_is_one_over_the_greatest_common_divisor_of_the_frequencies() {
        // gcd(20000, 480) = 160, so 1/160 s = 6.25 ms.
        let common = Period::common(&[frequency(20e3), frequency(480.0)]).unwrap();
        assert_eq!(common, Period { numerator: 1, denominator: 160 });
        // 0.1 ms and 0.15 ms meet after 0.3 ms.
        let common = Period::common(&[frequency(1e4), Period::from_seconds(0.000_15).unwrap()]).unwrap();
        assert_eq!(common, Period { numerator: 3, denominator: 10_000 });
        assert_eq!(Period::common(&[frequency(20e3)]), Some(frequency(20e3)));
    }

    #[test]
    fn long_common_periods_are_not_looked_for() {
        assert_eq!(Period::common(&[]), None);
        assert_eq!(Period::common(&[frequency(0.5)]), None);
        assert_eq!(Period::common(&[frequency(1.0)]), Some(frequency(1.0)));
        assert_eq!(Period::common(&[frequency(20e3), frequency(19_999.5)]), None);
        let odd =
            [12_345.678_901_234_567, 9_876.543_210_987_654, 3_333.333_333_333_333, 7.777_777_777_777_77];
        assert_eq!(Period::common(&odd.map(frequency)), None);
    }
}
