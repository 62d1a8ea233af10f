//! A connector: contacts that time may move, a resistor that touches before them, an inductance in series.

use super::builder::{Builder, Link};
use super::switch::control;
use crate::primitive::Element;
use language::description::Part;
use parts::Mistake;
use parts::connector::{Connector, Equivalent};

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let connector = Connector {
        contact_resistance: part.number("contact_resistance"),
        inductance: part.number("inductance"),
        rated: part.number("rated"),
        closes: part.number("closes"),
        bounces: part.number("bounces"),
        bounce_time: part.number("bounce_time"),
        anti_spark_resistance: part.number("anti_spark_resistance"),
        anti_spark_time: part.number("anti_spark_time"),
    };
    let equivalent = connector.equivalent()?;
    if equivalent.moves.is_some() {
        builder.set_aperiodic(format!("connector `{}` is plugged in", part.name));
    }
    let (left, right) = builder.ends(part);
    let links = vec![
        Link::new("contacts", contacts(&equivalent)),
        Link::inductance("inductance", equivalent.inductance),
    ];
    let placed = builder.chain(part, left, right, links);
    builder.assume(part, equivalent.assumptions);
    builder.enter_chain(part, &placed).limits.rated_current = connector.rated;
    Ok(())
}

/// The contacts, and beside them the resistor with its own contact.
fn contacts(equivalent: &Equivalent) -> Vec<Element> {
    let Some(moves) = &equivalent.moves else {
        return vec![Element::Resistor(equivalent.contact_resistance)];
    };
    let switch = |resistance: f64, moves: &[f64]| Element::Switch {
        closed: 1.0 / resistance,
        open: 1.0 / equivalent.open_resistance,
        control: control(false, moves),
    };
    let first = equivalent.anti_spark.map(|(resistance, time)| switch(resistance, &[time]));
    std::iter::once(switch(equivalent.contact_resistance, moves)).chain(first).collect()
}
