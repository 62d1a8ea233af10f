//! Motors behind half bridges by what they are made of, so that the current they draw is a result.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::HalfBridge,
    word: "half_bridge",
    meaning: "Motors behind half bridges, by their winding and back EMF: the current that they draw follows, and so does what they give back.",
    equations: &[
        (
            "L di/dt = u - (R + R_on) i - E while on, L di/dt = -(R + R_on) i - E while off",
            "on for duty/pwm of every period: the winding between supply and return; off: the winding shorted by the lower switch",
        ),
        (
            "i drawn = i of the winding while on, 0 while off",
            "plus what goes into link_capacitance with link_esr, across the bridge",
        ),
        (
            "steady, ripple aside: i = (d u - E)/(R + R_on), drawn d i in the mean; ripple u d (1 - d)/(L f)",
            "follows from the above; with E > d u the current turns round and the motors brake into the supply",
        ),
    ],
    sources: &[
        ("on_resistance", "from memory: small power transistors have 2 mohm to 20 mohm"),
        ("back_emf", "a motor that stands still makes none"),
        ("open_resistance", "own choice: far above everything else"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["pwm"]),
        Rule::OneOf(&["duty"]),
        Rule::OneOf(&["resistance"]),
        Rule::OneOf(&["inductance"]),
        Rule::Needs("link_esr", &["link_capacitance"]),
        Rule::Needs("stagger", &["motors"]),
    ],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "pwm",
        Shape::Number(Dimension::FREQUENCY, "kHz"),
        Allowed::Between(1e-3, 1e9),
        "chopping frequency",
        None,
    ),
    property(
        "duty",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "share of the period that the upper switch is on",
        None,
    ),
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::Positive,
        "resistance of the winding between its ends",
        None,
    ),
    property(
        "inductance",
        Shape::Number(Dimension::INDUCTANCE, "uH"),
        Allowed::Positive,
        "inductance of the winding between its ends",
        None,
    ),
    property(
        "back_emf",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::NotNegative,
        "voltage that the turning motor makes; 0 V is a stalled one",
        Some("0 V (an assumption)"),
    ),
    property(
        "on_resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::Positive,
        "resistance of a switch that is on",
        Some("5 mohm (an assumption)"),
    ),
    property(
        "open_resistance",
        Shape::Number(Dimension::RESISTANCE, "Mohm"),
        Allowed::Positive,
        "resistance of a switch that is off",
        Some("1 Mohm"),
    ),
    property(
        "link_capacitance",
        Shape::Number(Dimension::CAPACITANCE, "uF"),
        Allowed::NotNegative,
        "capacitance across the bridge",
        Some("0 F"),
    ),
    property(
        "link_esr",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance in series with that capacitance",
        Some("0 ohm"),
    ),
    property(
        "motors",
        Shape::Count,
        Allowed::Between(1.0, 16.0),
        "number of motors, each behind a half bridge of its own",
        Some("1"),
    ),
    property(
        "phase",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "fraction of a period by which the first motor is late",
        Some("0"),
    ),
    property(
        "stagger",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "fraction of a period from one motor to the next",
        Some("0"),
    ),
    property(
        "starts",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time before which all switches are off",
        Some("0 s"),
    ),
];
