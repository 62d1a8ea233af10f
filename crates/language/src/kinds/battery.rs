//! A battery, by its voltage or by its cells.

use super::table::{Allowed, KindTable, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Battery,
    word: "battery",
    meaning: "A battery by its voltage or by its cells, with its resistance, inductance and slow recovery.",
    equations: &[
        (
            "u = E - R i - L di/dt - v, i delivered",
            "voltage without load, resistance and inductance in series",
        ),
        (
            "C dv/dt = i - v/Rp with a slow pair, else v = 0",
            "polarisation resistance Rp and capacitance C in parallel",
        ),
        (
            "by cells: E = n e(charge), R = n r / parallel",
            "cells in series and strings in parallel; e by the chemistry",
        ),
        (
            "of li_ion and li_po: e = 3.685 + 0.2156 c - 0.1178 c^2 + 0.3201 c^3 - 1.031 exp(-35 c)",
            "charge c; Chen and Rincon-Mora, Accurate electrical battery model, IEEE Transactions on Energy Conversion 21 (2006); the other chemistries by tables from memory",
        ),
    ],
    sources: &[
        ("chemistry", "common practice, no source"),
        ("charge", "common practice, no source"),
        ("cell_resistance", "from memory, to a factor of two: cells in fair condition at room temperature"),
        ("resistance", "by emf nothing is added; by cells see cell_resistance"),
        ("inductance", "30 nH: 3 to 5 cm of path a cell (from memory)"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["cells", "emf"]),
        Rule::Either(&["emf"], &["cells", "parallel", "chemistry", "charge", "cell_resistance"]),
        Rule::NotBoth(&["resistance", "cell_resistance"]),
        Rule::Needs("polarisation_resistance", &["polarisation_capacitance"]),
        Rule::Needs("polarisation_capacitance", &["polarisation_resistance"]),
    ],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property("emf", Shape::Number(Dimension::VOLTAGE, "V"), Allowed::Positive, "voltage without load", None),
    property("cells", Shape::Count, Allowed::AtLeast(1.0), "cells in series", None),
    property("parallel", Shape::Count, Allowed::AtLeast(1.0), "strings of cells in parallel", Some("1")),
    property(
        "chemistry",
        Shape::Words(&["li_ion", "li_po", "li_fe", "ni_mh", "lead_acid", "alkaline"]),
        Allowed::Any,
        "kind of cell, for its voltage at a charge",
        Some("li_ion (an assumption)"),
    ),
    property(
        "charge",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Between(0.0, 1.0),
        "state of charge",
        Some("100 % (an assumption)"),
    ),
    property(
        "resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance of the whole battery",
        Some("0 ohm when given by emf, from the cells otherwise"),
    ),
    property(
        "cell_resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance of one cell",
        Some("usual for the chemistry (an assumption)"),
    ),
    property(
        "inductance",
        Shape::Number(Dimension::INDUCTANCE, "nH"),
        Allowed::NotNegative,
        "inductance of the whole battery",
        Some("30 nH a cell when given by cells, 0 H when given by emf"),
    ),
    property(
        "polarisation_resistance",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::Positive,
        "resistance of the slow recovery",
        Some("none"),
    ),
    property(
        "polarisation_capacitance",
        Shape::Number(Dimension::CAPACITANCE, "F"),
        Allowed::Positive,
        "capacitance of the slow recovery",
        Some("none"),
    ),
];
