//! A regulator: a resistance behind its pass element's law, and what it draws.
//!
//! A linear one passes its output current: the resistance lies from input to output, and the law of the pass element flows against it.
//! The output of a switching one is fed from `gnd`, by a copy of the input's voltage less that law, and its input draws a power.

use super::builder::{Builder, Link, Placed};
use super::loop_filter::low_pass;
use super::{load, required};
use crate::lowered::{Sum, voltage_between};
use crate::primitive::{CurrentLaw, Element, GND, NodeIndex, Term};
use language::description::Part;
use parts::Mistake;
use parts::charge_law::ChargeLaw;
use parts::regulator::{Equivalent, Regulator};

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let regulator = Regulator {
        output: required(part, "output")?,
        dropout: part.number("dropout"),
        rejection: part.number("rejection"),
        resistance: part.number("resistance"),
        quiescent: part.number("quiescent"),
        rejection_corner: part.number("rejection_corner"),
        efficiency: part.number("efficiency"),
        load_current: part.number("load_current"),
        lockout: part.number("lockout"),
        input: load::input(part),
    };
    let mut equivalent = regulator.equivalent()?;
    let (input, output) = builder.ends(part);
    let seen = match equivalent.loop_time {
        Some(time_constant) => low_pass(part, input, GND, time_constant, builder),
        None => input,
    };
    builder.assume(part, std::mem::take(&mut equivalent.assumptions));
    builder.remark(part, std::mem::take(&mut equivalent.remarks));
    match equivalent.switching {
        Some(law) => place_switching(part, &regulator, &equivalent, law, (input, output, seen), builder),
        None => place_linear(part, &equivalent, (input, output, seen), builder),
    }
    Ok(())
}

type Nodes = (NodeIndex, NodeIndex, NodeIndex);

fn place_linear(part: &Part, equivalent: &Equivalent, (input, output, seen): Nodes, builder: &mut Builder) {
    let resistance = builder.branch(part, input, output, Element::Resistor(equivalent.resistance));
    // Against the resistance: the current from input to output is (v_in - v_out) / R less the law.
    let pass = Element::Controlled { law: equivalent.pass, plus: seen, minus: GND };
    let pass = builder.branch(part, output, input, pass);
    let own = own_current(part, equivalent, input, builder);
    let current = vec![(1.0, Term::BranchCurrent(resistance)), (-1.0, Term::BranchCurrent(pass))];
    let lowered = builder.enter(part, current);
    // What it draws for itself flows from the input to gnd and not through to the output.
    lowered.also = own.into_iter().map(|own| [voltage_between(input, GND), own]).collect();
}

fn place_switching(
    part: &Part,
    regulator: &Regulator,
    equivalent: &Equivalent,
    law: CurrentLaw,
    (input, output, seen): Nodes,
    builder: &mut Builder,
) {
    let draw = builder.branch(part, input, GND, Element::Load(law));
    let mut current = vec![(1.0, Term::BranchCurrent(draw))];
    current.extend(own_current(part, equivalent, input, builder).into_iter().flatten());
    if let Some(capacitance) = regulator.input.capacitance.filter(|&capacitance| capacitance > 0.0) {
        let links = vec![
            Link::resistance("input_esr", regulator.input.esr.unwrap_or(0.0)),
            Link::new("input", vec![Element::Capacitor(ChargeLaw::Linear { capacitance })]),
        ];
        let placed = builder.chain(part, input, GND, links);
        current.extend(placed.first().map_or_else(Sum::new, Placed::current));
    }
    // The output: f(v_in) behind the resistance R, as a current (v_in - (v_in - f)) / R beside it.
    builder.branch(part, output, GND, Element::Resistor(equivalent.resistance));
    let copy = CurrentLaw::Conductance(1.0 / equivalent.resistance);
    builder.branch(part, GND, output, Element::Controlled { law: copy, plus: input, minus: GND });
    let pass = Element::Controlled { law: equivalent.pass, plus: seen, minus: GND };
    builder.branch(part, output, GND, pass);
    let lowered = builder.enter(part, current);
    lowered.right = GND;
    lowered.voltage = voltage_between(input, GND);
    lowered.facts.clone_from(&equivalent.facts);
    lowered.limits.bare_constant_load = regulator.input.capacitance.unwrap_or(0.0) == 0.0;
}

/// What it draws for itself.
fn own_current(part: &Part, equivalent: &Equivalent, input: NodeIndex, builder: &mut Builder) -> Option<Sum> {
    let branch = builder.branch(part, input, GND, Element::Load(equivalent.quiescent?));
    Some(vec![(1.0, Term::BranchCurrent(branch))])
}
