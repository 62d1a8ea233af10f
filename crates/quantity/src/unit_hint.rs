//! What somebody probably meant by a unit that isn't one.

use crate::unit_table::{NamedUnit, PREFIXES, UNITS};

/// Spellings people use, lower case, with the symbol that stands for them.
const SPELLINGS: &[(&str, &str)] = &[
    ("ohms", "ohm"),
    ("r", "ohm"),
    ("volt", "V"),
    ("volts", "V"),
    ("vdc", "V"),
    ("vpp", "V"),
    ("vrms", "V"),
    ("adc", "A"),
    ("arms", "A"),
    ("amp", "A"),
    ("amps", "A"),
    ("ampere", "A"),
    ("amperes", "A"),
    ("watt", "W"),
    ("watts", "W"),
    ("farad", "F"),
    ("farads", "F"),
    ("henry", "H"),
    ("henries", "H"),
    ("hertz", "Hz"),
    ("sec", "s"),
    ("second", "s"),
    ("seconds", "s"),
    ("metre", "m"),
    ("metres", "m"),
    ("meter", "m"),
    ("meters", "m"),
    ("tesla", "T"),
    ("percent", "%"),
    ("celsius", "degC"),
    ("°c", "degC"),
    ("deg", "degC"),
    ("mm²", "mm2"),
    ("sqmm", "mm2"),
    ("mm³", "mm3"),
    ("gauge", "AWG"),
    ("ga", "AWG"),
    ("point", "points"),
    ("minutes", "min"),
    ("hours", "h"),
    ("cm", "mm"),
    ("cm2", "mm2"),
];

/// At most two units near `text`, nearest first. Long texts are no unit and get none.
pub(crate) fn suggestions(text: &str) -> Vec<String> {
    const LONGEST: usize = 12;
    if text.chars().count() > LONGEST {
        return Vec::new();
    }
    let lower = text.to_lowercase();
    if let Some((_, symbol)) = SPELLINGS.iter().find(|(spelling, _)| *spelling == lower) {
        return vec![(*symbol).to_owned()];
    }
    if let Some(whole) = prefix_before_spelling(text) {
        return vec![whole];
    }
    let mut found: Vec<(usize, String)> = symbols()
        .filter(|symbol| symbol.to_lowercase() == lower)
        .map(|symbol| (differing(&symbol, text), symbol))
        .collect();
    found.sort();
    found.into_iter().map(|(_, symbol)| symbol).take(2).collect()
}

/// `kohms`, `mAmps`: a prefix before one of the spellings.
fn prefix_before_spelling(text: &str) -> Option<String> {
    let mut characters = text.chars();
    let first = characters.next()?;
    let rest = characters.as_str().to_lowercase();
    PREFIXES.iter().find(|(prefix, _)| *prefix == first)?;
    let (_, symbol) = SPELLINGS.iter().find(|(spelling, _)| *spelling == rest)?;
    takes_prefix(symbol).then(|| format!("{first}{symbol}"))
}

fn takes_prefix(symbol: &str) -> bool {
    UNITS.iter().any(|unit| unit.prefixes && unit.symbol == symbol)
}

fn symbols() -> impl Iterator<Item = String> {
    let ascii = |unit: &&NamedUnit| unit.symbol.is_ascii();
    let plain = UNITS.iter().filter(ascii).map(|unit| unit.symbol.to_owned());
    let with_prefix = UNITS.iter().filter(ascii).filter(|unit| unit.prefixes).flat_map(|unit| {
        PREFIXES
            .iter()
            .filter(|(prefix, _)| prefix.is_ascii())
            .map(move |(prefix, _)| format!("{prefix}{}", unit.symbol))
    });
    plain.chain(with_prefix)
}

fn differing(left: &str, right: &str) -> usize {
    left.chars().zip(right.chars()).filter(|(one, other)| one != other).count()
}
