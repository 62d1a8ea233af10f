//! Motors behind a chopping drive, as the current they draw.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Drive,
    word: "drive",
    meaning: "Motors behind a chopping drive, as the current they draw.",
    equations: &[
        (
            "i of a motor = I d^n x sum over periods of (clamp((t - t1)/rise) - clamp((t - t2)/fall))",
            "a trapezoid; clamp to 0 .. 1, d the duty, n current_exponent",
        ),
        ("t1 = (k + phase + m stagger)/pwm, t2 = t1 + d/pwm", "period k, motor m from 0"),
        (
            "with ripple r: on-current = I (1 - r/2 + r (t - t1)/(t2 - t1))",
            "a straight line over the on-time, as an inductance under constant voltage gives",
        ),
        (
            "commutation = 6 x speed x pole_pairs, a dip by its depth over 10 % of its period, recovered over the next 10 %",
            "six steps of 60 electrical degrees; the dip's shape is an own choice",
        ),
    ],
    sources: &[
        ("rise", "from memory: 50 to 500 ns for a driver with a gate resistor"),
        ("fall", "from memory: 50 to 500 ns for a driver with a gate resistor"),
        ("rpm", "six commutations for each pair of poles and turn: six-step commutation"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["current"]),
        Rule::OneOf(&["pwm"]),
        Rule::OneOf(&["duty"]),
        Rule::NotBoth(&["commutation", "rpm"]),
        Rule::Needs("commutation_depth", &["commutation", "rpm"]),
        Rule::Needs("commutation", &["commutation_depth"]),
        Rule::Needs("rpm", &["pole_pairs"]),
        Rule::Needs("rpm", &["commutation_depth"]),
        Rule::Needs("pole_pairs", &["rpm", "commutation"]),
    ],
    check: no_relations,
};

/// Frequencies whose periods count exactly: no motor turns or is chopped faster or slower.
const FREQUENCIES: Allowed = Allowed::Between(1e-3, 1e9);

const PROPERTIES: &[Property] = &[
    property(
        "current",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::NotNegative,
        "current that each motor draws while on",
        None,
    ),
    property("motors", Shape::Count, Allowed::Between(1.0, 64.0), "number of motors", Some("1")),
    property("pwm", Shape::Number(Dimension::FREQUENCY, "kHz"), FREQUENCIES, "chopping frequency", None),
    property(
        "duty",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "share of the period that is on",
        None,
    ),
    property(
        "rise",
        Shape::Number(Dimension::TIME, "ns"),
        Allowed::NotNegative,
        "time of the rising edge",
        Some("200 ns"),
    ),
    property(
        "fall",
        Shape::Number(Dimension::TIME, "ns"),
        Allowed::NotNegative,
        "time of the falling edge",
        Some("200 ns"),
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
        "current_exponent",
        Shape::Number(Dimension::NONE, ""),
        Allowed::NotNegative,
        "n in on-current = current x duty^n",
        Some("0"),
    ),
    property(
        "ripple",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 2.0),
        "rise of the current over the on-time, as a share of it",
        Some("0"),
    ),
    property(
        "commutation",
        Shape::Number(Dimension::FREQUENCY, "Hz"),
        FREQUENCIES,
        "commutation frequency",
        None,
    ),
    property(
        "commutation_depth",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "share of the on-current that is lost at each commutation",
        None,
    ),
    property(
        "rpm",
        Shape::Number(Dimension::FREQUENCY, "rpm"),
        FREQUENCIES,
        "speed of the motor, for its commutation",
        None,
    ),
    property("pole_pairs", Shape::Count, Allowed::AtLeast(1.0), "pole pairs of the motor", None),
    property(
        "throttle",
        Shape::Points((Dimension::TIME, "s"), (Dimension::NONE, "%")),
        Allowed::Between(0.0, 1.0),
        "multiplies the duty over time, linear between points",
        Some("100 %"),
    ),
    property(
        "starts",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time before which it draws nothing",
        Some("0 s"),
    ),
];
