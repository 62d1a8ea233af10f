//! A coil, as measured or from its making.

use super::table::{Allowed, KindTable, Property, Rule, Shape, Stated, property};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink};
use quantity::Dimension;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Coil,
    word: "coil",
    meaning: "A coil with its saturation and its parasitic elements, as measured or from its ring and winding.",
    equations: &[
        ("u = R i + d(flux)/dt", "the dcr R in series with the inductance"),
        (
            "flux = L i, or where it saturates: flux = Lr i + s tanh((L - Lr) i / s)",
            "own choice: odd, smooth, slope L at no current and Lr, the residual, at a large one",
        ),
        (
            "d(flux)/di = (1 - p) L at the saturation current I, which gives s from I and the drop p",
            "the definition of a saturation current in data sheets (IEC 62024-2, from memory)",
        ),
        (
            "from a ring: L = mu0 mu N^2 A / l = al N^2; s = B N A",
            "effective length l and area A of a ring: IEC 60205, clause 5.1",
        ),
    ],
    sources: &[
        ("residual", "from memory: effective permeabilities of 50 to 100 fall to 1 or 2 when saturated"),
        ("drop", "from memory: data sheets use 10 %, 20 % or 30 % (IEC 62024-2)"),
        ("dcr", "of a winding: IEC 60028 copper at 20 degC, by its turns' length"),
        (
            "wire_diameter",
            "copper of IEC 60028 at 20 degC; enamelled thickness for the remark on layers of IEC 60317-0-1, as quoted in public code",
        ),
        ("permeability", "IEC 60205, clause 5.1"),
        ("al", "IEC 60205: the inductance factor"),
        ("outer", "IEC 60205, clause 5.1"),
        ("inner", "IEC 60205, clause 5.1"),
        ("height", "IEC 60205, clause 5.1"),
    ],
    properties: PROPERTIES,
    rules: &[
        Rule::OneOf(&["inductance", "al", "permeability"]),
        Rule::NotBoth(&["inductance", "al", "permeability"]),
        Rule::NotBoth(&["saturation_current", "saturation_flux", "flux_density_limit"]),
        Rule::NotBoth(&["dcr", "wire_diameter"]),
        Rule::Needs("drop", &["saturation_current"]),
        Rule::Needs("residual", &["saturation_current", "saturation_flux", "flux_density_limit"]),
        Rule::Needs("al", &["turns"]),
        Rule::Needs("permeability", &["turns"]),
        Rule::Needs("permeability", &["outer"]),
        Rule::Needs("flux_density_limit", &["turns"]),
        Rule::Needs("flux_density_limit", &["outer"]),
        Rule::Needs("wire_diameter", &["turns"]),
        Rule::Needs("wire_diameter", &["outer"]),
        Rule::Needs("outer", &["inner"]),
        Rule::Needs("outer", &["height"]),
        Rule::Needs("inner", &["outer"]),
        Rule::Needs("height", &["outer"]),
    ],
    check,
};

const PROPERTIES: &[Property] = &[
    property(
        "inductance",
        Shape::Number(Dimension::INDUCTANCE, "uH"),
        Allowed::Positive,
        "inductance at no current",
        None,
    ),
    property(
        "residual",
        Shape::Number(Dimension::INDUCTANCE, "uH"),
        Allowed::Positive,
        "inductance left when fully saturated: the winding in air keeps some nanohenry per turn",
        Some("2 % of the inductance (an assumption)"),
    ),
    property(
        "saturation_current",
        Shape::Number(Dimension::CURRENT, "A"),
        Allowed::Positive,
        "current at which the inductance has fallen by `drop`",
        Some("the coil is linear"),
    ),
    property(
        "drop",
        Shape::Number(Dimension::NONE, "%"),
        Allowed::Inside(0.0, 1.0),
        "fall of the inductance at the saturation current",
        Some("30 %"),
    ),
    property(
        "saturation_flux",
        Shape::Number(Dimension::FLUX, "uWb"),
        Allowed::Positive,
        "flux linkage that the core adds at most",
        Some("the coil is linear"),
    ),
    property(
        "dcr",
        Shape::Number(Dimension::RESISTANCE, "mohm"),
        Allowed::NotNegative,
        "resistance of the winding, in series",
        Some("0 ohm, or from the winding"),
    ),
    property(
        "winding_capacitance",
        Shape::Number(Dimension::CAPACITANCE, "pF"),
        Allowed::NotNegative,
        "capacitance across the inductance",
        Some("0 F"),
    ),
    property(
        "loss_resistance",
        Shape::Number(Dimension::RESISTANCE, "kohm"),
        Allowed::Positive,
        "resistance across the inductance",
        Some("none"),
    ),
    property(
        "outer",
        Shape::Number(Dimension::LENGTH, "mm"),
        Allowed::Positive,
        "outer diameter of the ring",
        None,
    ),
    property(
        "inner",
        Shape::Number(Dimension::LENGTH, "mm"),
        Allowed::Positive,
        "inner diameter of the ring",
        None,
    ),
    property("height", Shape::Number(Dimension::LENGTH, "mm"), Allowed::Positive, "height of the ring", None),
    property(
        "al",
        Shape::Number(Dimension::INDUCTANCE, "nH"),
        Allowed::Positive,
        "inductance of one turn; it grows with the turns squared",
        None,
    ),
    property(
        "permeability",
        Shape::Number(Dimension::NONE, ""),
        Allowed::AtLeast(1.0),
        "relative permeability of the core",
        None,
    ),
    property("turns", Shape::Count, Allowed::AtLeast(1.0), "turns through the ring", None),
    property(
        "wire_diameter",
        Shape::Number(Dimension::LENGTH, "mm"),
        Allowed::Positive,
        "diameter of the copper",
        None,
    ),
    property(
        "flux_density_limit",
        Shape::Number(Dimension::FLUX_DENSITY, "mT"),
        Allowed::Positive,
        "flux density at which the core is full",
        Some("the coil is linear"),
    ),
];

fn check(stated: &Stated<'_>, sink: &mut Sink) {
    if let (Some(outer), Some(inner)) = (stated.number("outer"), stated.number("inner"))
        && inner >= outer
    {
        let place = stated.place("inner");
        sink.push(
            Mistake::new(
                "ring_without_core",
                place,
                format!("the ring of `{}` has no core: its hole is as wide as it", stated.name),
            )
            .label("must be less than `outer`")
            .also(stated.place("outer"), "the outer diameter"),
        );
    }
}
