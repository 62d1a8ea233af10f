//! A linear regulator.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Regulator,
    word: "regulator",
    meaning: "A linear regulator, input on the left, output on the right, its foot on gnd.",
    equations: &[
        (
            "u out = f(u in) - R i; f = 0 up to the dropout d, u - d up to U + d, U + r (u - U - d) above",
            "output U behind its resistance R; r = 10^(-rejection/20) of the input's ripple passes, at every frequency: 20 log10 of a ratio of amplitudes",
        ),
        ("i in = i out + quiescent", "a linear regulator passes its output current"),
    ],
    sources: &[
        ("dropout", "from memory: an ordinary three-terminal regulator, typically 2 V at 1 A"),
        ("rejection", "from memory: three-terminal regulators state 60 dB to 80 dB at 120 Hz"),
        ("resistance", "common practice, no source"),
    ],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["output"])],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property("output", Shape::Number(Dimension::VOLTAGE, "V"), Allowed::Positive, "its output voltage", None),
    property(
        "dropout",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::NotNegative,
        "voltage that it needs between input and output",
        Some("2 V (an assumption)"),
    ),
    property(
        "rejection",
        Shape::Number(Dimension::LEVEL, "dB"),
        Allowed::NotNegative,
        "how much weaker the input's ripple is at the output, at every frequency",
        Some("60 dB (an assumption)"),
    ),
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::Positive,
        "resistance of its output",
        Some("50 mohm (an assumption)"),
    ),
    property(
        "quiescent",
        Shape::Number(Dimension::CURRENT, "mA"),
        Allowed::NotNegative,
        "current that it draws for itself, from input to gnd",
        Some("0 A"),
    ),
];
