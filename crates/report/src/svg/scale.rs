//! Straight scales with ticks at round numbers and engineering prefixes, and such ticks for logarithmic ones.

use crate::text;
use quantity::{Dimension, unit_symbol};

/// Maps values to a coordinate and names its ticks.
#[derive(Clone, Debug)]
pub(super) struct Scale {
    low: f64,
    high: f64,
    /// Coordinates of `low` and `high`.
    ends: (f64, f64),
}

/// A place on the axis with its label.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Tick {
    pub(super) value: f64,
    pub(super) label: String,
}

impl Scale {
    /// A scale from `low` to `high`, in either order, which are pulled apart where they are equal; what is not a finite
    /// number counts as 0.
    pub(super) fn new(low: f64, high: f64, ends: (f64, f64)) -> Self {
        let [one, other] = [low, high].map(|end| if end.is_finite() { end } else { 0.0 });
        let (low, high) = (one.min(other), one.max(other));
        let least = f64::MIN_POSITIVE.max(1e-12 * low.abs().max(high.abs())).max(1e-15);
        let (low, high) = if high - low > least { (low, high) } else { (low - least, high + least) };
        Self { low, high, ends }
    }

    /// The same with `share` of its span added at both ends.
    pub(super) fn padded(self, share: f64) -> Self {
        let pad = share * (self.high - self.low);
        Self { low: self.low - pad, high: self.high + pad, ..self }
    }

    /// Its lower and upper end.
    pub(super) fn reach(&self) -> (f64, f64) {
        (self.low, self.high)
    }

    /// The coordinate of `value`, kept on the page even for values far outside.
    pub(super) fn place(&self, value: f64) -> f64 {
        let share = ((value - self.low) / (self.high - self.low)).clamp(-1.0, 2.0);
        self.ends.0 + share * (self.ends.1 - self.ends.0)
    }

    /// The first and last multiple of `step` on the scale, with a hair of slack, so that an end that is a multiple up to
    /// rounding counts.
    fn multiples(&self, step: f64) -> (i64, i64) {
        let slack = 1e-6 * (self.high - self.low);
        (((self.low - slack) / step).ceil() as i64, ((self.high + slack) / step).floor() as i64)
    }

    /// Ticks at multiples of the finest of 1, 2 or 5 times a power of ten that gives at most `most` of them.
    pub(super) fn ticks(&self, most: usize, dimension: Dimension) -> Vec<Tick> {
        let most = most.max(2);
        let rough = (self.high - self.low) / (most + 1) as f64;
        let steps = round_steps(rough).map(|step| (step, self.multiples(step)));
        let fitting = steps.into_iter().find(|(_, (first, last))| last - first < most as i64);
        let Some((step, (first, last))) = fitting else { return Vec::new() };
        let largest = first.unsigned_abs().max(last.unsigned_abs()) as f64 * step;
        // Prefixes of a mass stand before the gram, though its unit is the kilogram.
        let (unit, base) = match dimension {
            Dimension::MASS => ("g".to_owned(), -3),
            _ => (unit_symbol(dimension), 0),
        };
        let (prefix, exponent) = prefix(largest / 10_f64.powi(base), dimension);
        let exponent = exponent + base;
        let symbol = if unit == "1" { String::new() } else { format!(" {prefix}{unit}") };
        let scaled = |value: f64| value / 10_f64.powi(exponent);
        let decimals = usize::try_from(-(scaled(step).log10() + 1e-9).floor() as i64).unwrap_or(0);
        let label = |value: f64| {
            let number = format!("{:.decimals$}", scaled(value).abs());
            let sign = if value < 0.0 { "\u{2212}" } else { "" };
            format!("{sign}{number}{symbol}")
        };
        (first..=last)
            .map(|multiple| multiple as f64 * step)
            .map(|value| Tick { value, label: label(value) })
            .collect()
    }
}

/// 1, 2 and 5 times powers of ten, from the decade of `rough` upwards.
fn round_steps(rough: f64) -> [f64; 6] {
    let decade = 10_f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0, 20.0, 50.0].map(|step| step * decade)
}

/// SI prefix and its power of ten for an axis that goes up to `largest`; none for units that take no prefix.
fn prefix(largest: f64, dimension: Dimension) -> (&'static str, i32) {
    const PREFIXES: [(&str, i32); 8] =
        [("p", -12), ("n", -9), ("µ", -6), ("m", -3), ("", 0), ("k", 3), ("M", 6), ("G", 9)];
    let plain = [Dimension::NONE, Dimension::LEVEL, Dimension::TEMPERATURE];
    if plain.contains(&dimension) || unit_symbol(dimension).contains(' ') || largest <= 0.0 {
        return ("", 0);
    }
    let wanted = (largest.log10() + 1e-9).floor() as i32;
    *PREFIXES.iter().rev().find(|(_, exponent)| *exponent <= wanted).unwrap_or(&PREFIXES[0])
}

