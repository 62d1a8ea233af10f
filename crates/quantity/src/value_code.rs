//! Value codes of IEC 60062: a letter that is both the multiplier and the decimal sign.

use crate::Dimension;

/// Whether `text` has the form of a value code: digits with one letter among, before or after them.
#[must_use]
pub fn looks_like_value_code(text: &str) -> bool {
    let mut letters = text.chars().filter(|each| !each.is_ascii_digit());
    let letter = letters.next();
    letters.next().is_none()
        && letter.is_some_and(|letter| "RkKMGmu\u{b5}\u{3bc}npFH".contains(letter))
        && text.chars().any(|each| each.is_ascii_digit())
}

/// Power of ten that `letter` stands for in a code for `dimension`.
///
/// `R`, `F` and `H` mark the unit itself. Upper-case `K` is the standard's kilo, lower-case `k` what people write.
fn multiplier(letter: char, dimension: Dimension) -> Option<i32> {
    let exponent = match letter {
        'p' => -12,
        'n' => -9,
        'u' | '\u{b5}' | '\u{3bc}' => -6,
        'm' => -3,
        'R' | 'F' | 'H' => 0,
        'k' | 'K' => 3,
        'M' => 6,
        'G' => 9,
        _ => return None,
    };
    let fits = match dimension {
        Dimension::RESISTANCE => letter == 'R' || exponent == -3 || exponent > 0,
        Dimension::CAPACITANCE => letter == 'F' || exponent < 0,
        Dimension::INDUCTANCE => letter == 'H' || exponent < 0,
        _ => false,
    };
    fits.then_some(exponent)
}

/// Reads a code such as `4k7`, `2R2`, `R47`, `100n`, `6u8` as a value in ohm, farad or henry; `None` where it is no
/// code, or its letter has no meaning in `dimension`.
///
/// ```
/// use quietrail_quantity::{Dimension, parse_value_code};
/// assert_eq!(parse_value_code("4k7", Dimension::RESISTANCE), Some(4700.0));
/// assert_eq!(parse_value_code("4k7", Dimension::CAPACITANCE), None);
/// ```
#[must_use]
pub fn parse_value_code(text: &str, dimension: Dimension) -> Option<f64> {
    if !looks_like_value_code(text) {
        return None;
    }
    let (place, letter) = text.char_indices().find(|(_, each)| !each.is_ascii_digit())?;
    let (whole, rest) = text.split_at(place);
    let fraction = &rest[letter.len_utf8()..];
    let exponent = multiplier(letter, dimension)?;
    // Handing the decimal digits to the standard parser rounds once.
    format!("{whole}{fraction}e{}", exponent - i32::try_from(fraction.len()).ok()?).parse().ok()
}
