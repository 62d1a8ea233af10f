//! Numbers and lists as people read them.

use quantity::{Dimension, Quantity};

/// Significant digits of values in tables, sentences and pictures: finer than parts are made, as fine as a builder's
/// instruments read.
const DIGITS: usize = 3;

/// A value with its unit in engineering notation: `91.2 mV`.
#[must_use]
pub fn value(value: f64, dimension: Dimension) -> String {
    quantity::engineering(Quantity { value, dimension }, DIGITS)
}

/// Values with the prefix for a millionth as print sets it, `343 µV`: a terminal keeps to the letter `u` that people type.
#[must_use]
pub fn with_micro(values: &str) -> String {
    let mut printed = String::with_capacity(values.len());
    let mut last = [' '; 2];
    for character in values.chars() {
        // Words may begin with the letter too; what follows a figure is a unit.
        let is_prefix = character == 'u' && last[1] == ' ' && last[0].is_ascii_digit();
        printed.push(if is_prefix { 'µ' } else { character });
        last = [last[1], character];
    }
    printed
}

/// Of a value that came out of sums with numbers as large as `scale`, what is not rounding: 0 where it is below 1e-12 of
/// them, a few thousand times the resolution of a double.
#[must_use]
pub fn without_rounding(value: f64, scale: f64) -> f64 {
    if value.abs() < 1e-12 * scale.abs() { 0.0 } else { value }
}

/// A value, or `n/a` where there is none.
#[must_use]
pub fn value_or_missing(found: Option<f64>, dimension: Dimension) -> String {
    found.filter(|found| found.is_finite()).map_or_else(|| "n/a".to_owned(), |found| value(found, dimension))
}

/// A fraction in per cent, with a decimal only under 10 %: `93 %`, `6.4 %`.
#[must_use]
pub fn percent(fraction: f64) -> String {
    let percent = 100.0 * fraction;
    if percent.abs() < 9.95 { format!("{percent:.1} %") } else { format!("{percent:.0} %") }
}

/// A level in decibel with one decimal: `29.4 dB`.
#[must_use]
pub fn decibel(level: f64) -> String {
    format!("{level:.1} dB")
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// `1 point`, `3 points`.
#[must_use]
pub fn count(number: usize, word: &str) -> String {
    if number == 1 { format!("1 {word}") } else { format!("{number} {word}s") }
}

/// Breaks `text` at spaces, but not between a number and its unit, so that no line is longer than `width` characters (a
/// longer word is cut); the first line starts with `first`, the others with as many spaces.
#[must_use]
pub fn wrap(text: &str, first: &str, width: usize) -> String {
    let indent = first.chars().count();
    let room = width.saturating_sub(indent).max(1);
    let mut lines: Vec<String> = vec![String::new()];
    for word in words(text).iter().flat_map(|word| pieces(word, room)) {
        let line = lines.last_mut().expect("starts with one line and only grows");
        if line.is_empty() {
            line.push_str(&word);
        } else if line.chars().count() + 1 + word.chars().count() <= room {
            line.push(' ');
            line.push_str(&word);
        } else {
            lines.push(word);
        }
    }
    let padding = " ".repeat(indent);
    let lines: Vec<String> = lines
        .iter()
        .enumerate()
        .map(|(at, line)| format!("{}{line}", if at == 0 { first } else { &padding }))
        .collect();
    lines.join("\n")
}

/// The same text with spaces at which no line breaks between numbers and their units.
#[must_use]
pub fn keep_units(text: &str) -> String {
    words(text).iter().map(|word| word.replace(' ', "\u{a0}")).collect::<Vec<_>>().join(" ")
}

/// The words of a text, a number together with the word after it.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(last) if last.trim_start_matches(['(', '[']).parse::<f64>().is_ok() => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// `word` in pieces of at most `room` characters.
fn pieces(word: &str, room: usize) -> Vec<String> {
    let characters: Vec<char> = word.chars().collect();
    characters.chunks(room).map(|piece| piece.iter().collect()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_as_prose() {
        let words = |text: &str| -> Vec<String> { text.split_whitespace().map(str::to_owned).collect() };
        assert_eq!(list(&words("a")), "a");
        assert_eq!(list(&words("a b")), "a and b");
        assert_eq!(list(&words("a b c")), "a, b and c");
    }

    #[test]
    fn words_are_no_prefixes() {
        assert_eq!(with_micro("343 uV up to 5 uohm, uphill"), "343 µV up to 5 µohm, uphill");
    }

    #[test]
    fn a_number_stays_with_its_unit() {
        assert_eq!(wrap("falls (27.5 dB) now", "", 13), "falls\n(27.5 dB) now");
    }

    #[test]
    fn wrapped_lines_stay_within_the_width() {
        let wrapped = wrap("one two three four five sixsevenand-eight", "- ", 12);
        assert_eq!(wrapped, "- one two\n  three four\n  five\n  sixsevenan\n  d-eight");
        assert!(wrapped.lines().all(|line| line.chars().count() <= 12));
    }
}
