//! What is to be wound and what meters should read, in words.

use crate::text::{count, percent, value};
use crate::words::winding as words;
use quantity::Dimension;
use study::winding::{Can, Expected, Sheet};

/// A length as it is measured at the bench: `12.7 mm`, `1.51 m`.
pub(super) fn length(metre: f64) -> String {
    value(metre, Dimension::LENGTH)
}

fn millimetre(metre: f64) -> String {
    let text = format!("{:.2}", metre * 1e3);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A number of turns, which may be a half.
pub(crate) fn turns(number: f64) -> String {
    if number == 1.0 { "1 turn".to_owned() } else { format!("{} turns", plain(number)) }
}

fn plain(number: f64) -> String {
    let text = format!("{number:.1}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The heading: which coil of which harness.
pub(super) fn title(sheet: &Sheet) -> String {
    title_of(&sheet.harness, "winding", &sheet.part, &sheet.fitted_by)
}

/// `My rover: winding choke (filter coil_cap)`.
pub(super) fn title_of(harness: &str, what: &str, part: &str, fitted_by: &[String]) -> String {
    let by = if fitted_by.is_empty() { String::new() } else { format!(" ({})", fitted_by.join(", ")) };
    format!("{harness}: {what} {part}{by}")
}

/// Ring, wire, turns.
pub(super) fn making(sheet: &Sheet) -> Vec<String> {
    let (core, wire) = (&sheet.core, &sheet.wire);
    let material = core.material.as_ref().map_or_else(String::new, |word| format!(", {}", material(word)));
    let gap = if core.gap > 0.0 { format!(", with a gap of {}", length(core.gap)) } else { String::new() };
    let layers = match sheet.layers.as_slice() {
        [_] => format!("in one layer, which would hold {}", plain(sheet.one_layer)),
        layers => {
            let each: Vec<String> = layers.iter().map(|turns| plain(*turns)).collect();
            format!("in {}: {} from the inside", count(layers.len(), "layer"), each.join(", "))
        }
    };
    let mut lines = vec![
        format!(
            "ring: {} x {} x {} mm (outer, inner, height){material}{gap}",
            millimetre(core.outer),
            millimetre(core.inner),
            millimetre(core.height)
        ),
        format!(
            "wire: enamelled copper of {} mm, {} mm with its enamel (grade 1)",
            millimetre(wire.bare),
            millimetre(wire.overall)
        ),
        format!(
            "cut {}: {} lie on the ring, a tenth more (60 mm at least) is for the ends",
            length(wire.cut),
            length(wire.length)
        ),
        format!("{} {layers}", turns(sheet.turns)),
        format!("the wire fills {} of the hole{}", percent(sheet.fill), words::tightness(sheet.fill)),
    ];
    lines.extend(sheet.mass.map(|mass| format!("core and wire weigh {}", value(mass, Dimension::MASS))));
    lines
}

fn material(word: &str) -> &str {
    match word {
        "ferrite_mnzn" => "manganese-zinc ferrite",
        "ferrite_nizn" => "nickel-zinc ferrite",
        other => other,
    }
}

/// `203 uH, right from 152 uH to 253 uH`.
pub(crate) fn range(expected: &Expected, dimension: Dimension) -> String {
    let [nominal, least, greatest] =
        [expected.nominal, expected.range.0, expected.range.1].map(|each| value(each, dimension));
    format!("{nominal}, right from {least} to {greatest}")
}

/// A can in words: what it is and which way round.
pub(super) fn can(can: &Can) -> String {
    let rated = can.rated.map_or_else(String::new, |rated| format!(", {}", value(rated, Dimension::VOLTAGE)));
    let farad = value(can.capacitance, Dimension::CAPACITANCE);
    let way = format!("plus (the longer lead) to {}, minus (the stripe) to {}", can.plus, can.minus);
    format!("{}: {farad}{rated}; {way}", can.part)
}
