//! A video or telemetry transmitter, as the current it draws.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Transmitter,
    word: "transmitter",
    meaning: "A transmitter: a mean current, and steps of it that come with each field, frame or burst.",
    equations: &[
        (
            "i = current + step (s - step_duty), s = 1 for step_duty of every 1/rate, else 0",
            "steps around the mean, trapezoids with rise and fall",
        ),
        (
            "steady part = current - step step_duty, in proportion to the voltage under `below`, as a load's",
            "the steps follow no voltage, as a drive's",
        ),
        (
            "rate = 50 Hz with video pal, 4.5 MHz/286/262.5 = 59.94 Hz with ntsc",
            "the field rate, ITU-R BT.470",
        ),
    ],
    sources: &[
        ("below", "own choice: low enough to be out of the way of every rail"),
        ("step_duty", "own choice: as long up as down"),
        ("rise", "common practice, no source: an amplifier's supply follows within microseconds"),
        ("fall", "common practice, no source: an amplifier's supply follows within microseconds"),
        ("video", "ITU-R BT.470: 625 lines with 50 fields, 525 lines with 59.94 fields"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["current"]),
        Rule::NotBoth(&["rate", "video"]),
        Rule::Needs("step", &["rate", "video"]),
        Rule::Needs("rate", &["step"]),
        Rule::Needs("video", &["step"]),
        Rule::Needs("step_duty", &["step"]),
        Rule::Needs("phase", &["step"]),
        Rule::Needs("input_esr", &["input_capacitance"]),
    ],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "current",
        Shape::Number(Dimension::CURRENT, "mA"),
        Allowed::NotNegative,
        "its mean current",
        None,
    ),
    property(
        "step",
        Shape::Number(Dimension::CURRENT, "mA"),
        Allowed::NotNegative,
        "difference between its high and its low current",
        Some("0 A"),
    ),
    property(
        "rate",
        Shape::Number(Dimension::FREQUENCY, "Hz"),
        Allowed::Between(1e-3, 1e9),
        "steps up a second",
        None,
    ),
    property(
        "video",
        Shape::Words(&["pal", "ntsc"]),
        Allowed::Any,
        "the picture at whose field rate it steps",
        None,
    ),
    property(
        "step_duty",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Inside(0.0, 1.0),
        "share of the time with the high current",
        Some("50 %"),
    ),
    property(
        "phase",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "fraction of a period by which the steps are late",
        Some("0"),
    ),
    property(
        "rise",
        Shape::Number(Dimension::TIME, "us"),
        Allowed::NotNegative,
        "time of the step up",
        Some("5 us (an assumption)"),
    ),
    property(
        "fall",
        Shape::Number(Dimension::TIME, "us"),
        Allowed::NotNegative,
        "time of the step down",
        Some("5 us (an assumption)"),
    ),
    property(
        "starts",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time before which it draws its low current",
        Some("0 s"),
    ),
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
];
