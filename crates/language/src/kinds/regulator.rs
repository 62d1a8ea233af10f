//! A regulator, linear or switching.

use super::table::{Allowed, KindTable, MASS, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Regulator,
    word: "regulator",
    meaning: "A regulator, input on the left, output on the right, its foot on gnd: a linear one, or with `efficiency` a switching one.",
    equations: &[
        (
            "u out = f(u in) - R i; f = 0 up to the dropout d, u - d up to U + d, U + r (u - U - d) above",
            "output U behind its resistance R; r = 10^(-rejection/20) of the input's ripple passes: 20 log10 of a ratio of amplitudes",
        ),
        (
            "with rejection_corner fc: u out = u in - drop(u in through a low-pass of fc/r) - R i, drop(u) = u - f(u)",
            "the share r (1 + jf/fc)/(1 + jf r/fc) passes: 20 dB a decade more above fc, all of it beyond fc/r; in dropout all of it at any frequency",
        ),
        ("i in = i out + quiescent", "a linear regulator passes its output current; its power counts both"),
        (
            "switching: i in = P/u in from `lockout` on, P = output x load_current/efficiency; plus input_capacitance with input_esr, and quiescent",
            "a constant power, so for small changes the resistance -u^2/P; nothing up to 90 % of lockout and a straight line between. `current`, `voltage` and `power` are its input's",
        ),
    ],
    sources: &[
        ("dropout", "from memory: an ordinary three-terminal regulator, typically 2 V at 1 A"),
        ("rejection", "from memory: three-terminal regulators state 60 dB to 80 dB at 120 Hz"),
        ("resistance", "common practice, no source"),
        ("lockout", "own choice: below it the output leaves regulation"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["output"]),
        Rule::Needs("rejection_corner", &["rejection"]),
        Rule::Needs("efficiency", &["load_current"]),
        Rule::Needs("load_current", &["efficiency"]),
        Rule::Needs("lockout", &["efficiency"]),
        Rule::Needs("input_capacitance", &["efficiency"]),
        Rule::Needs("input_esr", &["input_capacitance"]),
    ],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property("output", Shape::Number(Dimension::VOLTAGE, "V"), Allowed::Positive, "its output voltage", None),
    property(
        "dropout",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::NotNegative,
        "voltage that it needs between input and output",
        Some("2 V (an assumption)"),
    ),
    property(
        "rejection",
        Shape::Number(Dimension::LEVEL, "dB"),
        Allowed::NotNegative,
        "how much weaker the input's ripple is at the output",
        Some("60 dB (an assumption)"),
    ),
    property(
        "rejection_corner",
        Shape::Number(Dimension::FREQUENCY, "kHz"),
        Allowed::Positive,
        "frequency above which the rejection falls by 20 dB a decade",
        Some("the rejection is the same at every frequency"),
    ),
    property(
        "efficiency",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.01, 1.0),
        "share of its input power that a switching regulator delivers",
        Some("a linear regulator"),
    ),
    property(
        "load_current",
        Shape::Number(Dimension::CURRENT, "mA"),
        Allowed::NotNegative,
        "current that a switching regulator delivers, for the power that it draws",
        None,
    ),
    property(
        "lockout",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "input voltage from which on a switching regulator runs",
        Some("output + dropout (an assumption)"),
    ),
    property(
        "input_capacitance",
        Shape::Number(Dimension::CAPACITANCE, "uF"),
        Allowed::NotNegative,
        "capacitance from the input of a switching regulator to gnd",
        Some("0 F"),
    ),
    property(
        "input_esr",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance in series with that capacitance",
        Some("0 ohm"),
    ),
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::Positive,
        "resistance of its output",
        Some("50 mohm (an assumption)"),
    ),
    property(
        "quiescent",
        Shape::Number(Dimension::CURRENT, "mA"),
        Allowed::NotNegative,
        "current that it draws for itself, from input to gnd",
        Some("0 A"),
    ),
    MASS,
];
