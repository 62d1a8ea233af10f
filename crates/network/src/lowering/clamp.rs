//! A clamp: a branch each way, and its capacitance.

use super::builder::Builder;
use super::required;
use crate::primitive::{Element, Term};
use language::description::Part;
use parts::Mistake;
use parts::charge_law::ChargeLaw;
use parts::clamp::Clamp;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let clamp = Clamp {
        standoff: required(part, "standoff")?,
        clamping: required(part, "clamping")?,
        peak_current: required(part, "peak_current")?,
        breakdown: part.number("breakdown"),
        capacitance: part.number("capacitance"),
        bidirectional: part.word("polarity") == Some("bidirectional"),
    };
    let equivalent = clamp.equivalent()?;
    let (left, right) = builder.ends(part);
    let mut current = vec![
        (1.0, Term::BranchCurrent(builder.branch(part, left, right, Element::Load(equivalent.law)))),
        (-1.0, Term::BranchCurrent(builder.branch(part, right, left, Element::Load(equivalent.reverse)))),
    ];
    if equivalent.capacitance > 0.0 {
        let law = ChargeLaw::Linear { capacitance: equivalent.capacitance };
        current.push((1.0, Term::BranchCurrent(builder.branch(part, left, right, Element::Capacitor(law)))));
    }
    builder.assume(part, equivalent.assumptions);
    let entered = builder.enter(part, current);
    entered.facts = equivalent.facts;
    entered.limits.clamped = Some((clamp.standoff, clamp.peak_current));
    Ok(())
}
