//! A wire, by its electrical values or by its make.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Wire,
    word: "wire",
    meaning: "A wire, or a pair with `return included`, by resistance and inductance or by length and size.",
    equations: &[
        ("u = R i + L di/dt", "a resistance in series with an inductance"),
        (
            "R = r length / area, r = 1/58 uohm m at 20 degC, 0.393 % a kelvin",
            "annealed copper, IEC 60028; twice that with `return included`",
        ),
        (
            "of a pair: L = (mu0/pi) (ln(D/a) + 1/4) length",
            "radius a, spacing D; Grover, Inductance Calculations, ch. 5; Bird, Electrical Circuit Theory and Technology, ch. 40",
        ),
        (
            "of a wire alone: L = (mu0/2 pi) length (ln(2 length/a) - 3/4), a << length",
            "Rosa, Bulletin of the NBS 4 (1908); the full formula is used",
        ),
    ],
    sources: &[
        ("gauge", "ASTM B258: diameter 0.127 mm x 92^((36 - n)/39)"),
        ("temperature", "IEC 60028: the temperature of its figures"),
        ("spacing", "Grover, Inductance Calculations, ch. 5; alone: Rosa, Bulletin of the NBS 4 (1908)"),
        ("area", "IEC 60028 copper"),
        ("diameter", "IEC 60028 copper"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["length", "resistance", "inductance"]),
        Rule::Either(&["resistance", "inductance"], MAKE),
        Rule::NotBoth(&["gauge", "area", "diameter"]),
        Rule::Needs("length", &["gauge", "area", "diameter"]),
    ],
    check: no_relations,
};

const MAKE: &[&str] = &["length", "gauge", "area", "diameter", "strands", "temperature", "spacing", "return"];

const PROPERTIES: &[Property] = &[
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "its resistance",
        Some("0 ohm"),
    ),
    property(
        "inductance",
        Shape::Number(Dimension::INDUCTANCE, "nH"),
        Allowed::NotNegative,
        "its inductance",
        Some("0 H"),
    ),
    property("length", Shape::Number(Dimension::LENGTH, "mm"), Allowed::Positive, "length one way", None),
    // 0000 is gauge -3; ASTM B258 goes to 56.
    property(
        "gauge",
        Shape::Number(Dimension::GAUGE, "AWG"),
        Allowed::Between(-3.0, 56.0),
        "American wire gauge",
        None,
    ),
    property(
        "area",
        Shape::Number(Dimension::AREA, "mm2"),
        Allowed::Positive,
        "cross-section of the copper, all strands",
        None,
    ),
    property(
        "diameter",
        Shape::Number(Dimension::LENGTH, "mm"),
        Allowed::Positive,
        "diameter of the copper",
        None,
    ),
    property("strands", Shape::Count, Allowed::AtLeast(1.0), "number of strands", Some("1")),
    property(
        "temperature",
        Shape::Number(Dimension::TEMPERATURE, "degC"),
        Allowed::Positive,
        "temperature of the copper",
        Some("20 degC"),
    ),
    property(
        "spacing",
        Shape::Number(Dimension::LENGTH, "mm"),
        Allowed::Positive,
        "distance to the return wire, between centres",
        Some("a single wire's inductance, with a warning"),
    ),
    property(
        "return",
        Shape::Words(&["included"]),
        Allowed::Any,
        "`included`: both conductors' resistance is in this part",
        Some("the return is its own wire"),
    ),
];
