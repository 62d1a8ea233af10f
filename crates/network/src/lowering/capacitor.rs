//! A capacitor: esl, esr and (charge ‖ leakage) in series.

use super::builder::{Builder, Link, Placed};
use crate::primitive::Element;
use language::description::{Part, Value};
use parts::Mistake;
use parts::capacitor::dielectric::Dielectric;
use parts::capacitor::material::Material;
use parts::capacitor::{Capacitor, LossModel};

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let capacitor = read(part);
    let equivalent = capacitor.equivalent()?;
    let leakage = equivalent.leakage.map(Element::Resistor);
    let charge = std::iter::once(Element::Capacitor(equivalent.law)).chain(leakage).collect();
    let links = vec![
        Link::inductance("esl", equivalent.esl),
        Link::resistance("esr", equivalent.esr),
        Link::new("charge", charge),
    ];
    let (left, right) = builder.ends(part);
    let placed = builder.chain(part, left, right, links);
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    let charge_voltage = placed.last().map(Placed::voltage);
    let lowered = builder.enter_chain(part, &placed);
    lowered.charge_voltage = charge_voltage;
    lowered.facts = equivalent.facts;
    lowered.limits.rated_voltage = capacitor.rated;
    lowered.limits.surge_voltage = equivalent.surge;
    lowered.limits.polarised = equivalent.polarised;
    lowered.limits.ripple_rating = capacitor.ripple_rating;
    lowered.limits.esr = equivalent.esr;
    lowered.limits.life = equivalent.life;
    lowered.limits.last_of_table = capacitor.table.last().map(|(voltage, _)| *voltage);
    Ok(())
}

/// What the file says of it.
fn read(part: &Part) -> Capacitor {
    let table = match part.properties.get("capacitance_table") {
        Some(Value::Points(points)) => {
            points.iter().map(|(voltage, capacitance)| (voltage.value, capacitance.value)).collect()
        }
        _ => Vec::new(),
    };
    Capacitor {
        capacitance: part.number("capacitance"),
        material: part.word("type").and_then(Material::from_word),
        esr: part.number("esr"),
        loss_factor: part.number("loss_factor"),
        loss_frequency: part.number("loss_frequency"),
        loss_model: match part.word("loss_model") {
            Some("parallel") => LossModel::Parallel,
            _ => LossModel::Series,
        },
        esl: part.number("esl"),
        leakage: part.number("leakage"),
        rated: part.number("rated"),
        surge: part.number("surge"),
        ripple_rating: part.number("ripple_rating"),
        core_rise: part.number("core_rise"),
        temperature: part.number("temperature"),
        age: part.number("age"),
        life: part.number("life"),
        life_temperature: part.number("life_temperature"),
        half_voltage: part.number("half_voltage"),
        floor: part.number("floor"),
        table,
        dielectric: part.word("dielectric").and_then(Dielectric::from_code),
    }
}
