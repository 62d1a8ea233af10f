//! What a run does to a battery: cells below their cut-off or above their charge limit, and more current than it is rated for.

use super::show;
use crate::meter::Meter;
use language::description::Start;
use network::lowered::{Lowered, LoweredPart, Warning};
use quantity::Dimension;

/// Judges the voltage of its cells. What the inductance of the leads takes is not in it.
pub(super) fn of_voltage(part: &LoweredPart, start: Start, meter: &Meter) -> Vec<Warning> {
    let Some(pack) = part.limits.pack else { return Vec::new() };
    let cell = |voltage: f64| voltage / pack.cells;
    let volts = |value: f64| show(value, Dimension::VOLTAGE);
    let charge = pack
        .charge
        .map_or_else(String::new, |charge| format!(" at {} charge", show(charge, Dimension::NONE)));
    let mut warnings = Vec::new();
    // What is plugged in from rest fills capacitors first; that lasts less than a cell notices.
    let cutoff = pack.cutoff_voltage.filter(|&cutoff| cell(meter.least) < cutoff && start != Start::Rest);
    if let Some(cutoff) = cutoff {
        warnings.push(Warning {
            code: "cell_below_cutoff",
            about: part.name.clone(),
            weight: cutoff - cell(meter.least),
            text: format!(
                "{}: its cells fall to {}{charge}, below their cut-off of {}; that ages them, and a protection circuit switches off; land with a fuller pack, draw less, or take cells of less resistance",
                part.name,
                volts(cell(meter.least)),
                volts(cutoff),
            ),
        });
    }
    // A billionth for the rounding of a full pack that nothing loads.
    let limit = pack.charge_limit.filter(|limit| cell(meter.greatest) > limit * (1.0 + 1e-9));
    if let Some(limit) = limit {
        warnings.push(Warning {
            code: "cell_above_charge_limit",
            about: part.name.clone(),
            weight: cell(meter.greatest) - limit,
            text: format!(
                "{}: its cells rise to {}{charge}, above their charge limit of {}: something charges the pack; brake less with a full pack, or give the current another way",
                part.name,
                volts(cell(meter.greatest)),
                volts(limit),
            ),
        });
    }
    warnings
}

/// Judges the current that it delivers.
pub(super) fn of_current(part: &LoweredPart, meter: &Meter) -> Option<Warning> {
    let limit = part.limits.pack?.current?;
    (meter.rms() > limit).then(|| Warning {
        code: "battery_over_current",
        about: part.name.clone(),
        weight: meter.rms() / limit,
        text: format!(
            "{}: {} rms are drawn, and capacity and discharge_rating allow {}; it heats and ages; draw less, or take a larger pack or one of a higher rating",
            part.name,
            show(meter.rms(), Dimension::CURRENT),
            show(limit, Dimension::CURRENT),
        ),
    })
}

/// At which charge the batteries are, where that is known: `, with pack at 15 % charge`.
pub(super) fn charges(lowered: &Lowered) -> String {
    let known = lowered.parts.iter().filter_map(|part| {
        let charge = part.limits.pack?.charge?;
        Some(format!("{} at {} charge", part.name, show(charge, Dimension::NONE)))
    });
    // More than a few are no help.
    let known: Vec<String> = known.take(3).collect();
    if known.is_empty() { String::new() } else { format!(", with {}", known.join(" and ")) }
}
