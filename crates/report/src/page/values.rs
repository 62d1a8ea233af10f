//! Values and verdicts as they stand in the page's tables.

use crate::options::Outcome;
use crate::text;
use crate::words::marks;
use language::Kind;
use language::description::{Tolerance, Value};
use language::kinds::Shape;
use maud::{Markup, html};
use quantity::{Dimension, Quantity, engineering};

/// Digits of a value that the file states: enough to show what was written.
const STATED: usize = 6;

/// A part's property as it would be written: counts as counts, capacitances below 0.1 F in microfarad, as they are sold.
pub(super) fn stated_of(kind: Kind, property: &str, value: &Value) -> String {
    let shape = kind.table().property(property).map(|known| known.shape);
    match value {
        Value::Number(quantity, None) if shape == Some(Shape::Count) => format!("{}", quantity.value),
        Value::Number(Quantity { value: farad, dimension }, tolerance)
            if *dimension == Dimension::CAPACITANCE && (1e-3..0.1).contains(farad) =>
        {
            // Rounded to a picofarad, which undoes the binary fraction.
            let microfarad = (farad * 1e12).round() / 1e6;
            let tolerance = tolerance.map(|tolerance| format!(" {}", tolerated(tolerance, *dimension)));
            text::keep_units(&text::with_micro(&format!("{microfarad} uF{}", tolerance.unwrap_or_default())))
        }
        _ => stated(value),
    }
}

/// A value as it would be written: `330 uF +- 20 %`.
pub(super) fn stated(value: &Value) -> String {
    let one = |quantity: &Quantity| engineering(*quantity, STATED);
    let words = match value {
        Value::Number(quantity, tolerance) => {
            let tolerance =
                tolerance.map(|tolerance| format!(" {}", tolerated(tolerance, quantity.dimension)));
            format!("{}{}", one(quantity), tolerance.unwrap_or_default())
        }
        Value::Range(from, to) => format!("{} to {}", one(from), one(to)),
        Value::Points(points) => {
            let words: Vec<String> = points.iter().map(|(x, y)| format!("{}: {}", one(x), one(y))).collect();
            format!("[{}]", words.join(", "))
        }
        Value::Word(word) => word.replace('_', " "),
        Value::Text(text) => format!("“{text}”"),
    };
    text::keep_units(&text::with_micro(&words))
}

/// `± 20 %`, `± 5 mohm`, `(anything from 20 mohm to 60 mohm)`.
pub(super) fn tolerated(tolerance: Tolerance, dimension: Dimension) -> String {
    let one = |value: f64, dimension: Dimension| engineering(Quantity { value, dimension }, STATED);
    match tolerance {
        Tolerance::Relative(fraction) => format!("± {}", one(fraction, Dimension::NONE)),
        Tolerance::Absolute(value) => format!("± {}", one(value, dimension)),
        Tolerance::Between(low, high) => {
            format!("(anything from {} to {})", one(low, dimension), one(high, dimension))
        }
    }
}

/// A value with its unit, or `n/a`.
pub(super) fn value(found: Option<f64>, dimension: Dimension) -> String {
    text::keep_units(&text::with_micro(&text::value_or_missing(found, dimension)))
}

/// `✓ met`, with a colour that goes with the words.
pub(super) fn verdict(met: Option<bool>) -> Markup {
    html! { span class=(class(met)) { (marks::verdict(met)) } }
}

/// The same as a mark alone, its word for those who hear the page.
pub(super) fn short_verdict(met: Option<bool>) -> Markup {
    let (mark, word) = marks::verdict(met).split_once(' ').unwrap_or_default();
    html! { span class=(class(met)) { (mark) span class="hidden" { " " (word) } } }
}

/// What becomes of an option as a whole.
pub(super) fn outcome(outcome: Outcome) -> Markup {
    let met = match outcome {
        Outcome::Meets => Some(true),
        Outcome::Fails => Some(false),
        Outcome::Unknown => None,
    };
    html! { span class=(class(met)) { (marks::outcome(outcome)) } }
}

/// The colour of a mark.
pub(super) fn class(met: Option<bool>) -> &'static str {
    match met {
        Some(true) => "mark good",
        Some(false) => "mark bad",
        None => "mark unsure",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(value: f64, dimension: Dimension) -> Value {
        Value::Number(Quantity { value, dimension }, None)
    }

    #[test]
    fn counts_are_counts_and_shares_are_shares() {
        let plain = |kind, property, value| stated_of(kind, property, &number(value, Dimension::NONE));
        assert_eq!(plain(Kind::Battery, "cells", 4.0), "4");
        assert_eq!(plain(Kind::Drive, "motors", 2.0), "2");
        assert_eq!(plain(Kind::Drive, "duty", 0.6), "60\u{a0}%");
    }

    #[test]
    fn capacitances_are_told_as_they_are_sold() {
        let farad = |value| stated_of(Kind::Capacitor, "capacitance", &number(value, Dimension::CAPACITANCE));
        assert_eq!(farad(1e-3), "1000\u{a0}µF");
        assert_eq!(farad(4.7e-3), "4700\u{a0}µF");
        assert_eq!(farad(330e-6), "330\u{a0}µF");
    }
}
