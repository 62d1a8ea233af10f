//! What parts come to: the figures that follow from their values.

use super::{Style, section};
use quantity::{Dimension, Quantity, engineering};
use study::PartAt;
use study::result::Fact;

/// Digits of a figure: as many as a bench meter shows.
const DIGITS: usize = 4;

/// A paragraph for every part that has figures, under a heading; nothing where there are none.
#[must_use]
pub fn parts(parts: &[PartAt], style: Style) -> Option<String> {
    section("What parts come to", &parts.iter().map(told).collect::<Vec<_>>(), style)
}

/// `feed (wire): resistance 68.01 mohm, inductance 334.2 nH, mass 1.091 g [at filter coil]`.
fn told(known: &PartAt) -> String {
    let named = |fact: &Fact| format!("{} {}", fact.name.replace('_', " "), figure(fact));
    let figures: Vec<String> = known.part.facts.iter().map(named).collect();
    let at = if known.at.is_empty() { String::new() } else { format!(" [at {}]", known.at) };
    format!("{} ({}): {}{at}", known.part.name, known.part.kind.word(), figures.join(", "))
}

/// A figure as a label or a bench meter would show it.
pub(crate) fn figure(fact: &Fact) -> String {
    let Fact { value, dimension, .. } = *fact;
    // The size of a thin wire is told in square millimetre too; prefixes of areas go in steps of a million.
    if dimension == Dimension::AREA && (1e-9..1e-6).contains(&value) {
        let digits = DIGITS.saturating_sub(1) as i32 - (value * 1e6).log10().floor() as i32;
        return format!("{:.*} mm2", digits.max(0) as usize, value * 1e6);
    }
    if fact.plain {
        return digits(value);
    }
    match dimension {
        // Lives, cells and packs are told as their labels are.
        Dimension::TIME if value >= 10.0 * HOUR => format!("{} h", digits(value / HOUR)),
        Dimension::CHARGE => format!("{} mAh", digits(value / HOUR * 1e3)),
        Dimension::ENERGY if value >= HOUR => format!("{} Wh", digits(value / HOUR)),
        _ => engineering(Quantity { value, dimension }, DIGITS),
    }
}

/// Seconds.
const HOUR: f64 = 3600.0;

/// A plain number with as many digits as count.
fn digits(value: f64) -> String {
    let decimals = DIGITS as i32 - 1 - value.abs().max(1.0).log10().floor() as i32;
    let text = format!("{value:.*}", decimals.max(0) as usize);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
