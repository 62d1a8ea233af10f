//! A switch: one branch that time moves.

use super::builder::Builder;
use crate::primitive::{Element, Term};
use crate::waveform::{Points, Waveform};
use language::description::Part;
use parts::Mistake;
use parts::switch::Switch;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let switch = Switch {
        closed_resistance: part.number("closed_resistance"),
        open_resistance: part.number("open_resistance"),
        closes: part.number("closes"),
        opens: part.number("opens"),
    };
    let equivalent = switch.equivalent()?;
    if !equivalent.moves.is_empty() {
        builder.set_aperiodic(format!("switch `{}` moves", part.name));
    }
    let element = Element::Switch {
        closed: 1.0 / equivalent.closed_resistance,
        open: 1.0 / equivalent.open_resistance,
        control: control(equivalent.begins_closed, &equivalent.moves),
    };
    builder.assume(part, equivalent.assumptions);
    let (left, right) = builder.ends(part);
    let branch = builder.branch(part, left, right, element);
    builder.enter(part, vec![(1.0, Term::BranchCurrent(branch))]);
    Ok(())
}

/// 1 while closed, 0 while open; it moves at the times in seconds, rising.
pub(super) fn control(begins_closed: bool, moves: &[f64]) -> Waveform {
    let position = |closed: bool| f64::from(u8::from(closed));
    if moves.is_empty() {
        return Waveform::Constant(position(begins_closed));
    }
    let mut closed = begins_closed;
    let mut points = Vec::new();
    for &time in moves {
        points.push((time, position(closed)));
        closed = !closed;
        points.push((time, position(closed)));
    }
    Waveform::Points(Points::new(points))
}
