//! A connector, mated or plugged in during the run.

use super::table::{Allowed, KindTable, MASS, Property, Rule, Shape, Stated, property};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink};
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Connector,
    word: "connector",
    meaning: "A connector: contacts that are together, or are plugged in at a time of the run, with bounces and a resistor that touches first where it has one. Responses over frequency see it mated.",
    equations: &[
        ("u = R i + L di/dt", "contacts in series with an inductance"),
        (
            "each bounce: time apart = time together before it, 0.6 of the bounce before",
            "a ball on a table; the same every time",
        ),
    ],
    sources: &[
        ("contact_resistance", "from memory: 0.5 mohm of a large bullet contact to 20 mohm of a pin header"),
        ("bounce_time", "common practice, no source: contacts bounce for some milliseconds"),
        (
            "anti_spark_time",
            "common practice, no source: the first millimetres of a plug pushed home by hand",
        ),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::Needs("bounces", &["closes"]),
        Rule::Needs("bounce_time", &["bounces"]),
        Rule::Needs("anti_spark_resistance", &["closes"]),
        Rule::Needs("anti_spark_time", &["anti_spark_resistance"]),
    ],
    check,
};

const PROPERTIES: &[Property] = &[
    property(
        "contact_resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::Positive,
        "resistance of its contacts, all that the current passes",
        Some("5 mohm (an assumption)"),
    ),
    property(
        "inductance",
        Shape::Number(Dimension::INDUCTANCE, "nH"),
        Allowed::NotNegative,
        "its inductance",
        Some("0 H"),
    ),
    property(
        "rated",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::Positive,
        "rated current; more in a run is warned of",
        Some("not checked"),
    ),
    property(
        "closes",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time at which it is plugged in; apart before",
        Some("it is mated throughout"),
    ),
    property(
        "bounces",
        Shape::Count,
        Allowed::Between(1.0, 100.0),
        "how often its contacts part again before they stay",
        Some("they do not"),
    ),
    property(
        "bounce_time",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::Positive,
        "how long they do so",
        Some("3 ms (an assumption)"),
    ),
    property(
        "anti_spark_resistance",
        Shape::Number(Dimension::RESISTANCE, "ohm"),
        Allowed::Positive,
        "a resistor that touches first, at `closes`; the contacts follow",
        Some("none"),
    ),
    property(
        "anti_spark_time",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::Positive,
        "how long the resistor is alone",
        Some("20 ms (an assumption)"),
    ),
    MASS,
];

fn check(stated: &Stated<'_>, sink: &mut Sink) {
    if let (Some(contact), Some(first)) =
        (stated.number("contact_resistance"), stated.number("anti_spark_resistance"))
        && first <= contact
    {
        sink.push(
            Mistake::new(
                "anti_spark_without_effect",
                stated.place("anti_spark_resistance"),
                format!("the resistor of `{}` limits no more than its contacts do", stated.name),
            )
            .label("must be above `contact_resistance`")
            .also(stated.place("contact_resistance"), "resistance of the contacts"),
        );
    }
}
