//! A camera: a load of constant current that shows its supply's ripple in the picture.

use super::table::{Allowed, KindTable, Property, Rule, Shape, Stated, WITHOUT_EFFECT_YET, property};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink};
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Camera,
    word: "camera",
    meaning: "A camera: a load of constant current that shows its supply's ripple in the picture.",
    equations: &[
        (
            "i = I min(1, u/V) for u > 0, else 0",
            "a constant current; V is `below` or the lower end of `supply`",
        ),
        (
            "in parallel: i = C d(u - R i)/dt, the input capacitance C with its series resistance R",
            "what stands in front of a camera's regulator",
        ),
        (
            "picture = u - (1 - r) u through a low-pass of rejection_corner/r; r = 10^(-rejection/20)",
            "what is left of the supply's ripple: r of it, 20 dB a decade more above the corner; r at every frequency without a corner",
        ),
    ],
    sources: &[
        ("below", "the camera's own range: under it, its regulator lets go"),
        ("input_capacitance", "from memory: a ceramic or small electrolytic in front of the regulator"),
        ("input_esr", "from memory: a small electrolytic's"),
    ],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["current"]), Rule::Needs("rejection_corner", &["rejection"])],
    check,
};

const PROPERTIES: &[Property] = &[
    property("current", Shape::Number(Dimension::CURRENT, "mA"), Allowed::NotNegative, "its current", None),
    property(
        "supply",
        Shape::Range(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "supply voltages it works at",
        None,
    ),
    property(
        "below",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage under which it draws in proportion to the voltage",
        Some("the lower end of supply, 1 V without it"),
    ),
    property(
        "rejection",
        Shape::Number(Dimension::LEVEL, "dB"),
        Allowed::NotNegative,
        "how much weaker supply ripple is in the picture",
        None,
    ),
    property(
        "rejection_corner",
        Shape::Number(Dimension::FREQUENCY, "kHz"),
        Allowed::Positive,
        "frequency above which the rejection falls by 20 dB a decade",
        Some("the rejection is the same at every frequency"),
    ),
    property("video", Shape::Words(&["pal", "ntsc"]), Allowed::Any, "timing of the picture", None),
    property(
        "input_capacitance",
        Shape::Number(Dimension::CAPACITANCE, "uF"),
        Allowed::NotNegative,
        "capacitance across its terminals",
        Some("10 uF (an assumption)"),
    ),
    property(
        "input_esr",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance in series with that capacitance",
        Some("0.2 ohm (an assumption)"),
    ),
    property(
        "input_resistance",
        Shape::Number(Dimension::RESISTANCE, "kohm"),
        Allowed::Positive,
        "resistance across its terminals",
        Some("none"),
    ),
];

/// What shapes the camera's picture alone.
fn check(stated: &Stated<'_>, sink: &mut Sink) {
    for (property, whereto, label) in [
        (
            "rejection",
            "what it leaves of the ripple shows `quietrail picture`, and a `testpoint NAME = picture(…)`",
            "of the picture alone",
        ),
        (
            "video",
            "`quietrail picture` and `quietrail bands` go by its lines and fields",
            "of the picture alone",
        ),
    ] {
        if stated.values.contains_key(property) {
            let message = format!("`{property}` of `{}` has no effect on voltages; {whereto}", stated.name)
                .replace('…', stated.name);
            sink.push(Mistake::remark(WITHOUT_EFFECT_YET, stated.place(property), message).label(label));
        }
    }
}
