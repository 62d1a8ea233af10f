//! Expressions: numbers with units, readings and curves.

use super::{Before, Expected};
use language::outline::Sort;
use quantity::Dimension;

/// An expression whose dimension is known.
pub(super) fn of_dimension<'a>(before: &Before<'a>, quantity: (Dimension, &'static str)) -> Expected<'a> {
    in_number(before, Some(quantity))
}

/// An expression of any dimension.
pub(super) fn number<'a>(before: &Before<'a>) -> Expected<'a> {
    in_number(before, None)
}

fn in_number<'a>(before: &Before<'a>, quantity: Option<(Dimension, &'static str)>) -> Expected<'a> {
    match before.last() {
        Some(Sort::Number) => unit(before, quantity),
        Some(Sort::Word | Sort::Percent | Sort::Text | Sort::Close) => Expected::Nothing,
        _ => Expected::Number,
    }
}

/// After a number: its unit.
fn unit<'a>(before: &Before<'a>, quantity: Option<(Dimension, &'static str)>) -> Expected<'a> {
    let signs = before.lexemes.iter().rev().skip(1);
    let tolerance = signs.map(|lexeme| lexeme.sort).take_while(|sort| *sort != Sort::Comma);
    if tolerance.into_iter().any(|sort| sort == Sort::Tolerance) {
        Expected::ToleranceUnit(quantity)
    } else {
        Expected::Unit(quantity)
    }
}

pub(super) fn reading<'a>(before: &Before<'a>) -> Expected<'a> {
    let in_function = !matches!(argument(before), Expected::Nothing);
    match before.last() {
        Some(Sort::Number) => Expected::Unit(None),
        Some(Sort::Word) if before.last_text() == "in" => Expected::Transient,
        Some(Sort::Word) if before.last_text() == "over" => Expected::Number,
        Some(Sort::Word | Sort::Close | Sort::Comma) if !in_function => Expected::Words(&["in", "over"]),
        Some(Sort::Word | Sort::Percent | Sort::Text | Sort::Close) => Expected::Nothing,
        _ if in_function => argument(before),
        _ => Expected::Reading,
    }
}

pub(super) fn response<'a>(before: &Before<'a>) -> Expected<'a> {
    match before.last() {
        Some(Sort::Number) => Expected::Unit(None),
        Some(Sort::Word | Sort::Percent | Sort::Text | Sort::Close) => Expected::Nothing,
        _ => match argument(before) {
            Expected::Nothing => Expected::Response,
            argument => argument,
        },
    }
}

/// Inside the parentheses of a function; nothing where there is none around the place.
pub(super) fn argument<'a>(before: &Before<'a>) -> Expected<'a> {
    let mut depth = 0_usize;
    for at in (0..before.len()).rev() {
        match before.sort(at) {
            Some(Sort::Close) => depth += 1,
            Some(Sort::Open) if depth > 0 => depth -= 1,
            Some(Sort::Open) => {
                let function =
                    at.checked_sub(1).filter(|before_it| before.sort(*before_it) == Some(Sort::Word));
                if let Some(function) = function {
                    return Expected::Argument(before.text(function));
                }
            }
            _ => {}
        }
    }
    Expected::Nothing
}
