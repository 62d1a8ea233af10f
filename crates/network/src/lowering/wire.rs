//! A wire: resistance and inductance in series.

use super::builder::{Builder, Link};
use language::description::Part;
use parts::Mistake;
use parts::wire::Wire;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let wire = Wire {
        resistance: part.number("resistance"),
        inductance: part.number("inductance"),
        length: part.number("length"),
        gauge: part.number("gauge"),
        area: part.number("area"),
        diameter: part.number("diameter"),
        strands: part.number("strands"),
        temperature: part.number("temperature"),
        spacing: part.number("spacing"),
        return_included: part.word("return") == Some("included"),
    };
    let equivalent = wire.equivalent()?;
    let links = vec![
        Link::resistance("resistance", equivalent.resistance),
        Link::inductance("inductance", equivalent.inductance),
    ];
    let (left, right) = builder.ends(part);
    let placed = builder.chain(part, left, right, links);
    builder.assume(part, equivalent.assumptions);
    if equivalent.without_spacing {
        builder.warn(part, "wire_without_spacing", WITHOUT_SPACING);
    }
    let entered = builder.enter_chain(part, &placed);
    (entered.mass, entered.facts) = (equivalent.mass, equivalent.facts);
    Ok(())
}

const WITHOUT_SPACING: &str = "no `spacing` is given, so the inductance is that of a straight wire far from its return, \
     usually two or three times too much; give the distance between this wire and its return";
