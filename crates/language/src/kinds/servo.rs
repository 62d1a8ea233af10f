//! A steering or arm servo, as the current it draws.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Servo,
    word: "servo",
    meaning: "A servo: its electronics' steady current, and its motor's current in a burst each frame while it moves.",
    equations: &[
        (
            "i = idle_current + burst",
            "the electronics let go below 1 V as a load does; the burst follows no voltage, as a drive's",
        ),
        (
            "moving: burst = peak_current - idle_current for pulse_length of every frame, a trapezoid with rise and fall",
            "a servo compares once a frame where it is with where it should be, and drives its motor for a while",
        ),
        (
            "burst = 0 while holding; i = stall_current while stalled",
            "a stalled servo is driven the whole frame",
        ),
    ],
    sources: &[
        ("idle_current", "from memory: small servos state 5 mA to 10 mA at rest"),
        ("pulse_length", "common practice, no source: slow movement under light load"),
        (
            "frame_rate",
            "common practice: 20 ms from one control pulse to the next; digital servos take up to 333 Hz",
        ),
        (
            "rise",
            "from memory: the electrical time constant of small motors is some ten to a hundred microseconds",
        ),
        (
            "fall",
            "from memory: the electrical time constant of small motors is some ten to a hundred microseconds",
        ),
        ("stall_current", "own choice: what it draws at its peak"),
    ],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["peak_current"]), Rule::Needs("input_esr", &["input_capacitance"])],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "peak_current",
        Shape::Number(Dimension::CURRENT, "mA"),
        Allowed::NotNegative,
        "all that it draws while its motor is on",
        None,
    ),
    property(
        "idle_current",
        Shape::Number(Dimension::CURRENT, "mA"),
        Allowed::NotNegative,
        "what its electronics draw",
        Some("8 mA (an assumption)"),
    ),
    property(
        "motion",
        Shape::Words(&["moving", "holding", "stalled"]),
        Allowed::Any,
        "what it is doing",
        Some("moving"),
    ),
    property(
        "pulse_length",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "how long its motor is on in every frame",
        Some("3 ms (an assumption)"),
    ),
    property(
        "frame_rate",
        Shape::Number(Dimension::FREQUENCY, "Hz"),
        Allowed::Between(1e-3, 1e6),
        "control pulses a second",
        Some("50 Hz (an assumption)"),
    ),
    property(
        "phase",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "fraction of a frame by which its burst is late",
        Some("0"),
    ),
    property(
        "stall_current",
        Shape::Number(Dimension::CURRENT, "mA"),
        Allowed::NotNegative,
        "all that it draws while stalled",
        Some("peak_current (an assumption)"),
    ),
    property(
        "rise",
        Shape::Number(Dimension::TIME, "us"),
        Allowed::NotNegative,
        "time of the rising edge",
        Some("50 us (an assumption)"),
    ),
    property(
        "fall",
        Shape::Number(Dimension::TIME, "us"),
        Allowed::NotNegative,
        "time of the falling edge",
        Some("50 us (an assumption)"),
    ),
    property(
        "starts",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time before which its motor rests",
        Some("0 s"),
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
];
