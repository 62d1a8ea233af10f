//! A diode: its law, and its resistance in series.

use super::builder::{Builder, Link};
use crate::primitive::Element;
use language::description::Part;
use parts::Mistake;
use parts::diode::Diode;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let diode = Diode {
        saturation: part.number("saturation"),
        ideality: part.number("ideality"),
        resistance: part.number("resistance"),
        breakdown: part.number("breakdown"),
        temperature: part.number("temperature"),
        drop: part.number("drop"),
    };
    let equivalent = diode.equivalent()?;
    let links = vec![
        Link::new("junction", vec![Element::Load(equivalent.law)]),
        Link::resistance("resistance", equivalent.resistance),
    ];
    let (left, right) = builder.ends(part);
    let placed = builder.chain(part, left, right, links);
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    builder.enter_chain(part, &placed);
    Ok(())
}