/// Ticks at powers of ten between two logarithms, at most `most`; at 2 and 5 times them too where there would be few.
pub(super) fn powers((low, high): (f64, f64), dimension: Dimension, most: usize) -> Vec<Tick> {
    let steps: &[f64] = match high - low {
        span if span < 1.0 => &[1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0],
        span if span < 2.5 => &[1.0, 2.0, 5.0],
        _ => &[1.0],
    };
    let exponents = low.floor() as i32..=high.ceil() as i32;
    let stride = ((high - low) / most as f64).ceil().max(1.0) as i32;
    let exponents = exponents.filter(|exponent| exponent.rem_euclid(stride) == 0);
    let places = exponents.flat_map(|exponent| steps.iter().map(move |step| step * 10_f64.powi(exponent)));
    places
        .filter(|value| (low - 1e-9..=high + 1e-9).contains(&value.log10()))
        .map(|value| Tick { value: value.log10(), label: text::with_micro(&text::value(value, dimension)) })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(low: f64, high: f64, most: usize, dimension: Dimension) -> Vec<String> {
        Scale::new(low, high, (0.0, 100.0))
            .ticks(most, dimension)
            .into_iter()
            .map(|tick| tick.label)
            .collect()
    }

    #[test]
    fn ticks_are_round_and_carry_a_prefix() {
        assert_eq!(
            labels(-0.047, 0.044, 5, Dimension::VOLTAGE),
            ["\u{2212}40 mV", "\u{2212}20 mV", "0 mV", "20 mV", "40 mV"]
        );
        assert_eq!(labels(0.0, 150e-6, 4, Dimension::TIME), ["0 µs", "50 µs", "100 µs", "150 µs"]);
        assert_eq!(labels(0.0, 12.5e-3, 4, Dimension::TIME), ["0 ms", "5 ms", "10 ms"]);
        assert_eq!(labels(0.0, 1.0, 4, Dimension::VOLTAGE), ["0.0 V", "0.5 V", "1.0 V"]);
    }

    #[test]
    fn places_are_linear_and_a_flat_signal_has_a_scale() {
        let scale = Scale::new(-1.0, 3.0, (200.0, 0.0));
        assert_eq!([-1.0, 1.0, 3.0].map(|value| scale.place(value)), [200.0, 100.0, 0.0]);
        let flat = Scale::new(0.0, 0.0, (0.0, 100.0));
        assert!((flat.place(0.0) - 50.0).abs() < 1e-9);
        assert!(!flat.ticks(4, Dimension::VOLTAGE).is_empty());
    }

    /// The step between ticks as a number from 1 to 10.
    fn mantissa(ticks: &[Tick]) -> f64 {
        let step = ticks[1].value - ticks[0].value;
        step / 10_f64.powf((step.log10() + 1e-6).floor())
    }

    #[test]
    fn steps_are_1_2_or_5_over_every_magnitude() {
        for decade in -11..9 {
            for width in [1.0, 1.3, 2.1, 3.7, 4.9, 7.6, 9.99] {
                for offset in [-0.5, 0.0, 0.31, 2.0] {
                    let span = width * 10_f64.powi(decade);
                    let (low, high) = (offset * span, (offset + 1.0) * span);
                    let ticks = Scale::new(low, high, (0.0, 100.0)).ticks(5, Dimension::VOLTAGE);
                    assert!((2..=5).contains(&ticks.len()), "{low} {high}: {} ticks", ticks.len());
                    let mantissa = mantissa(&ticks);
                    let round = [1.0, 2.0, 5.0].iter().any(|one| (mantissa - one).abs() < 1e-6);
                    assert!(round, "{low} {high}: {mantissa}");
                    let inside =
                        |tick: &Tick| tick.value >= low - 2e-6 * span && tick.value <= high + 2e-6 * span;
                    assert!(ticks.iter().all(inside), "{low} {high}");
                    let mut labels: Vec<&str> = ticks.iter().map(|tick| tick.label.as_str()).collect();
                    labels.dedup();
                    assert_eq!(labels.len(), ticks.len(), "{labels:?}");
                }
            }
        }
    }

    #[test]
    fn prefixes_follow_the_largest_tick() {
        let last = |high: f64, dimension| labels(0.0, high, 4, dimension).pop().unwrap();
        assert_eq!(last(4e-12, Dimension::CAPACITANCE), "4 pF");
        assert_eq!(last(4e-9, Dimension::TIME), "4 ns");
        assert_eq!(last(4e-6, Dimension::TIME), "4 µs");
        assert_eq!(last(4e3, Dimension::FREQUENCY), "4 kHz");
        assert_eq!(last(4e6, Dimension::FREQUENCY), "4 MHz");
        assert_eq!(last(4e9, Dimension::FREQUENCY), "4 GHz");
        assert_eq!(last(4e-3, Dimension::MASS), "4 g");
        assert_eq!(last(4e-4, Dimension::MASS), "400 mg");
        assert_eq!(last(4.0, Dimension::MASS), "4 kg");
        // A decibel and a bare ratio take none.
        assert_eq!(last(4e-3, Dimension::LEVEL), "0.004 dB");
        assert_eq!(last(4e3, Dimension::NONE), "4000");
    }

    #[test]
    fn degenerate_ranges_have_finite_places() {
        let ranges = [
            (0.0, 0.0),
            (12.0, 12.0),
            (-1e9, -1e9),
            (3.0, -3.0),
            (f64::NAN, 1.0),
            (f64::NAN, f64::NAN),
            (f64::NEG_INFINITY, f64::INFINITY),
            (0.0, f64::MIN_POSITIVE),
            (1.0, 1.0 + f64::EPSILON),
        ];
        for (low, high) in ranges {
            let scale = Scale::new(low, high, (0.0, 100.0)).padded(0.08);
            for value in [-1e12, -1.0, 0.0, 12.0, 1e12] {
                assert!(scale.place(value).is_finite(), "{low} {high}: {value}");
            }
            let ticks = scale.ticks(5, Dimension::VOLTAGE);
            assert!(ticks.len() <= 5, "{low} {high}");
            for tick in ticks {
                assert!(
                    tick.value.is_finite() && !tick.label.contains("NaN"),
                    "{low} {high}: {}",
                    tick.label
                );
            }
        }
    }
}
