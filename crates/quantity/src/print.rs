//! Printing quantities: engineering notation with a sensible unit.

use crate::unit_table::{PREFIXES, UNITS};
use crate::{Dimension, Quantity};

/// The SI unit of a dimension as one word: `V`, `kg`, `1` for a ratio, a power product such as `m2 kg s-3` where the
/// dimension has no name.
#[must_use]
pub fn unit_symbol(dimension: Dimension) -> String {
    if dimension.is_none() {
        return "1".to_owned();
    }
    if dimension == Dimension::MASS {
        return "kg".to_owned();
    }
    let named = UNITS.iter().find(|unit| unit.dimension == dimension && unit.denominator == 1.0);
    named.map_or_else(|| power_product(dimension), |unit| unit.symbol.to_owned())
}

fn power_product(dimension: Dimension) -> String {
    let factors = [
        ("m", dimension.metre),
        ("kg", dimension.kilogram),
        ("s", dimension.second),
        ("A", dimension.ampere),
        ("K", dimension.kelvin),
        ("dB", dimension.decibel),
        ("AWG", dimension.gauge),
    ];
    let present = factors.iter().filter(|(_, exponent)| *exponent != 0);
    let words: Vec<String> = present
        .map(
            |(symbol, exponent)| {
                if *exponent == 1 { (*symbol).to_owned() } else { format!("{symbol}{exponent}") }
            },
        )
        .collect();
    words.join(" ")
}

/// A quantity with `digits` significant digits (at least 1, at most 17), without trailing zeros after the point, in
/// engineering notation: `330 uH`, `2.68 V`, `-12.3 mV`, `0 V`, `60 %`, `2.5 mm2`, `24 AWG`.
///
/// Beyond the prefixes from f to G the power of ten is written out: `1.5e12 ohm`. Temperatures are in kelvin.
#[must_use]
pub fn engineering(quantity: Quantity, digits: usize) -> String {
    let digits = digits.clamp(1, 17);
    let Quantity { value, dimension } = quantity;
    if dimension.is_none() {
        // 100 times a binary fraction need not be exact: the digits are shifted in decimal instead.
        return match Decimal::of(value, digits) {
            Some(decimal) => format!("{} %", decimal.shifted(2).plain()),
            None => format!("{} %", not_finite(value)),
        };
    }
    let (symbol, power, base) = printed_unit(dimension);
    let Some(decimal) = Decimal::of(value, digits) else {
        return format!("{} {symbol}", not_finite(value));
    };
    let decimal = decimal.shifted(-base);
    let Some(power) = power else {
        return format!("{} {symbol}", decimal.plain());
    };
    if decimal.is_zero() {
        return format!("0 {symbol}");
    }
    let step = 3 * power;
    let exponent = decimal.exponent.div_euclid(step) * step;
    if exponent == 0 {
        return format!("{} {symbol}", decimal.plain());
    }
    match PREFIXES.iter().find(|(_, each)| each * power == exponent) {
        Some((prefix, _)) => format!("{} {prefix}{symbol}", decimal.shifted(-exponent).plain()),
        None => format!("{} {symbol}", decimal.scientific()),
    }
}

/// Symbol, power of its prefix (`None`: takes no prefix), and the power of ten of the symbol in SI units.
fn printed_unit(dimension: Dimension) -> (String, Option<i32>, i32) {
    if dimension == Dimension::MASS {
        return ("g".to_owned(), Some(1), -3);
    }
    match UNITS.iter().find(|unit| unit.dimension == dimension && unit.denominator == 1.0) {
        Some(unit) if dimension == Dimension::TEMPERATURE => (unit.symbol.to_owned(), None, 0),
        Some(unit) => (unit.symbol.to_owned(), unit.prefixes.then_some(unit.power), 0),
        None => (power_product(dimension), None, 0),
    }
}

fn not_finite(value: f64) -> &'static str {
    if value.is_nan() {
        "undefined"
    } else if value > 0.0 {
        "infinite"
    } else {
        "-infinite"
    }
}

/// A number as its rounded decimal digits, so that choosing a prefix can't round a second time.
struct Decimal {
    negative: bool,
    /// Significant digits without trailing zeros; empty for zero.
    digits: String,
    /// Power of ten of the first digit.
    exponent: i32,
}

impl Decimal {
    fn of(value: f64, digits: usize) -> Option<Self> {
        if !value.is_finite() {
            return None;
        }
        let text = format!("{:.*e}", digits - 1, value.abs());
        let (mantissa, exponent) = text.split_once('e')?;
        let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
        let digits = digits.trim_end_matches('0').to_owned();
        let negative = value < 0.0 && !digits.is_empty();
        Some(Self { negative, digits, exponent: exponent.parse().ok()? })
    }

    fn is_zero(&self) -> bool {
        self.digits.is_empty()
    }

    fn shifted(mut self, by: i32) -> Self {
        self.exponent += by;
        self
    }

    fn sign(&self) -> &'static str {
        if self.negative { "-" } else { "" }
    }

    /// `1.5e12`.
    fn scientific(&self) -> String {
        if self.is_zero() {
            return "0".to_owned();
        }
        let (first, rest) = self.digits.split_at(1);
        let point = if rest.is_empty() { "" } else { "." };
        format!("{}{first}{point}{rest}e{}", self.sign(), self.exponent)
    }

    /// `0.0015` or `1500`; scientific where that would take more than a dozen zeros.
    fn plain(&self) -> String {
        const MOST_ZEROS: i32 = 12;
        if self.is_zero() {
            return "0".to_owned();
        }
        if self.exponent.abs() > MOST_ZEROS {
            return self.scientific();
        }
        let sign = self.sign();
        let Ok(before_point) = usize::try_from(self.exponent + 1) else {
            return format!(
                "{sign}0.{}{}",
                "0".repeat(self.exponent.unsigned_abs() as usize - 1),
                self.digits
            );
        };
        if before_point == 0 {
            return format!("{sign}0.{}", self.digits);
        }
        if before_point >= self.digits.len() {
            return format!("{sign}{}{}", self.digits, "0".repeat(before_point - self.digits.len()));
        }
        let (whole, fraction) = self.digits.split_at(before_point);
        format!("{sign}{whole}.{fraction}")
    }
}
