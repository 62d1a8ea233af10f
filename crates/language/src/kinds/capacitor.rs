//! A capacitor: electrolytic, polymer, film or ceramic.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Capacitor,
    word: "capacitor",
    meaning: "A capacitor with what is in series with it, its leakage, and the fall of a ceramic's value with voltage.",
    equations: &[
        ("i = dq/dt, u = v + R i + L di/dt", "a capacitor in series with its esr R and esl L"),
        (
            "q = C v, or with half_voltage V: q = C (f v + (1 - f) V arctan(v/V))",
            "the integral of C(v) = C (f + (1 - f)/(1 + (v/V)^2)), a fit of the curves that makers publish for class-2 ceramics (from memory); f is the floor",
        ),
    ],
    sources: &[
        ("floor", "from memory: curves of class-2 ceramics level off at a tenth or less"),
        ("leakage", "in parallel with the capacitance"),
    ],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["capacitance"]), Rule::Needs("floor", &["half_voltage"])],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "capacitance",
        Shape::Number(Dimension::CAPACITANCE, "uF"),
        Allowed::Positive,
        "capacitance at no voltage",
        None,
    ),
    property(
        "esr",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance in series",
        Some("0 ohm"),
    ),
    property(
        "esl",
        Shape::Number(Dimension::INDUCTANCE, "nH"),
        Allowed::NotNegative,
        "inductance in series",
        Some("0 H"),
    ),
    property(
        "leakage",
        Shape::Number(Dimension::RESISTANCE, "Mohm"),
        Allowed::Positive,
        "resistance across the capacitance",
        Some("none"),
    ),
    property(
        "rated",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage it withstands",
        None,
    ),
    property(
        "ripple_rating",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::Positive,
        "rms current it withstands",
        None,
    ),
    property(
        "half_voltage",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage at which half of the part above the floor is gone (class-2 ceramic)",
        Some("the value does not fall"),
    ),
    property(
        "floor",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "share of the capacitance that stays at any voltage",
        Some("10 % where half_voltage is given"),
    ),
];
