//! A pulse generator on the bench.

use super::table::{Allowed, KindTable, Property, Rule, Shape, Stated, property};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink};
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Generator,
    word: "generator",
    meaning: "A pulse generator with its resistance in series.",
    equations: &[
        (
            "u = e(t) - R i, i delivered; e goes from 0 to `level` within `rise`, and back within `fall`",
            "trapezoids, one each period",
        ),
        (
            "shape double_exponential: e = k level (e^(-a t) - e^(-b t)), k, a and b such that `level` is its greatest value",
            "`rise` from 10 % to 90 %, `width` from 10 % to 10 %: how ISO 7637-2 states its pulses; straight lines that follow it to 2e-5",
        ),
    ],
    sources: &[
        ("starts", "the moment at which a run begins"),
        (
            "pulse",
            "ISO 7637-2:2011, 5.6, for 12 V: 1 is 10 ohm, 1 us, 2 ms; 2a 2 ohm, 1 us, 50 us; 3a and 3b 50 ohm, 5 ns, 150 ns (3b seen, the others from memory)",
        ),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["level"]),
        Rule::Needs("period", &["width"]),
        Rule::Either(&["pulse"], &["shape", "rise", "width", "fall", "period"]),
    ],
    check,
};

const PROPERTIES: &[Property] = &[
    property(
        "level",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Any,
        "voltage of the pulse without load",
        None,
    ),
    property(
        "shape",
        Shape::Words(&["trapezoid", "double_exponential"]),
        Allowed::Any,
        "the form of its pulses; a double exponential is a single surge",
        Some("trapezoid"),
    ),
    property(
        "pulse",
        Shape::Words(&["iso_7637_1", "iso_7637_2a", "iso_7637_3a", "iso_7637_3b"]),
        Allowed::Any,
        "a test pulse of road vehicles: its shape, rise, width, and resistance where none is given",
        None,
    ),
    property(
        "width",
        Shape::Number(Dimension::TIME, "us"),
        Allowed::Positive,
        "from the start of one edge to the start of the other; of a double exponential from 10 % to 10 %",
        Some("the level stays"),
    ),
    property(
        "period",
        Shape::Number(Dimension::TIME, "us"),
        Allowed::Between(1e-9, 1e3),
        "from one pulse to the next",
        Some("a single pulse"),
    ),
    property(
        "rise",
        Shape::Number(Dimension::TIME, "ns"),
        Allowed::NotNegative,
        "time of the rising edge",
        Some("0 s"),
    ),
    property(
        "fall",
        Shape::Number(Dimension::TIME, "ns"),
        Allowed::NotNegative,
        "time of the falling edge",
        Some("0 s"),
    ),
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "ohm"),
        Allowed::NotNegative,
        "resistance in series",
        Some("0 ohm"),
    ),
    property(
        "starts",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time of the first pulse, unless the run is steady",
        Some("0 s"),
    ),
];

fn check(stated: &Stated<'_>, sink: &mut Sink) {
    if let (Some(width), Some(period)) = (stated.number("width"), stated.number("period"))
        && width > period
    {
        sink.push(
            Mistake::new(
                "pulse_longer_than_period",
                stated.place("width"),
                format!("the pulse of `{}` does not end before the next begins", stated.name),
            )
            .label("must be at most the period")
            .also(stated.place("period"), "the period"),
        );
    }
}
