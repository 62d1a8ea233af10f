//! Loads and cameras: a law, an input capacitor and an input resistance, all between the same two nodes.

use super::builder::{Builder, Link, Placed};
use super::loop_filter::low_pass;
use super::required;
use crate::lowered::voltage_between;
use crate::primitive::{Element, Term};
use language::description::{Part, Value};
use parts::Mistake;
use parts::camera::Camera;
use parts::charge_law::ChargeLaw;
use parts::load::{Draw, Equivalent, Input, Load};
use parts::video::Video;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let load = Load {
        resistance: part.number("resistance"),
        current: part.number("current"),
        power: part.number("power"),
        below: part.number("below"),
        input: input(part),
    };
    place(part, load.equivalent()?, builder);
    Ok(())
}

pub(super) fn lower_camera(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let camera = Camera {
        current: required(part, "current")?,
        supply: part.range("supply"),
        below: part.number("below"),
        rejection: part.number("rejection"),
        rejection_corner: part.number("rejection_corner"),
        input: input(part),
    };
    let equivalent = camera.equivalent()?;
    let rejection = camera.rejection();
    let (left, right) = builder.ends(part);
    let supply = voltage_between(left, right);
    let picture = match rejection.time_constant() {
        Some(time_constant) => {
            let slow = low_pass(part, left, right, time_constant, builder);
            let held = (rejection.ripple_ratio - 1.0, Term::NodeVoltage(slow));
            supply.into_iter().chain([held]).collect()
        }
        None => supply.into_iter().map(|(weight, term)| (weight * rejection.ripple_ratio, term)).collect(),
    };
    builder.remark(part, camera.remarks());
    let lowered = place(part, equivalent, builder);
    lowered.limits.supply_range = camera.supply;
    lowered.picture = Some(picture);
    lowered.facts = video(part).map_or_else(Vec::new, Video::facts);
    Ok(())
}

/// The system of video that a part states.
pub(super) fn video(part: &Part) -> Option<Video> {
    match part.properties.get("video")? {
        Value::Word(word) if word == "pal" => Some(Video::Pal),
        Value::Word(word) if word == "ntsc" => Some(Video::Ntsc),
        _ => None,
    }
}

pub(super) fn input(part: &Part) -> Input {
    Input {
        capacitance: part.number("input_capacitance"),
        esr: part.number("input_esr"),
        resistance: part.number("input_resistance"),
    }
}

/// Puts what a load is made of into the network.
pub(super) fn place<'a>(
    part: &Part,
    equivalent: Equivalent,
    builder: &'a mut Builder,
) -> &'a mut crate::lowered::LoweredPart {
    let (left, right) = builder.ends(part);
    let is_bare = equivalent.is_bare();
    let draw = match equivalent.draw {
        Draw::Resistance(resistance) => Element::Resistor(resistance),
        Draw::Law(law) => Element::Load(law),
    };
    let mut current = vec![(1.0, Term::BranchCurrent(builder.branch(part, left, right, draw)))];
    if equivalent.input_capacitance > 0.0 {
        let law = ChargeLaw::Linear { capacitance: equivalent.input_capacitance };
        let links = vec![
            Link::resistance("input_esr", equivalent.input_esr),
            Link::new("input", vec![Element::Capacitor(law)]),
        ];
        let placed = builder.chain(part, left, right, links);
        current.extend(placed.first().map_or_else(Vec::new, Placed::current));
    }
    if let Some(resistance) = equivalent.input_resistance {
        let branch = builder.branch(part, left, right, Element::Resistor(resistance));
        current.push((1.0, Term::BranchCurrent(branch)));
    }
    builder.assume(part, equivalent.assumptions);
    let lowered = builder.enter(part, current);
    lowered.limits.bare_constant_load = is_bare;
    lowered
}
