//! A coil, as measured or from its making.

mod properties;

use super::table::{KindTable, Rule, Stated};
use crate::kind::Kind;
use crate::mistake::{Mistake, Sink};
use properties::PROPERTIES;

pub(crate) const TABLE: KindTable = KindTable {
    kind: Kind::Coil,
    word: "coil",
    meaning: "A coil with its saturation and its parasitic elements, as measured or from its ring and winding.",
    equations: &[
        ("u = R i + d(flux)/dt", "the dcr R in series with the inductance"),
        (
            "flux = L i, or where it saturates: flux = Lr i + s c(x), x = (L - Lr) i / s",
            "own choice: odd, slope L at no current and Lr, the residual, at a large one",
        ),
        (
            "c = tanh x, or by `saturation_curve` arctan: 2/pi atan(pi x/2), froehlich: x/(1 + |x|), langevin: coth 3x - 1/3x",
            "textbook forms, each of slope 1 at 0 and at most 1",
        ),
        (
            "flux = a monotone piecewise cubic through the points of flux_table, or the integral of one through inductance_table",
            "Fritsch and Carlson, SIAM Journal on Numerical Analysis 17 (1980); beyond the last point the last slope goes on",
        ),
        (
            "d(flux)/di = (1 - p) L at the saturation current I, which gives s from I and the drop p",
            "the definition of a saturation current in data sheets (IEC 62024-2, from memory)",
        ),
        (
            "from a ring: L = mu0 mu N^2 A / l = al N^2; al = test_inductance / test_turns^2; s = B N A",
            "effective length l and area A of a ring: IEC 60205, clause 5.1",
        ),
        (
            "with a gap g: L = mu0 m N^2 A / l, m = mu / (1 + (mu - 1) g / l)",
            "textbook: reluctances in series, without the field that bulges out",
        ),
        (
            "estimated winding capacitance = 1.366 times that between touching turns through enamel and air, for many turns on a core",
            "Massarini and Kazimierczuk, IEEE Transactions on Power Electronics 12 (1997)",
        ),
        (
            "core loss: P = k f^a B^b of its volume, as the resistance (2 pi f N A B)^2 / 2P across the inductance",
            "Steinmetz' law with coefficients of the material's class",
        ),
    ],
    sources: &[
        ("residual", "from memory: effective permeabilities of 50 to 100 fall to 1 or 2 when saturated"),
        ("drop", "from memory: data sheets use 10 %, 20 % or 30 % (IEC 62024-2)"),
        ("dcr", "of a winding: IEC 60028 copper at its temperature, by its turns' length, layer by layer"),
        (
            "saturation_curve",
            "from memory: ferrites are full at once, powders fit 1/(a + b H^c) with c from 1 to 2, of which arctan is c = 2",
        ),
        (
            "material",
            "flux densities of power ferrites from data sheets' values in a public data base (0.5 T at 25 degC, 0.4 T at 100 degC); \
             all else of a class from memory: permeability 500 to 18000, 10 to 2500, 3 to 300; flux density 0.38 T and 0.24 T from \
             permeability 4000 on, 0.3 T and 0.2 T, 1 T and 0.95 T; density 4.8, 5 and 6 g/cm3; Curie temperatures",
        ),
        (
            "temperature",
            "IEC 60028 for copper; a straight line through 25 degC and 100 degC for the material's flux density",
        ),
        ("estimate", "Massarini and Kazimierczuk (1997); permittivity 3.5 of enamel from memory"),
        (
            "loss_frequency",
            "Steinmetz' law: four rows of a public set of measurements of a power ferrite; other classes from memory",
        ),
        ("loss_flux_density", "own choice: some milliampere of ripple in a filter's coil"),
        ("gap", "textbook: reluctances in series"),
        ("test_turns", "IEC 60205: the inductance factor"),
        ("test_inductance", "IEC 60205: the inductance factor"),
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
        Rule::OneOf(LAWS),
        Rule::NotBoth(LAWS),
        Rule::NotBoth(&[
            "saturation_current",
            "saturation_flux",
            "flux_density_limit",
            "flux_table",
            "inductance_table",
        ]),
        Rule::NotBoth(&["dcr", "wire_diameter"]),
        Rule::NotBoth(&["winding_capacitance", "estimate"]),
        Rule::NotBoth(&["loss_resistance", "loss_frequency"]),
        Rule::NotBoth(&["saturation_curve", "flux_table", "inductance_table"]),
        Rule::Needs("drop", &["saturation_current"]),
        Rule::Needs("residual", SATURATES),
        Rule::Needs("saturation_curve", SATURATES),
        Rule::Needs("al", &["turns"]),
        Rule::Needs("test_turns", &["test_inductance"]),
        Rule::Needs("test_inductance", &["test_turns"]),
        Rule::Needs("test_inductance", &["turns"]),
        Rule::Needs("permeability", &["turns"]),
        Rule::Needs("permeability", &["outer"]),
        Rule::Needs("gap", &["permeability"]),
        Rule::Needs("flux_density_limit", &["turns"]),
        Rule::Needs("flux_density_limit", &["outer"]),
        Rule::Needs("wire_diameter", &["turns"]),
        Rule::Needs("wire_diameter", &["outer"]),
        Rule::Needs("temperature", &["wire_diameter", "material"]),
        Rule::Needs("estimate", &["wire_diameter"]),
        Rule::Needs("loss_frequency", &["material"]),
        Rule::Needs("loss_frequency", &["turns"]),
        Rule::Needs("loss_frequency", &["outer"]),
        Rule::Needs("loss_flux_density", &["loss_frequency"]),
        Rule::Needs("outer", &["inner"]),
        Rule::Needs("outer", &["height"]),
        Rule::Needs("inner", &["outer"]),
        Rule::Needs("height", &["outer"]),
    ],
    check,
};

/// What says how much inductance the coil has.
const LAWS: &[&str] =
    &["inductance", "al", "permeability", "test_inductance", "flux_table", "inductance_table"];

/// What says where it saturates.
const SATURATES: &[&str] = &["saturation_current", "saturation_flux", "flux_density_limit", "material"];

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
