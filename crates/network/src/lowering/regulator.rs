//! A linear regulator: a resistance from input to output, the pass element's share against it, and its own current.

use super::builder::Builder;
use super::required;
use crate::primitive::{Element, GND, Term};
use language::description::Part;
use parts::Mistake;
use parts::regulator::Regulator;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let regulator = Regulator {
        output: required(part, "output")?,
        dropout: part.number("dropout"),
        rejection: part.number("rejection"),
        resistance: part.number("resistance"),
        quiescent: part.number("quiescent"),
    };
    let equivalent = regulator.equivalent()?;
    let (input, output) = builder.ends(part);
    let resistance = builder.branch(part, input, output, Element::Resistor(equivalent.resistance));
    // Against the resistance: the current from input to output is (v_in - v_out) / R less the law.
    let pass = Element::Controlled { law: equivalent.pass, plus: input, minus: GND };
    let pass = builder.branch(part, output, input, pass);
    if let Some(law) = equivalent.quiescent {
        builder.branch(part, input, GND, Element::Load(law));
    }
    builder.assume(part, equivalent.assumptions);
    builder.enter(part, vec![(1.0, Term::BranchCurrent(resistance)), (-1.0, Term::BranchCurrent(pass))]);
    Ok(())
}
