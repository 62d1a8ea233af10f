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
            "C dv/dt = i - v/Rp with a slow pair, else v = 0; two pairs add up",
            "polarisation resistance Rp and capacitance C in parallel",
        ),
        (
            "by cells: E = n e(charge), R = n r / parallel",
            "cells in series and strings in parallel; e by the chemistry",
        ),
        (
            "of li_ion and li_po: e = 3.685 + 0.2156 c - 0.1178 c^2 + 0.3201 c^3 - 1.031 exp(-35 c)",
            "charge c; Chen and Rincon-Mora, Accurate electrical battery model, IEEE Transactions on Energy Conversion 21 (2006), cells at rest: 4.10 V when full, where a charger leaves 4.20 V (see full_voltage); the other chemistries by tables from memory",
        ),
        (
            "with full_voltage V: e = e0 + (V - e0(1)) c^5, e0 the curve",
            "own choice: the curve's end meets V, at half charge 3 % of the difference are left",
        ),
        (
            "with temperature and wear: r = r(22 degC) x wear x exp(B (1/T - 1/295.15 K))",
            "a thermally activated process; B from memory, to a third: 2500 K for lithium and alkaline, 1500 K for ni_mh, 1000 K for lead_acid; from -20 degC to 60 degC",
        ),
        (
            "cell_model published: r = 0.1562 exp(-24.37 c) + 0.07446, and two slow pairs by like laws, in ohm",
            "Chen and Rincon-Mora, as above: a cell of 850 mAh; resistances fall and capacitances rise with the capacity of a cell",
        ),
    ],
    sources: &[
        ("chemistry", "common practice, no source"),
        ("charge", "common practice, no source"),
        ("cell_resistance", "from memory, to a factor of two: cells in fair condition at room temperature"),
        ("resistance", "by emf nothing is added; by cells see cell_resistance"),
        (
            "capacity",
            "from memory: where it is given, the usual resistance is that of 2.5 Ah of li_ion, li_fe and alkaline, 2.2 Ah of li_po, 2 Ah of ni_mh, 7 Ah of lead_acid, over the capacity; mass by 200 Wh/kg of li_ion, 150 of li_po, 110 of li_fe, 70 of ni_mh, 33 of lead_acid, 120 of alkaline",
        ),
        ("cell_model", "Chen and Rincon-Mora, IEEE Transactions on Energy Conversion 21 (2006)"),
        ("temperature", "two hobby guides measure cells at about 22 degC; the factor is from memory"),
        ("charge_limit", "from memory: IEC 62133-2 practice and data sheets"),
        ("cutoff_voltage", "from memory: data sheets; cans go down to 2.5 V, pouches to 3 V"),
        ("inductance", "30 nH: 3 to 5 cm of path a cell (from memory)"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["cells", "emf"]),
        Rule::Either(&["emf"], BY_CELLS),
        Rule::NotBoth(&["resistance", "cell_resistance"]),
        Rule::Needs("polarisation_resistance", &["polarisation_capacitance"]),
        Rule::Needs("polarisation_capacitance", &["polarisation_resistance"]),
        Rule::Needs("polarisation_resistance_2", &["polarisation_capacitance_2"]),
        Rule::Needs("polarisation_capacitance_2", &["polarisation_resistance_2"]),
        Rule::Either(
            &["cell_model"],
            &[
                "polarisation_resistance",
                "polarisation_capacitance",
                "polarisation_resistance_2",
                "polarisation_capacitance_2",
            ],
        ),
        Rule::Needs("discharge_rating", &["capacity"]),
    ],
    check: no_relations,
};

/// What only cells have.
const BY_CELLS: &[&str] = &[
    "cells",
    "parallel",
    "chemistry",
    "charge",
    "cell_resistance",
    "cell_model",
    "temperature",
    "wear",
    "full_voltage",
    "charge_limit",
    "cutoff_voltage",
];

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
        "capacity",
        Shape::Number(Dimension::CHARGE, "mAh"),
        Allowed::Positive,
        "charge that the full pack gives, all strings together",
        Some("not known: the usual resistance is not scaled by it"),
    ),
    property(
        "discharge_rating",
        Shape::Number(Dimension::NONE, ""),
        Allowed::Between(0.01, 200.0),
        "greatest lasting current over the one that empties the pack in an hour: 25 of a label's 25C",
        None,
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
        "cell_model",
        Shape::Words(&["published"]),
        Allowed::Any,
        "resistance and two slow pairs by charge, as published of a small lithium-polymer cell; a stated resistance is that at half charge",
        Some("the resistance alone"),
    ),
    property(
        "temperature",
        Shape::Number(Dimension::TEMPERATURE, "degC"),
        Allowed::Positive,
        "temperature of the cells, for their resistance",
        Some("22 degC"),
    ),
    property(
        "wear",
        Shape::Number(Dimension::NONE, ""),
        Allowed::Between(1.0, 20.0),
        "times by which the resistance has grown since new",
        Some("1"),
    ),
    property(
        "full_voltage",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage of one full cell at rest: 4.2 V right from the charger",
        Some("by the chemistry's curve, 4.10 V of li_ion and li_po"),
    ),
    property(
        "charge_limit",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage above which one cell is harmed",
        Some(
            "4.2 V of li_ion and li_po, 3.65 V of li_fe, 1.5 V of ni_mh, 2.45 V of lead_acid, 1.65 V of alkaline",
        ),
    ),
    property(
        "cutoff_voltage",
        Shape::Number(Dimension::VOLTAGE, "V"),
        Allowed::Positive,
        "voltage below which one cell is harmed",
        Some(
            "2.5 V of li_ion and li_fe, 3 V of li_po, 0.9 V of ni_mh, 1.75 V of lead_acid, 0.8 V of alkaline",
        ),
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
    property(
        "polarisation_resistance_2",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::Positive,
        "resistance of a second, slower recovery",
        Some("none"),
    ),
    property(
        "polarisation_capacitance_2",
        Shape::Number(Dimension::CAPACITANCE, "F"),
        Allowed::Positive,
        "capacitance of the second recovery",
        Some("none"),
    ),
];
