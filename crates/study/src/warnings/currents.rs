//! Warnings of currents in a run: wires, fuses, connectors and clamps that carry more than they should.

use super::show;
use crate::meter::Meter;
use language::Kind;
use language::description::Start;
use network::lowered::{LoweredPart, Warning};
use quantity::Dimension;

/// Mean current in ampere above which a clamp is in the way and not only there for pulses: a thousand times what data sheets
/// state at the standoff voltage, judgement.
const CLAMP_AT_REST: f64 = 10e-3;
/// Circular mils an ampere of both rules of thumb: 500 at most, 750 for good.
const FOR_GOOD: f64 = 500.0 / 750.0;

fn amperes(value: f64) -> String {
    show(value, Dimension::CURRENT)
}

/// Whether the current of a part has a limit that is watched.
pub(super) fn is_limited(part: &LoweredPart) -> bool {
    let limits = &part.limits;
    limits.most_current.is_some() || limits.rated_current.is_some() || limits.clamped.is_some()
}

/// What is said of a part's current.
pub(super) fn of_current(part: &LoweredPart, start: Start, meter: &Meter) -> Vec<Warning> {
    let mut warnings = Vec::new();
    warnings.extend(part.limits.most_current.and_then(|most| hot_wire(part, most, meter)));
    warnings.extend(part.limits.rated_current.and_then(|rated| over_rating(part, rated, meter)));
    if let Some((standoff, peak)) = part.limits.clamped {
        warnings.extend(over_peak(part, peak, meter));
        if start != Start::Rest {
            warnings.extend(conducts(part, standoff, meter));
        }
    }
    warnings
}

fn hot_wire(part: &LoweredPart, most: f64, meter: &Meter) -> Option<Warning> {
    let rms = meter.rms();
    let resistance = part.facts.iter().find(|fact| fact.name == "resistance").map_or(0.0, |fact| fact.value);
    (rms > most).then(|| Warning {
        code: "wire_over_current",
        about: part.name.clone(),
        weight: rms / most,
        text: format!(
            "{}: {} rms, where the rule of thumb for its size is {} for good and {} at most (750 and 500 circular mils an ampere, meant for bundles; a single short wire in free air bears more); {} turn into heat in it; take a larger size",
            part.name,
            amperes(rms),
            amperes(FOR_GOOD * most),
            amperes(most),
            show(rms * rms * resistance, Dimension::POWER),
        ),
    })
}

fn over_rating(part: &LoweredPart, rated: f64, meter: &Meter) -> Option<Warning> {
    let rms = meter.rms();
    let (about, weight) = (part.name.clone(), rms / rated);
    let much = format!("{}: {} rms, rated {}", part.name, amperes(rms), amperes(rated));
    let warning = if part.kind == Kind::Fuse {
        Warning {
            code: "fuse_over_rating",
            about,
            weight,
            text: format!(
                "{much}; it will blow sooner or later, which the run doesn't show; take a larger one, and wires to go with it"
            ),
        }
    } else {
        Warning {
            code: "connector_over_rating",
            about,
            weight,
            text: format!(
                "{much}; its contacts heat up and loosen; take a larger one, or share the current among several contacts"
            ),
        }
    };
    (rms > rated).then_some(warning)
}

fn over_peak(part: &LoweredPart, limit: f64, meter: &Meter) -> Option<Warning> {
    let peak = meter.peak();
    (peak > limit).then(|| Warning {
        code: "clamp_over_current",
        about: part.name.clone(),
        weight: peak / limit,
        text: format!(
            "{}: {} at its peak, it bears {}; it fails, most often to a short; take one for a larger peak current, or damp what drives the voltage up",
            part.name,
            amperes(peak),
            amperes(limit),
        ),
    })
}

fn conducts(part: &LoweredPart, standoff: f64, meter: &Meter) -> Option<Warning> {
    let mean = meter.mean().abs();
    (mean > CLAMP_AT_REST).then(|| Warning {
        code: "clamp_conducts",
        about: part.name.clone(),
        weight: mean,
        text: format!(
            "{}: {} flow through it on average, so it heats up; it is meant for short pulses above a rail that stays below its standoff voltage of {}; take a higher standoff voltage, or look whether it is the right way round",
            part.name,
            amperes(mean),
            show(standoff, Dimension::VOLTAGE),
        ),
    })
}
