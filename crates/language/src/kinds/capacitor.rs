//! A capacitor: electrolytic, polymer, tantalum, film or ceramic.

use super::table::{Allowed, KindTable, MASS, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Capacitor,
    word: "capacitor",
    meaning: "A capacitor with what is in series with it, its leakage, the fall of a ceramic's value with voltage, and what cold, heat and age do to it.",
    equations: &[
        ("i = dq/dt, u = v + R i + L di/dt", "a capacitor in series with its esr R and esl L"),
        (
            "R = d / (2 pi f C), with loss_model parallel: across C, Rp = 1 / (2 pi f C d)",
            "loss factor d at the frequency f: IEC 60384-1; one resistance stands for all frequencies",
        ),
        (
            "q = C v, or with half_voltage V: q = C (f v + (1 - f) V arctan(v/V))",
            "the integral of C(v) = C (f + (1 - f)/(1 + (v/V)^2)), a fit of the curves that makers publish for class-2 ceramics (from memory); f is the floor",
        ),
        (
            "or with capacitance_table: q = the integral of C(v)",
            "C(v) by cubics through the points that never overshoot: Fritsch and Carlson, SIAM Journal on Numerical Analysis 17 (1980); even in v, level beyond the last point",
        ),
        (
            "of an electrolytic: R(T) = R g(T), so that |Z| at 120 Hz grows as catalogues allow at -25 degC and -40 degC",
            "general-purpose catalogues, tests of IEC 60384-4 (from memory): an upper bound; log g is a smooth curve between -40 degC, -25 degC, 20 degC and 105 degC",
        ),
        (
            "life = life at its temperature x 2^((T0 - T)/10 K), T = temperature + core_rise (I/ripple_rating)^2",
            "the ten-kelvin rule (from memory); heating goes with the square of the rms current I",
        ),
    ],
    sources: &[
        ("floor", "from memory: curves of class-2 ceramics level off at a tenth or less"),
        ("leakage", "in parallel with the capacitance"),
        (
            "esr",
            "electrolytic: loss factors at 120 Hz of general-purpose catalogues by rated voltage, 0.22 at 6.3 V to 0.08 at 100 V, and 0.02 for each further 1000 uF",
        ),
        ("loss_frequency", "IEC 60384-4 measures electrolytic capacitors at 100 Hz or 120 Hz"),
        ("loss_model", "the equivalent series resistance of data sheets"),
        ("temperature", "data sheets' reference"),
        ("age", "IEC 60384-4, from memory: an endurance test may double the loss factor"),
        ("surge", "IEC 60384-4, from memory: 1.15 times the rated voltage up to 315 V, for 30 s at a time"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["capacitance", "capacitance_table"]),
        Rule::NotBoth(&["esr", "loss_factor"]),
        Rule::Needs("loss_frequency", &["loss_factor"]),
        Rule::Needs("loss_model", &["loss_factor"]),
        Rule::Either(&["half_voltage", "floor"], &["capacitance_table"]),
        Rule::Needs("floor", &["half_voltage"]),
        Rule::Needs("surge", &["rated"]),
        Rule::Needs("core_rise", &["ripple_rating"]),
        Rule::Needs("life", &["life_temperature"]),
        Rule::Needs("life_temperature", &["life"]),
    ],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "capacitance",
        Shape::Number(Dimension::CAPACITANCE, "uF"),
        Allowed::Positive,
        "capacitance at no voltage",
        Some("the first of capacitance_table"),
    ),
    property(
        "type",
        Shape::Words(&["electrolytic", "polymer", "tantalum", "film", "ceramic_class_1", "ceramic_class_2"]),
        Allowed::Any,
        "what it is made of; film and ceramic have no stripe",
        Some("not said: judged as if it had a stripe, unless its value falls with voltage"),
    ),
    property(
        "esr",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance in series at 20 degC, when new",
        Some("by loss_factor; of a type electrolytic by its rated voltage (an assumption); otherwise 0 ohm"),
    ),
    property(
        "loss_factor",
        Shape::Number(Dimension::NONE, ""),
        Allowed::Between(0.0, 10.0),
        "tan delta at loss_frequency: the esr over the reactance",
        None,
    ),
    property(
        "loss_frequency",
        Shape::Number(Dimension::FREQUENCY, "Hz"),
        Allowed::Positive,
        "frequency at which the loss factor holds",
        Some("120 Hz"),
    ),
    property(
        "loss_model",
        Shape::Words(&["series", "parallel"]),
        Allowed::Any,
        "whether the loss factor stands for a resistance in series or across the capacitance",
        Some("series"),
    ),
    property(
        "esl",
        Shape::Number(Dimension::INDUCTANCE, "nH"),
        Allowed::NotNegative,
        "inductance in series",
        Some("0 H"),
    ),
    property(
        "leakage",
        Shape::Number(Dimension::RESISTANCE, "Mohm"),
        Allowed::Positive,
        "resistance across the capacitance",
        Some("none"),
    ),
    property(
        "rated",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage it withstands",
        None,
    ),
    property(
        "surge",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage it withstands for seconds",
        Some("1.15 times rated for a type electrolytic, otherwise rated"),
    ),
    property(
        "ripple_rating",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::Positive,
        "rms current it withstands",
        None,
    ),
    property(
        "core_rise",
        Shape::Number(Dimension::TEMPERATURE, "K"),
        Allowed::Between(0.0, 100.0),
        "kelvins by which the rated ripple current warms its core",
        Some("not counted"),
    ),
    property(
        "temperature",
        Shape::Number(Dimension::TEMPERATURE, "degC"),
        Allowed::Positive,
        "temperature of the air around it",
        Some("20 degC"),
    ),
    property(
        "age",
        Shape::Number(Dimension::NONE, ""),
        Allowed::Between(1.0, 10.0),
        "times by which the esr has grown since new; 2 is the end of life of an electrolytic",
        Some("1"),
    ),
    property(
        "life",
        Shape::Number(Dimension::TIME, "h"),
        Allowed::Positive,
        "hours of life that its data sheet promises at life_temperature",
        None,
    ),
    property(
        "life_temperature",
        Shape::Number(Dimension::TEMPERATURE, "degC"),
        Allowed::Positive,
        "temperature of that life, the highest it is rated for",
        None,
    ),
    property(
        "half_voltage",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage at which half of the part above the floor is gone (class-2 ceramic)",
        Some("the value does not fall"),
    ),
    property(
        "floor",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "share of the capacitance that stays at any voltage",
        Some("10 % where half_voltage is given"),
    ),
    property(
        "capacitance_table",
        Shape::Points((Dimension::VOLTAGE, "V"), (Dimension::CAPACITANCE, "uF")),
        Allowed::Positive,
        "capacitance by voltage, read off the curve of a class-2 ceramic; scaled where capacitance is given too",
        Some("the value does not fall"),
    ),
    property(
        "dielectric",
        Shape::Words(CODES),
        Allowed::Any,
        "three characters of a class-2 ceramic: its temperatures and what they change",
        None,
    ),
    MASS,
];

/// Codes of class-2 dielectrics that are sold or were: X, Y, Z for the lowest temperature, 5 to 8 for the highest, a letter for the
/// change (EIA RS-198, IEC 60384-9; from memory).
const CODES: &[&str] = &[
    "X7R", "X5R", "X7S", "X5P", "X5S", "X5T", "X5U", "X5V", "X6P", "X6R", "X6S", "X6T", "X6U", "X6V", "X7P",
    "X7T", "X7U", "X7V", "X8P", "X8R", "X8S", "X8T", "X8U", "X8V", "Y5P", "Y5R", "Y5S", "Y5T", "Y5U", "Y5V",
    "Y6P", "Y6R", "Y6S", "Y6T", "Y6U", "Y6V", "Y7P", "Y7R", "Y7S", "Y7T", "Y7U", "Y7V", "Z5P", "Z5R", "Z5S",
    "Z5T", "Z5U", "Z5V", "Z6P", "Z6R", "Z6S", "Z6T", "Z6U", "Z6V", "Z7P", "Z7R", "Z7S", "Z7T", "Z7U", "Z7V",
];
