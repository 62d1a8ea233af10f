//! What a run does to a capacitor: voltage, polarity, ripple, heat and life.

use super::show;
use crate::meter::Meter;
use network::lowered::{LoweredPart, Warning};
use quantity::Dimension;

/// Reverse voltage in volt from which an electrolytic capacitor is harmed: 1 to 1.5 V, common practice, no source.
const HARMFUL_REVERSE: f64 = -1.0;
/// A table's last voltage may be passed by this share before the level curve beyond it is told.
const BEYOND_TABLE: f64 = 1.05;

/// Judges the voltage across its charge.
pub(super) fn of_voltage(part: &LoweredPart, meter: &Meter) -> Vec<Warning> {
    [over_voltage(part, meter), reversed(part, meter), beyond_table(part, meter)]
        .into_iter()
        .flatten()
        .collect()
}

/// Judges the current through it.
pub(super) fn of_current(part: &LoweredPart, meter: &Meter) -> Vec<Warning> {
    [over_ripple(part, meter), too_hot(part, meter)].into_iter().flatten().collect()
}

fn volts(value: f64) -> String {
    show(value, Dimension::VOLTAGE)
}

fn over_voltage(part: &LoweredPart, meter: &Meter) -> Option<Warning> {
    let rated = part.limits.rated_voltage?;
    let surge = part.limits.surge_voltage.filter(|&surge| meter.peak() <= surge);
    let harm = match surge {
        Some(surge) => {
            format!("below its surge voltage of {}, which it withstands for seconds", volts(surge))
        }
        None => "it may vent or burst".to_owned(),
    };
    (meter.peak() > rated).then(|| Warning {
        code: "capacitor_over_voltage",
        about: part.name.clone(),
        weight: meter.peak() / rated,
        text: format!(
            "{}: {} across it, rated {}; {harm}; take a higher rating, or damp what drives it up",
            part.name,
            volts(meter.peak()),
            volts(rated),
        ),
    })
}

fn reversed(part: &LoweredPart, meter: &Meter) -> Option<Warning> {
    let harmed =
        part.limits.polarised && part.limits.rated_voltage.is_some() && meter.least < HARMFUL_REVERSE;
    harmed.then(|| Warning {
        code: "capacitor_reversed",
        about: part.name.clone(),
        weight: -meter.least,
        text: format!(
            "{}: {} across it the wrong way round; more than about 1 V reverse destroys an electrolytic capacitor; swap its nodes, or find what swings the rail below zero",
            part.name,
            volts(-meter.least),
        ),
    })
}

fn beyond_table(part: &LoweredPart, meter: &Meter) -> Option<Warning> {
    let last = part.limits.last_of_table?;
    (meter.peak() > BEYOND_TABLE * last).then(|| Warning {
        code: "capacitance_not_known",
        about: part.name.clone(),
        weight: meter.peak() / last,
        text: format!(
            "{}: {} across it, but its capacitance_table ends at {} and is taken as level beyond, where the real value goes on falling; read more points off the curve",
            part.name,
            volts(meter.peak()),
            volts(last),
        ),
    })
}

fn over_ripple(part: &LoweredPart, meter: &Meter) -> Option<Warning> {
    let rating = part.limits.ripple_rating?;
    (meter.rms_ac() > rating).then(|| Warning {
        code: "capacitor_over_ripple",
        about: part.name.clone(),
        weight: meter.rms_ac() / rating,
        text: format!(
            "{}: {} rms of ripple current, rated {}; it heats ({} in its esr) and ages; share the current among several, or lower the ripple before it",
            part.name,
            show(meter.rms_ac(), Dimension::CURRENT),
            show(rating, Dimension::CURRENT),
            show(parts::capacitor::life::heating(meter.rms_ac(), part.limits.esr), Dimension::POWER),
        ),
    })
}

fn too_hot(part: &LoweredPart, meter: &Meter) -> Option<Warning> {
    let life = part.limits.life;
    let (promised, limit) = life.promised?;
    let core = life.core(meter.rms_ac());
    let left = life.at(core)?;
    let celsius = |kelvin: f64| format!("{:.0} degC", kelvin - 273.15);
    let hours = |seconds: f64| format!("{:.0} h", seconds / 3600.0);
    (core > limit).then(|| Warning {
        code: "capacitor_too_hot",
        about: part.name.clone(),
        weight: core - limit,
        text: format!(
            "{}: its core gets {} with {} rms of ripple current ({} in its esr), above the {} of its data sheet; {} of life are left of {}, half for each 10 kelvin; cool it, share the current among several, or take one with less esr",
            part.name,
            celsius(core),
            show(meter.rms_ac(), Dimension::CURRENT),
            show(parts::capacitor::life::heating(meter.rms_ac(), part.limits.esr), Dimension::POWER),
            celsius(limit),
            hours(left),
            hours(promised),
        ),
    })
}
