//! A source of voltage or current.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Source,
    word: "source",
    meaning: "An ideal source: a voltage, plus on the right, or a current, out at the right.",
    equations: &[(
        "u = V(t), plus on the right; or i = I(t), out at the right",
        "ideal: straight lines between the points",
    )],
    sources: &[],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["voltage", "current"]), Rule::NotBoth(&["voltage", "current"])],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "voltage",
        Shape::Course(Dimension::VOLTAGE, "V"),
        Allowed::Any,
        "its voltage, constant or through points over time, level before the first and after the last",
        None,
    ),
    property(
        "current",
        Shape::Course(Dimension::CURRENT, "A"),
        Allowed::Any,
        "its current, constant or through points over time, level before the first and after the last",
        None,
    ),
];
