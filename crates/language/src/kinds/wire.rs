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
        ("twisted: wire = sqrt(1 + (pi D/p)^2) length", "spacing D, pitch p; geometry of a helix"),
        (
            "with skin effect: Z = R (k a/2) J0(k a)/J1(k a), k = (1 - j)/skin depth",
            "Terman, Radio Engineers' Handbook, section 2, as a ladder of resistances and inductances",
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
        (
            "conductor",
            "IEC 60228: class 5 as seen in a cable data table that quotes it, the others from memory",
        ),
        ("pitch", "geometry of a helix: sqrt(1 + (pi spacing/pitch)^2) of wire for each metre of pair"),
        (
            "skin_effect",
            "Kelvin-function result of a round conductor, (k a/2) J0(k a)/J1(k a): Terman, Radio Engineers' Handbook, section 2; a ladder within 1 % of it up to 30 MHz",
        ),
        ("enamel", "IEC 60317-0-1: some rows as seen in public code that quotes it, the others from memory"),
        (
            "overload_time",
            "Onderdonk's formula, Stauffacher, General Electric Review (1928); in the long run Preece's, 80 A x (d/1 mm)^1.5",
        ),
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
        Rule::Needs("conductor", &["area"]),
        Rule::Needs("pitch", &["spacing"]),
        Rule::Needs("skin_effect", &["length"]),
        Rule::Needs("enamel", &["length"]),
        Rule::Needs("overload_time", &["length"]),
    ],
    check: no_relations,
};

const MAKE: &[&str] = &[
    "length",
    "gauge",
    "area",
    "diameter",
    "strands",
    "conductor",
    "temperature",
    "spacing",
    "pitch",
    "return",
    "skin_effect",
    "enamel",
    "overload_time",
];

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
        "conductor",
        Shape::Words(&["class_1", "class_2", "class_5", "class_5_tinned"]),
        Allowed::Any,
        "how cable of a nominal `area` is built: solid, stranded, flexible, flexible and tinned; its greatest resistance then is that of IEC 60228",
        Some("copper of exactly that area"),
    ),
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
        "pitch",
        Shape::Number(Dimension::LENGTH, "mm"),
        Allowed::Positive,
        "length of one full turn of a twisted pair; it takes more wire than its `length`",
        Some("not twisted"),
    ),
    property(
        "return",
        Shape::Words(&["included"]),
        Allowed::Any,
        "`included`: both conductors' resistance is in this part",
        Some("the return is its own wire"),
    ),
    property(
        "skin_effect",
        Shape::Words(&["included"]),
        Allowed::Any,
        "`included`: resistance rises and inductance falls with frequency, as current moves to the skin",
        Some("left out"),
    ),
    property(
        "enamel",
        Shape::Words(&["grade_1", "grade_2"]),
        Allowed::Any,
        "enamel of a round magnet wire, for how thick it is with it (`check --parts`)",
        Some("not told"),
    ),
    property(
        "overload_time",
        Shape::Number(Dimension::TIME, "s"),
        Allowed::Positive,
        "how long a short circuit lasts, for the current that melts the wire within it (`check --parts`)",
        Some("100 ms, 1 s and 5 s are told"),
    ),
];
