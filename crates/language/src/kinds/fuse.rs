//! A fuse.

use super::table::{Allowed, KindTable, MASS, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Fuse,
    word: "fuse",
    meaning: "A fuse as its cold resistance. It doesn't blow in a run: a current above its rating is warned of, and so are wires that it doesn't protect.",
    equations: &[("u = R i", "its cold resistance")],
    sources: &[(
        "resistance",
        "cold blade fuses of 1 A to 30 A within a tenth of what makers state: 120 mohm x (rated/1 A)^-1.2, from memory",
    )],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["rated"])],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "rated",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::Positive,
        "rated current; more in a run is warned of",
        None,
    ),
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "its cold resistance",
        Some("120 mohm x (rated/1 A)^-1.2, as blade fuses have (an assumption)"),
    ),
    property(
        "voltage_rating",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "greatest voltage that it interrupts; a source above it is warned of",
        Some("not checked"),
    ),
    MASS,
];
