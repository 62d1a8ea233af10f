//! A laboratory supply.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Supply,
    word: "supply",
    meaning: "A supply of constant voltage that may ramp up when switched on.",
    equations: &[(
        "u = V min(t/rise, 1) - R i, i delivered",
        "an ideal voltage that ramps from t = 0, behind its resistance; level without rise",
    )],
    sources: &[],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["voltage"])],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property("voltage", Shape::Number(Dimension::VOLTAGE, "V"), Allowed::Any, "its voltage", None),
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "its resistance",
        Some("0 ohm"),
    ),
    property(
        "rise",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time of the ramp from 0 V at t = 0",
        Some("0 s: a step"),
    ),
];
