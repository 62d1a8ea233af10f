//! What a control loop of finite bandwidth sees of its supply: a single-pole low-pass that loads nothing.

use super::builder::Builder;
use crate::primitive::{CurrentLaw, Element, GND, NodeIndex};
use language::description::Part;
use parts::charge_law::ChargeLaw;

/// Resistance in ohm on which the copy of the voltage stands; any value serves, as nothing else touches it.
const COPY: f64 = 1.0;

/// Adds a node whose voltage against `gnd` is that of `plus` against `minus` through a low-pass of the time constant in seconds.
pub(super) fn low_pass(
    part: &Part,
    plus: NodeIndex,
    minus: NodeIndex,
    time_constant: f64,
    builder: &mut Builder,
) -> NodeIndex {
    let node = builder.node(&format!("{}.loop", part.name));
    let copy = Element::Controlled { law: CurrentLaw::Conductance(1.0 / COPY), plus, minus };
    builder.branch(part, GND, node, copy);
    builder.branch(part, node, GND, Element::Resistor(COPY));
    let law = ChargeLaw::Linear { capacitance: time_constant / COPY };
    builder.branch(part, node, GND, Element::Capacitor(law));
    node
}
