//! What is to be wound and what meters should read, in words.

use crate::text::{count, percent, value};
use quantity::Dimension;
use study::winding::{Can, Expected, Sheet, Spread};

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
        format!("the wire fills {} of the hole{}", percent(sheet.fill), tightness(sheet.fill)),
    ];
    lines.extend(sheet.mass.map(|mass| format!("core and wire weigh {}", value(mass, Dimension::MASS))));
    lines
}

/// Above this share of the hole winding by hand is a struggle (common practice, no source).
const TIGHT: f64 = 0.4;

fn tightness(fill: f64) -> &'static str {
    if fill > TIGHT {
        ", which is tight by hand: take a needle or a thinner wire (common practice, no source)"
    } else {
        ""
    }
}

fn material(word: &str) -> &str {
    match word {
        "ferrite_mnzn" => "manganese-zinc ferrite",
        "ferrite_nizn" => "nickel-zinc ferrite",
        other => other,
    }
}

/// What meters should read.
pub(super) fn readings(sheet: &Sheet) -> Vec<String> {
    let henry = |value: f64| crate::text::value(value, Dimension::INDUCTANCE);
    let mut lines = vec![
        format!(
            "LC meter: {} ({})",
            range(&sheet.inductance, Dimension::INDUCTANCE),
            why(sheet.inductance.spread)
        ),
        miscount(sheet),
        format!(
            "ohmmeter, ends scraped bare: {} ({})",
            range(&sheet.resistance, Dimension::RESISTANCE),
            why(sheet.resistance.spread)
        ),
    ];
    if sheet.resistance.nominal < FEW_OHMS {
        lines.push(
            "an ohmmeter adds its own leads: hold its tips together first and take off what it reads then"
                .to_owned(),
        );
    }
    lines.push(match sheet.lost {
        Some((tenth, third)) => format!(
            "a meter tests without current: at {} a tenth of the inductance is gone, at {} three tenths",
            value(tenth, Dimension::CURRENT),
            value(third, Dimension::CURRENT)
        ),
        None => format!(
            "a meter tests without current, so {} with current are not proven by it; nothing in the file says where the core saturates",
            henry(sheet.inductance.nominal)
        ),
    });
    lines
}

/// Ohm below which the leads of a meter count.
const FEW_OHMS: f64 = 2.0;

/// A miscount shows only where it moves the reading by more than what is right anyway.
fn miscount(sheet: &Sheet) -> String {
    let henry = |value: f64| value_of(value, Dimension::INDUCTANCE);
    let (less, more) = sheet.miscounted;
    let (least, greatest) = sheet.inductance.range;
    let told = format!("with a turn too few {}, with one too many {}", henry(less), henry(more));
    if less < least && more > greatest {
        format!("{told}: the meter shows a miscount")
    } else {
        format!("{told}: the meter cannot show a miscount, so count the turns in the hole")
    }
}

fn value_of(value: f64, dimension: Dimension) -> String {
    crate::text::value(value, dimension)
}

/// `203 uH, right from 152 uH to 253 uH`.
pub(super) fn range(expected: &Expected, dimension: Dimension) -> String {
    let [nominal, least, greatest] =
        [expected.nominal, expected.range.0, expected.range.1].map(|each| value(each, dimension));
    format!("{nominal}, right from {least} to {greatest}")
}

pub(super) fn why(spread: Spread) -> &'static str {
    match spread {
        Spread::Stated => "the tolerance in the file",
        Spread::Measured => "5 % for the meter and how tight the turns lie: common practice, no source",
        Spread::Powder => "powder rings differ by 10 %: makers' usual figure, from memory",
        Spread::Ferrite => "ferrite rings differ by 25 %: makers' usual figure, from memory",
        Spread::Wire => "at 20 degC, ends not yet cut: common practice, no source",
    }
}

/// A can in words: what it is and which way round.
pub(super) fn can(can: &Can) -> String {
    let rated = can.rated.map_or_else(String::new, |rated| format!(", {}", value(rated, Dimension::VOLTAGE)));
    let farad = value(can.capacitance, Dimension::CAPACITANCE);
    let way = format!("plus (the longer lead) to {}, minus (the stripe) to {}", can.plus, can.minus);
    format!("{}: {farad}{rated}; {way}", can.part)
}
