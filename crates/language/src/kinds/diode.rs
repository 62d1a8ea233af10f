//! A diode, by its junction or in its ideal form.

use super::table::{Allowed, KindTable, MASS, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Diode,
    word: "diode",
    meaning: "A diode, anode on the left: a junction with its resistance, or a fixed drop.",
    equations: &[
        (
            "i = Is (exp(v/(n VT)) - 1), VT = k T/q, u = v + R i",
            "Shockley's equation; k and q exact by the SI of 2019 (CODATA)",
        ),
        (
            "with drop: i = (u - drop)/R above it, next to nothing below",
            "a straight line: what a data sheet's forward voltage says",
        ),
    ],
    sources: &[
        ("saturation", "from memory: silicon rectifiers of 1 A to 3 A drop 0.7 V to 1 V at 1 A"),
        ("resistance", "common practice, no source"),
        ("temperature", "a room: data sheets' reference"),
        ("ideality", "an ideal junction's"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::Either(&["drop"], &["saturation", "ideality", "breakdown", "temperature"]),
        // A saturation current is that of one temperature: without it, another temperature would turn the drop the wrong way.
        Rule::Needs("temperature", &["saturation"]),
    ],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "saturation",
        Shape::Number(Dimension::CURRENT, "nA"),
        Allowed::Positive,
        "saturation current of the junction, at the diode's temperature",
        Some("0.1 pA, a silicon rectifier of about 0.8 V at 1 A (an assumption)"),
    ),
    property(
        "ideality",
        Shape::Number(Dimension::NONE, ""),
        Allowed::Between(0.5, 10.0),
        "emission coefficient: what the thermal voltage is multiplied by",
        Some("1"),
    ),
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance in series; with `drop` the slope of its line",
        Some("0 ohm; 10 mohm with `drop` (an assumption)"),
    ),
    property(
        "breakdown",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "reverse voltage at which it breaks down",
        Some("it never does"),
    ),
    property(
        "temperature",
        Shape::Number(Dimension::TEMPERATURE, "degC"),
        Allowed::Positive,
        "temperature of the junction, for its thermal voltage; `saturation` is taken as stated at it",
        Some("25 degC"),
    ),
    property(
        "drop",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::NotNegative,
        "fixed forward drop, instead of a junction",
        None,
    ),
    MASS,
];
