//! Motors behind half bridges: for each an upper and a lower switch that the PWM moves, and a winding with its back EMF.

use super::builder::{Builder, Link, Placed};
use super::required;
use crate::lowered::Sum;
use crate::primitive::{Element, NodeIndex, Term};
use crate::waveform::{Drive, DriveSettings, Waveform};
use language::description::{Part, Start};
use parts::Mistake;
use parts::charge_law::ChargeLaw;
use parts::flux_law::FluxLaw;
use parts::half_bridge::{Equivalent, HalfBridge};

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let bridge = HalfBridge {
        pwm: required(part, "pwm")?,
        duty: required(part, "duty")?,
        resistance: required(part, "resistance")?,
        inductance: required(part, "inductance")?,
        back_emf: part.number("back_emf"),
        on_resistance: part.number("on_resistance"),
        open_resistance: part.number("open_resistance"),
        link_capacitance: part.number("link_capacitance"),
        link_esr: part.number("link_esr"),
        motors: part.number("motors"),
    };
    let equivalent = bridge.equivalent()?;
    let (left, right) = builder.ends(part);
    let mut current = Sum::new();
    for motor in 0..equivalent.motors {
        current.extend(place_motor(part, &bridge, &equivalent, motor, builder));
    }
    if equivalent.link_capacitance > 0.0 {
        let law = ChargeLaw::Linear { capacitance: equivalent.link_capacitance };
        let links = vec![
            Link::resistance("link_esr", equivalent.link_esr),
            Link::new("link", vec![Element::Capacitor(law)]),
        ];
        let placed = builder.chain(part, left, right, links);
        current.extend(placed.first().map_or_else(Sum::new, Placed::current));
    }
    builder.assume(part, equivalent.assumptions);
    builder.remark(part, equivalent.remarks);
    let lowered = builder.enter(part, current);
    lowered.facts = equivalent.facts;
    lowered.limits.pwm = (bridge.duty > 0.0 && bridge.duty < 1.0).then_some(bridge.pwm);
    Ok(())
}

/// One motor and its bridge; gives what the upper switch draws.
fn place_motor(
    part: &Part,
    bridge: &HalfBridge,
    equivalent: &Equivalent,
    motor: u32,
    builder: &mut Builder,
) -> Sum {
    let (left, right) = builder.ends(part);
    let node =
        |builder: &mut Builder, place: &str| builder.node(&format!("{}.{place}{}", part.name, motor + 1));
    let middle = node(builder, "bridge");
    let (upper, lower) = controls(part, bridge, motor, builder.start);
    let switch = |control: Waveform, from: NodeIndex, to: NodeIndex, builder: &mut Builder| {
        builder.add_periods(&control);
        let (closed, open) = (1.0 / equivalent.on_resistance, 1.0 / equivalent.open_resistance);
        builder.branch(part, from, to, Element::Switch { closed, open, control })
    };
    let upper = switch(upper, left, middle, builder);
    switch(lower, middle, right, builder);
    let coil = node(builder, "winding");
    builder.branch(part, middle, coil, Element::Resistor(bridge.resistance));
    let law = FluxLaw::Linear { inductance: bridge.inductance };
    let turns = equivalent.back_emf > 0.0;
    let end = if turns { node(builder, "back_emf") } else { right };
    builder.branch(part, coil, end, Element::Inductor(law));
    if turns {
        let emf = Waveform::Constant(equivalent.back_emf);
        builder.branch(part, end, right, Element::VoltageSource(emf));
    }
    vec![(1.0, Term::BranchCurrent(upper))]
}

/// When the upper and when the lower switch of a motor are on: 1, else 0. Until its first pulse both are off.
fn controls(part: &Part, bridge: &HalfBridge, motor: u32, start: Start) -> (Waveform, Waveform) {
    let stagger = part.number("stagger").unwrap_or(0.0) * f64::from(motor);
    let phase = (part.number("phase").unwrap_or(0.0) + stagger).rem_euclid(1.0);
    let control = |phase: f64, duty: f64, starts: Option<f64>| {
        let (motors, current, pwm) = (1, 1.0, bridge.pwm);
        let settings =
            DriveSettings { motors, current, pwm, duty, phase, starts, ..DriveSettings::default() };
        Waveform::Drive(Box::new(Drive::new(&settings)))
    };
    let starts = (start != Start::Steady).then(|| part.number("starts").unwrap_or(0.0));
    // The lower switch follows where the first pulse of the upper one ends.
    let first = starts.map(|starts| {
        let number = (starts * bridge.pwm - phase - 1e-9).ceil();
        (number + phase + bridge.duty) / bridge.pwm
    });
    (control(phase, bridge.duty, starts), control(phase + bridge.duty, 1.0 - bridge.duty, first))
}
