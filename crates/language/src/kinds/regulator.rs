//! A linear regulator.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Regulator,
    word: "regulator",
    meaning: "A linear regulator, input on the left, output on the right, its foot on gnd.",
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
