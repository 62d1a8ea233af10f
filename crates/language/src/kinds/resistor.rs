//! A resistor.

use super::table::{Allowed, KindTable, MASS, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Resistor,
    word: "resistor",
    meaning: "A resistor.",
    equations: &[("u = R i", "Ohm's law")],
    sources: &[],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["resistance"])],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "ohm"),
        Allowed::Positive,
        "its resistance",
        None,
    ),
    MASS,
];
