//! Words that people use for what the language calls otherwise: what was meant by them.

use crate::kinds::KindTable;

/// Words of shops, forums and data sheets, in lower case and without `_`, and the statement or kind that they stand for.
const STATEMENTS: &[(&str, &str)] = &[
    ("accumulator", "battery"),
    ("akku", "battery"),
    ("cell", "battery"),
    ("lipo", "battery"),
    ("pack", "battery"),
    ("psu", "supply"),
    ("powersupply", "supply"),
    ("bec", "regulator"),
    ("ldo", "regulator"),
    ("bldc", "drive"),
    ("chopper", "drive"),
    ("esc", "drive"),
    ("motor", "drive"),
    ("motors", "drive"),
    ("track", "drive"),
    ("cable", "wire"),
    ("cord", "wire"),
    ("lead", "wire"),
    ("trace", "wire"),
    ("cap", "capacitor"),
    ("condenser", "capacitor"),
    ("elko", "capacitor"),
    ("choke", "coil"),
    ("inductor", "coil"),
    ("ferrite", "bead"),
    ("transformer", "coupled"),
    ("cmc", "coupled"),
    ("consumer", "load"),
    ("videocamera", "camera"),
    ("webcam", "camera"),
    ("schottky", "diode"),
    ("relay", "switch"),
    ("polyfuse", "fuse"),
    ("plug", "connector"),
    ("tvs", "clamp"),
    ("zener", "clamp"),
    ("vtx", "transmitter"),
    ("const", "let"),
    ("define", "let"),
    ("param", "let"),
    ("var", "let"),
    ("title", "harness"),
    ("name", "harness"),
    ("assert", "require"),
    ("limit", "require"),
    ("measure", "reading"),
    ("probe", "testpoint"),
    ("variant", "choice"),
    ("scenario", "condition"),
    ("simulate", "transient"),
    ("run", "transient"),
    ("module", "assembly"),
    ("subcircuit", "assembly"),
    ("import", "include"),
];

/// The same of words that are a property's value.
const VALUES: &[(&str, &str)] = &[
    ("lithiumpolymer", "li_po"),
    ("lithium", "li_ion"),
    ("lithiumion", "li_ion"),
    ("18650", "li_ion"),
    ("lifepo4", "li_fe"),
    ("lfp", "li_fe"),
    ("nickelmetalhydride", "ni_mh"),
    ("lead", "lead_acid"),
    ("pb", "lead_acid"),
    ("sla", "lead_acid"),
];

/// The same of words inside statements, and of names that belong to one.
const WITHIN: &[(&str, &str)] = &[
    ("e3", "series"),
    ("e6", "series"),
    ("e12", "series"),
    ("e24", "series"),
    ("e48", "series"),
    ("e96", "series"),
    ("e192", "series"),
    ("ground", "gnd"),
];

/// The same of properties; the first that the kind has is meant.
const PROPERTIES: &[(&str, &[&str])] = &[
    ("value", &["resistance", "capacitance", "inductance", "voltage"]),
    ("rdc", &["dcr"]),
    ("dcresistance", &["dcr"]),
    ("ohms", &["resistance"]),
    ("r", &["resistance"]),
    ("c", &["capacitance"]),
    ("l", &["inductance"]),
    ("isat", &["saturation_current"]),
    ("saturation", &["saturation_current"]),
    ("amps", &["current"]),
    ("volts", &["voltage", "emf", "output", "rated"]),
    ("voltage", &["emf", "rated", "output", "supply", "level"]),
    ("internalresistance", &["resistance"]),
    ("ri", &["cell_resistance", "resistance"]),
    ("soc", &["charge"]),
    ("series", &["cells"]),
    ("frequency", &["pwm", "period"]),
    ("dutycycle", &["duty"]),
    ("throttle", &["duty"]),
    ("awg", &["gauge"]),
    ("crosssection", &["area"]),
    ("thickness", &["diameter", "wire_diameter"]),
    ("distance", &["spacing"]),
    ("windings", &["turns"]),
    ("mu", &["permeability"]),
    ("bsat", &["flux_density_limit"]),
    ("psrr", &["rejection"]),
];

/// The word of the language for a kind, statement, value or property that people call `word`; `None` where none is known.
#[must_use]
pub fn meant(word: &str) -> Option<&'static str> {
    let property = || {
        let word = bare(word);
        PROPERTIES.iter().find(|(other, _)| *other == word).and_then(|(_, meant)| meant.first()).copied()
    };
    let within = || {
        let word = bare(word);
        WITHIN.iter().find(|(other, _)| *other == word).map(|(_, meant)| *meant)
    };
    of_statement(word).or_else(within).or_else(|| of_value(word)).or_else(property)
}

fn bare(word: &str) -> String {
    word.replace('_', "").to_lowercase()
}

/// The statement or kind of part that `word` stands for.
pub(crate) fn of_statement(word: &str) -> Option<&'static str> {
    let word = bare(word);
    STATEMENTS.iter().find(|(other, _)| *other == word).map(|(_, meant)| *meant)
}

/// The value that `word` stands for.
pub(crate) fn of_value(word: &str) -> Option<&'static str> {
    let word = bare(word);
    VALUES.iter().find(|(other, _)| *other == word).map(|(_, meant)| *meant)
}

/// The property of a kind that `word` stands for.
pub(crate) fn of_property(word: &str, table: &KindTable) -> Option<&'static str> {
    let word = bare(word);
    let (_, meant) = PROPERTIES.iter().find(|(other, _)| *other == word)?;
    meant.iter().copied().find(|name| table.property(name).is_some())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kinds::TABLES;
    use crate::words::STATEMENTS as WORDS;

    #[test]
    fn every_word_that_is_meant_is_one_of_the_language() {
        for (other, meant) in STATEMENTS {
            let known = TABLES.iter().any(|table| table.word == *meant) || WORDS.contains(meant);
            assert!(known, "{meant} for {other}");
            assert!(!TABLES.iter().any(|table| table.word == *other), "{other} is a word itself");
        }
        assert!(WITHIN.iter().all(|(_, meant)| crate::meanings::of_statement(meant).is_some()));
        for (_, meant) in PROPERTIES {
            for property in *meant {
                assert!(TABLES.iter().any(|table| table.property(property).is_some()), "{property}");
            }
        }
        let words =
            TABLES.iter().flat_map(|table| table.properties).filter_map(|property| match property.shape {
                crate::kinds::Shape::Words(words) => Some(words),
                _ => None,
            });
        let words: Vec<&str> = words.flatten().copied().collect();
        assert!(VALUES.iter().all(|(_, meant)| words.contains(meant)), "{words:?}");
    }
}
