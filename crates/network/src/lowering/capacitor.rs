//! A capacitor: esl, esr and (charge ‖ leakage) in series.

use super::builder::{Builder, Link, Placed};
use super::required;
use crate::primitive::Element;
use language::description::Part;
use parts::Mistake;
use parts::capacitor::Capacitor;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let capacitor = Capacitor {
        capacitance: required(part, "capacitance")?,
        esr: part.number("esr"),
        esl: part.number("esl"),
        leakage: part.number("leakage"),
        rated: part.number("rated"),
        ripple_rating: part.number("ripple_rating"),
        half_voltage: part.number("half_voltage"),
        floor: part.number("floor"),
    };
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
    let charge_voltage = placed.last().map(Placed::voltage);
    let lowered = builder.enter_chain(part, &placed);
    lowered.charge_voltage = charge_voltage;
    lowered.limits.rated_voltage = capacitor.rated;
    lowered.limits.ripple_rating = capacitor.ripple_rating;
    Ok(())
}
