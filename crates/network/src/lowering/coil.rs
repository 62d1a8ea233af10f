//! A coil: (inductance ‖ winding capacitance ‖ loss resistance) in series with its copper.

use super::builder::{Builder, Link};
use crate::lowered::Magnetised;
use crate::primitive::Element;
use language::description::Part;
use parts::Mistake;
use parts::charge_law::ChargeLaw;
use parts::coil::{Coil, Equivalent};
use parts::ring::Ring;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let equivalent = coil(part, builder)?.equivalent()?;
    place(part, equivalent, builder);
    Ok(())
}

/// Puts a coil into the network, or what is built like one.
pub(super) fn place(part: &Part, equivalent: Equivalent, builder: &mut Builder) {
    let links = vec![Link::new("winding", winding(&equivalent)), Link::resistance("dcr", equivalent.dcr)];
    let (left, right) = builder.ends(part);
    let placed = builder.chain(part, left, right, links);
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    let inductor = placed.first().and_then(|link| link.branches.first().copied());
    builder.enter_chain(part, &placed).inductor =
        inductor.map(|branch| Magnetised::alone(branch, equivalent.law));
}

/// The inductor first, then what lies across it.
fn winding(equivalent: &Equivalent) -> Vec<Element> {
    let mut elements = vec![Element::Inductor(equivalent.law.clone())];
    if equivalent.winding_capacitance > 0.0 {
        let capacitance = equivalent.winding_capacitance;
        elements.push(Element::Capacitor(ChargeLaw::Linear { capacitance }));
    }
    elements.extend(equivalent.loss_resistance.map(Element::Resistor));
    elements
}

/// The electrical values: stated ones stand before those that follow from ring and winding.
fn coil(part: &Part, builder: &mut Builder) -> Result<Coil, Vec<Mistake>> {
    let ring = Ring {
        outer: part.number("outer"),
        inner: part.number("inner"),
        height: part.number("height"),
        al: part.number("al"),
        permeability: part.number("permeability"),
        turns: part.number("turns"),
        wire_diameter: part.number("wire_diameter"),
        flux_density_limit: part.number("flux_density_limit"),
    };
    let wound = ring.equivalent()?;
    builder.remark(part, wound.remarks);
    builder.assume(part, wound.assumptions);
    let Some(inductance) = part.number("inductance").or(wound.inductance) else {
        return Err(vec![Mistake::new(
            "inductance",
            "nothing says what inductance this coil has",
            "give `inductance`, or `al` and `turns`, or the ring with its `permeability` and `turns`",
        )]);
    };
    Ok(Coil {
        inductance,
        residual: part.number("residual"),
        saturation_current: part.number("saturation_current"),
        drop: part.number("drop"),
        saturation_flux: part.number("saturation_flux").or(wound.saturation_flux),
        winding_capacitance: part.number("winding_capacitance"),
        loss_resistance: part.number("loss_resistance"),
        dcr: part.number("dcr").or(wound.dcr),
    })
}
