//! A coil: (inductance ‖ winding capacitance ‖ loss resistance) in series with its copper.

use super::builder::{Builder, Link};
use crate::lowered::{LoweredPart, Magnetised};
use crate::primitive::Element;
use language::description::{Part, Value};
use parts::Mistake;
use parts::charge_law::ChargeLaw;
use parts::coil::{Coil, Equivalent};
use parts::core_material::CoreMaterial;
use parts::flux_table::FluxTable;
use parts::ring::{self, Ring};
use parts::saturation_curve::SaturationCurve;
use std::sync::Arc;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let (coil, wound) = coil(part, builder)?;
    let equivalent = coil.equivalent()?;
    let entered = place(part, equivalent, builder);
    if let Some(inductor) = &mut entered.inductor {
        inductor.linked_area = wound.linked_area;
    }
    entered.mass = part.number("mass").or(wound.mass);
    // What the coil comes to is told after what its making comes to.
    entered.facts.splice(0..0, wound.facts);
    Ok(())
}

/// Puts a coil into the network, or what is built like one.
pub(super) fn place<'b>(
    part: &Part,
    equivalent: Equivalent,
    builder: &'b mut Builder,
) -> &'b mut LoweredPart {
    let links = vec![Link::new("winding", winding(&equivalent)), Link::resistance("dcr", equivalent.dcr)];
    let (left, right) = builder.ends(part);
    let placed = builder.chain(part, left, right, links);
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    let inductor = placed.first().and_then(|link| link.branches.first().copied());
    let entered = builder.enter_chain(part, &placed);
    entered.inductor = inductor.map(|branch| Magnetised::alone(branch, equivalent.law));
    entered.facts = equivalent.facts;
    entered
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
fn coil(part: &Part, builder: &mut Builder) -> Result<(Coil, ring::Equivalent), Vec<Mistake>> {
    let table = table(part).map_err(|mistake| vec![mistake])?;
    let mut wound = ring(part, table.is_some()).equivalent()?;
    builder.remark(part, std::mem::take(&mut wound.remarks));
    builder.assume(part, std::mem::take(&mut wound.assumptions));
    let of_table = table.as_ref().map(|table| table.inductance(0.0));
    let Some(inductance) = part.number("inductance").or(wound.inductance).or(of_table) else {
        return Err(vec![Mistake::new(
            "inductance",
            "nothing says what inductance this coil has",
            "give `inductance`, or `al` and `turns`, or the ring with its `permeability` and `turns`",
        )]);
    };
    let asked = part.word("estimate") == Some("winding_capacitance");
    let coil = Coil {
        inductance,
        table,
        curve: part.word("saturation_curve").and_then(SaturationCurve::by_word).or(wound.curve),
        // Only a powder keeps more without its core than is assumed of any coil.
        air_share: wound.air_share.filter(|_| part.word("material") == Some("powder")),
        residual: part.number("residual"),
        saturation_current: part.number("saturation_current"),
        drop: part.number("drop"),
        saturation_flux: part.number("saturation_flux").or(wound.saturation_flux),
        winding_capacitance: part
            .number("winding_capacitance")
            .or(wound.winding_capacitance.filter(|_| asked)),
        estimated_capacitance: wound.winding_capacitance,
        loss_resistance: part.number("loss_resistance").or(wound.loss_resistance),
        dcr: part.number("dcr").or(wound.dcr),
    };
    Ok((coil, wound))
}

/// What is said of core and winding.
fn ring(part: &Part, by_table: bool) -> Ring {
    let saturation = ["saturation_current", "saturation_flux"];
    Ring {
        outer: part.number("outer"),
        inner: part.number("inner"),
        height: part.number("height"),
        gap: part.number("gap"),
        al: part.number("al"),
        test_turns: part.number("test_turns"),
        test_inductance: part.number("test_inductance"),
        permeability: part.number("permeability"),
        inductance: part.number("inductance"),
        turns: part.number("turns"),
        wire_diameter: part.number("wire_diameter"),
        flux_density_limit: part.number("flux_density_limit"),
        material: part.word("material").and_then(CoreMaterial::by_word),
        temperature: part.number("temperature"),
        loss_frequency: part.number("loss_frequency"),
        loss_flux_density: part.number("loss_flux_density"),
        saturation_stated: by_table || saturation.iter().any(|name| part.number(name).is_some()),
    }
}

/// The law by measured points, where they are given.
fn table(part: &Part) -> Result<Option<Arc<FluxTable>>, Mistake> {
    let points = |property: &str| match part.properties.get(property) {
        Some(Value::Points(points)) => {
            Some(points.iter().map(|(current, value)| (current.value, value.value)).collect::<Vec<_>>())
        }
        _ => None,
    };
    let by_flux = points("flux_table").map(|points| FluxTable::of_flux("flux_table", &points));
    let by_inductance =
        points("inductance_table").map(|points| FluxTable::of_inductance("inductance_table", &points));
    Ok(by_flux.or(by_inductance).transpose()?.map(Arc::new))
}
