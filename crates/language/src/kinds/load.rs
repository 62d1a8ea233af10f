//! A load of constant resistance, current or power.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Load,
    word: "load",
    meaning: "A load of constant resistance, current or power, with the input capacitor that it has.",
    equations: &[
        ("resistance: i = u/R", "Ohm's law"),
        (
            "current: i = I min(1, u/V) for u > 0, else 0",
            "constant from V, `below`, on; below it in proportion",
        ),
        (
            "power: i = P/u from V on, P u/V^2 under it",
            "a constant power, and a resistance where it has no voltage to work with",
        ),
    ],
    sources: &[("below", "own choice: low enough to be out of the way of every rail")],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["current", "resistance", "power"]),
        Rule::NotBoth(&["current", "resistance", "power"]),
        Rule::Needs("below", &["current", "power"]),
        Rule::Needs("input_esr", &["input_capacitance"]),
    ],
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
    property("current", Shape::Number(Dimension::CURRENT, "A"), Allowed::NotNegative, "its current", None),
    property("power", Shape::Number(Dimension::POWER, "W"), Allowed::NotNegative, "its power", None),
    property(
        "below",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage under which it draws in proportion to the voltage",
        Some("1 V"),
    ),
    property(
        "input_capacitance",
        Shape::Number(Dimension::CAPACITANCE, "uF"),
        Allowed::NotNegative,
        "capacitance across its terminals",
        Some("0 F"),
    ),
    property(
        "input_esr",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance in series with that capacitance",
        Some("0 ohm"),
    ),
    property(
        "input_resistance",
        Shape::Number(Dimension::RESISTANCE, "kohm"),
        Allowed::Positive,
        "resistance across its terminals",
        Some("none"),
    ),
];
