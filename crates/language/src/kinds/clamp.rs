//! A clamp: a transient suppressor.

use super::table::{Allowed, KindTable, MASS, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Clamp,
    word: "clamp",
    meaning: "A transient suppressor from a rail to gnd: draws nothing up to its breakdown and holds the voltage from there. Its cathode is on the left.",
    equations: &[
        (
            "i = (u - Ub)/R above the breakdown voltage Ub, next to nothing below; R = (clamping - Ub)/peak_current",
            "a straight line through two rows of a data sheet",
        ),
        (
            "the other way: i = (-u - Ub)/R where bidirectional, Ub = 0.8 V where not",
            "a silicon junction's voltage, from memory",
        ),
    ],
    sources: &[
        ("breakdown", "data sheets state 1.11 to 1.23 times the standoff voltage, from memory"),
        ("polarity", "most are unidirectional on a supply"),
    ],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["standoff"]), Rule::OneOf(&["clamping"]), Rule::OneOf(&["peak_current"])],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "standoff",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage that it bears for good without drawing current: above the full pack's",
        None,
    ),
    property(
        "clamping",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage across it at `peak_current`",
        None,
    ),
    property(
        "peak_current",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::Positive,
        "greatest current of a pulse that it bears; more in a run is warned of",
        None,
    ),
    property(
        "breakdown",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage at which it begins to conduct",
        Some("1.17 x `standoff` (an assumption)"),
    ),
    property(
        "capacitance",
        Shape::Number(Dimension::CAPACITANCE, "pF"),
        Allowed::NotNegative,
        "capacitance across it",
        Some("0 F"),
    ),
    property(
        "polarity",
        Shape::Words(&["unidirectional", "bidirectional"]),
        Allowed::Any,
        "whether it clamps one way and conducts like a diode the other, or clamps both ways",
        Some("unidirectional"),
    ),
    MASS,
];
