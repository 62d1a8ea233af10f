//! A ferrite bead.

use super::table::{Allowed, KindTable, MASS, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Bead,
    word: "bead",
    meaning: "A ferrite bead: resistance, inductance and capacitance in parallel, its copper in series.",
    equations: &[(
        "u = R i + v; i = v/Rp + C dv/dt + j, v = d(flux)/dt, flux = L j",
        "the equivalent that makers give (from memory): inductance below its peak, losses Rp at it, capacitance above",
    )],
    sources: &[("saturation_current", "falls by 30 % there, along a coil's curve")],
    properties: PROPERTIES,
    rules: &[Rule::OneOf(&["peak_resistance"]), Rule::OneOf(&["inductance"])],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "peak_resistance",
        Shape::Number(Dimension::RESISTANCE, "ohm"),
        Allowed::Positive,
        "greatest impedance, where its curve over frequency peaks",
        None,
    ),
    property(
        "inductance",
        Shape::Number(Dimension::INDUCTANCE, "uH"),
        Allowed::Positive,
        "inductance at low frequency and no current",
        None,
    ),
    property(
        "capacitance",
        Shape::Number(Dimension::CAPACITANCE, "pF"),
        Allowed::NotNegative,
        "capacitance across it",
        Some("0 F"),
    ),
    property(
        "dcr",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance in series",
        Some("0 ohm"),
    ),
    property(
        "saturation_current",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::Positive,
        "current at which the inductance has fallen by 30 %",
        Some("the bead is linear"),
    ),
    MASS,
];
