//! Two windings on one core.

use super::table::{Allowed, KindTable, MASS, Property, Rule, Shape, no_relations, property};
use crate::kind::Kind;
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Coupled,
    word: "coupled",
    meaning: "Two windings on one core, `A -> B, C -> D`: currents into the left nodes of both add up. A common-mode choke has both arrows \
              from source to load, `bus -> tap, gnd -> cam_minus`, so that what returns through the second cancels what goes through the first.",
    equations: &[
        (
            "u1 = R i1 + (1 - k) L di1/dt + d(flux)/dt",
            "leakage, core and copper of the first winding; the coupling k by its definition",
        ),
        (
            "u2 = R i2 + (1 - k) n^2 L di2/dt + n d(flux)/dt",
            "the same of the second, with n times the turns; between them M = n k L",
        ),
        (
            "M = (aiding - opposing) / 4, or from one of them and L1 + L2; k = M / sqrt(L1 L2) = sqrt(1 - leakage / L)",
            "Bird, Electrical Circuit Theory and Technology, ch. 43: windings in series, and a shorted secondary",
        ),
        (
            "flux = k L (i1 + n i2), or saturating as a coil's",
            "currents into the left nodes add up in the core",
        ),
    ],
    sources: &[
        ("leakage", "Bird, Electrical Circuit Theory and Technology, ch. 43"),
        ("series_aiding", "Bird, Electrical Circuit Theory and Technology, ch. 43"),
        ("series_opposing", "Bird, Electrical Circuit Theory and Technology, ch. 43"),
        ("coupling", "from memory: 0.98 to 0.998 for two wires wound together on a ring"),
        ("drop", "from memory: data sheets use 10 %, 20 % or 30 % (IEC 62024-2)"),
        ("residual", "from memory, as of a coil"),
        ("turns_ratio", "a common-mode choke's: both windings are alike"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["inductance"]),
        Rule::NotBoth(&["coupling", "leakage", "series_aiding"]),
        Rule::NotBoth(&["coupling", "leakage", "series_opposing"]),
        Rule::NotBoth(&["saturation_current", "saturation_flux"]),
        Rule::Needs("drop", &["saturation_current"]),
        Rule::Needs("residual", &["saturation_current", "saturation_flux"]),
    ],
    check: no_relations,
};

const PROPERTIES: &[Property] = &[
    property(
        "inductance",
        Shape::Number(Dimension::INDUCTANCE, "mH"),
        Allowed::Positive,
        "inductance of the first winding, the second one open",
        None,
    ),
    property(
        "coupling",
        Shape::Number(Dimension::NONE, ""),
        Allowed::Inside(0.0, 1.0),
        "share of the inductance that both windings have in common; the rest is leakage",
        Some("0.99 (an assumption)"),
    ),
    property(
        "leakage",
        Shape::Number(Dimension::INDUCTANCE, "uH"),
        Allowed::Positive,
        "what a meter shows at the first winding while the second one is shorted; gives the coupling",
        None,
    ),
    property(
        "series_aiding",
        Shape::Number(Dimension::INDUCTANCE, "mH"),
        Allowed::Positive,
        "what it shows across both windings in series, the end of one on the start of the other; gives the coupling",
        None,
    ),
    property(
        "series_opposing",
        Shape::Number(Dimension::INDUCTANCE, "mH"),
        Allowed::Positive,
        "the same with ends or starts together; with both, the turns follow too",
        None,
    ),
    property(
        "turns_ratio",
        Shape::Number(Dimension::NONE, ""),
        Allowed::Positive,
        "turns of the second winding over those of the first",
        Some("1"),
    ),
    property(
        "dcr",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance of each winding, in series",
        Some("0 ohm"),
    ),
    property(
        "saturation_current",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::Positive,
        "sum of both currents (the second times the turns ratio) at which the common inductance has fallen by `drop`",
        Some("the core is linear"),
    ),
    property(
        "drop",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Inside(0.0, 1.0),
        "fall of the common inductance at the saturation current",
        Some("30 %"),
    ),
    property(
        "residual",
        Shape::Number(Dimension::INDUCTANCE, "uH"),
        Allowed::Positive,
        "common inductance left when fully saturated",
        Some("2 % of the common inductance (an assumption)"),
    ),
    property(
        "saturation_flux",
        Shape::Number(Dimension::FLUX, "uWb"),
        Allowed::Positive,
        "flux linkage of the first winding that the core adds at most",
        Some("the core is linear"),
    ),
    MASS,
];
