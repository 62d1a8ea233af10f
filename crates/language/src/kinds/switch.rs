//! A switch that time moves.

use super::table::{Allowed, KindTable, Property, Shape, Stated, property};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink};
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Switch,
    word: "switch",
    meaning: "A switch: closed, unless it opens or closes at a time of the run. Responses over frequency see it as it stands in the end.",
    equations: &[(
        "u = R i, R the closed or the open resistance",
        "a resistance that jumps at the stated times",
    )],
    sources: &[
        ("closed_resistance", "common practice, no source: contacts and small transistors"),
        ("open_resistance", "common practice, no source"),
    ],
    properties: PROPERTIES,
    rules: &[],
    check,
};

const PROPERTIES: &[Property] = &[
    property(
        "closed_resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::Positive,
        "its resistance while closed",
        Some("10 mohm (an assumption)"),
    ),
    property(
        "open_resistance",
        Shape::Number(Dimension::RESISTANCE, "Mohm"),
        Allowed::Positive,
        "its resistance while open",
        Some("1 Mohm (an assumption)"),
    ),
    property(
        "closes",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time at which it closes; open before, unless `opens` comes first",
        Some("it never does"),
    ),
    property(
        "opens",
        Shape::Number(Dimension::TIME, "ms"),
        Allowed::NotNegative,
        "time at which it opens; closed before, unless `closes` comes first",
        Some("it never does"),
    ),
];

fn check(stated: &Stated<'_>, sink: &mut Sink) {
    if let (Some(closes), Some(opens)) = (stated.number("closes"), stated.number("opens"))
        && closes == opens
    {
        sink.push(
            Mistake::new(
                "switch_moves_twice",
                stated.place("opens"),
                format!("`{}` closes and opens at the same time", stated.name),
            )
            .label("expected another time")
            .also(stated.place("closes"), "it closes then"),
        );
    }
    if let (Some(closed), Some(open)) = (stated.number("closed_resistance"), stated.number("open_resistance"))
        && open <= closed
    {
        sink.push(
            Mistake::new(
                "switch_without_effect",
                stated.place("open_resistance"),
                format!("`{}` conducts no less when open than when closed", stated.name),
            )
            .label("must be above `closed_resistance`")
            .also(stated.place("closed_resistance"), "its resistance while closed"),
        );
    }
}
