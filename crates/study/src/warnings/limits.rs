//! Warnings that need a run: saturated coils, overloaded capacitors, a camera outside its supply range; what else is watched.

use super::returns::{Shared, shared, shared_return};
use super::{battery, capacitor, currents, fed, polarity, show};
use crate::meter::Meter;
use language::Kind;
use language::description::Start;
use network::lowered::{Lowered, LoweredPart, Warning};
use network::primitive::Signal;
use quantity::Dimension;

/// Bandwidth in hertz at which a camera's supply is judged.
const SUPPLY_BANDWIDTH: f64 = 20e6;
/// A coil that keeps less than this share of its inductance is warned of: common practice, no source.
pub(crate) const LEAST_INDUCTANCE_LEFT: f64 = 0.7;
/// Current in ampere from which a bead's bias matters: small beads rated for some hundred milliampere (from memory).
const BIAS_OF_BEADS: f64 = 0.1;

/// Something that is watched for the sake of warnings; the name is the part's.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Watched {
    CoilCurrent(String),
    CapacitorVoltage(String),
    CapacitorCurrent(String),
    SupplyVoltage(String),
    Current(String),
    Return(Shared),
    CellVoltage(String),
    PackCurrent(String),
    UserVoltage(String),
}

impl Watched {
    /// Whether it is judged by a root mean square.
    pub(crate) fn is_squared(&self) -> bool {
        match self {
            Self::CapacitorCurrent(_) | Self::Current(_) | Self::PackCurrent(_) => true,
            Self::CoilCurrent(_)
            | Self::CapacitorVoltage(_)
            | Self::SupplyVoltage(_)
            | Self::Return(_)
            | Self::CellVoltage(_)
            | Self::UserVoltage(_) => false,
        }
    }
}

/// Currents and returns that are watched at most; a ladder of thousands of wires has no more to say than its first ones.
const MOST_WATCHED: usize = 200;

/// What has to be watched in a network: what, its signal, its bandwidth.
pub(crate) fn wanted(lowered: &Lowered) -> Vec<(Watched, Signal, Option<f64>)> {
    let mut wanted = Vec::new();
    let limited = lowered.parts.iter().filter(|part| currents::is_limited(part)).take(MOST_WATCHED);
    wanted.extend(
        limited.map(|part| (Watched::Current(part.name.clone()), Signal::Linear(part.current.clone()), None)),
    );
    for one in shared(lowered).into_iter().take(MOST_WATCHED) {
        if let Some(part) = lowered.part(&one.part) {
            let voltage = Signal::Linear(part.voltage.clone());
            wanted.push((Watched::Return(one), voltage, Some(SUPPLY_BANDWIDTH)));
        }
    }
    for part in polarity::undecided(lowered) {
        let voltage = Signal::Linear(part.voltage.clone());
        wanted.push((Watched::UserVoltage(part.name.clone()), voltage, None));
    }
    for part in &lowered.parts {
        let name = || part.name.clone();
        if let Some(core) = &part.inductor {
            // The current of the inductance itself: what its winding capacitance takes magnetises nothing.
            wanted.push((Watched::CoilCurrent(name()), Signal::Linear(core.current.clone()), None));
        }
        if part.limits.rated_voltage.or(part.limits.last_of_table).is_some() {
            let voltage = part.charge_voltage.clone().unwrap_or_else(|| part.voltage.clone());
            wanted.push((Watched::CapacitorVoltage(name()), Signal::Linear(voltage), None));
        }
        if part.limits.ripple_rating.is_some() || part.limits.life.promised.is_some() {
            wanted.push((Watched::CapacitorCurrent(name()), Signal::Linear(part.current.clone()), None));
        }
        if let Some(pack) = part.limits.pack {
            if pack.cells > 0.0 {
                let voltage = part.charge_voltage.clone().unwrap_or_else(|| part.voltage.clone());
                wanted.push((Watched::CellVoltage(name()), Signal::Linear(voltage), None));
            }
            if pack.current.is_some() {
                wanted.push((Watched::PackCurrent(name()), Signal::Linear(part.current.clone()), None));
            }
        }
        if part.limits.supply_range.is_some() {
            let voltage = Signal::Linear(part.voltage.clone());
            wanted.push((Watched::SupplyVoltage(name()), voltage, Some(SUPPLY_BANDWIDTH)));
        }
    }
    wanted
}

/// Judges what was watched in a run that started so.
pub(crate) fn of_run(lowered: &Lowered, start: Start, facts: &[(Watched, Meter)]) -> Vec<Warning> {
    let mut warnings = Vec::new();
    for (watched, meter) in facts {
        let name = match watched {
            Watched::CoilCurrent(name)
            | Watched::CapacitorVoltage(name)
            | Watched::CapacitorCurrent(name)
            | Watched::SupplyVoltage(name)
            | Watched::CellVoltage(name)
            | Watched::PackCurrent(name)
            | Watched::UserVoltage(name)
            | Watched::Current(name) => name,
            Watched::Return(shared) => &shared.part,
        };
        let Some(part) = lowered.part(name) else { continue };
        match watched {
            Watched::CoilCurrent(_) => warnings.extend(saturated(part, meter)),
            Watched::CapacitorVoltage(_) => warnings.extend(capacitor::of_voltage(part, meter)),
            Watched::CapacitorCurrent(_) => warnings.extend(capacitor::of_current(part, meter)),
            Watched::CellVoltage(_) => warnings.extend(battery::of_voltage(part, start, meter)),
            Watched::PackCurrent(_) => warnings.extend(battery::of_current(part, meter)),
            Watched::UserVoltage(_) => warnings.extend(polarity::of_voltage(lowered, part, meter)),
            Watched::SupplyVoltage(_) => warnings.extend(outside_supply(lowered, part, start, meter)),
            Watched::Current(_) => warnings.extend(currents::of_current(part, start, meter)),
            Watched::Return(shared) => warnings.push(shared_return(shared, Some(meter))),
        }
    }
    warnings
}

fn saturated(part: &LoweredPart, meter: &Meter) -> Option<Warning> {
    let core = part.inductor.as_ref()?;
    if part.kind == Kind::Bead && core.law.is_linear() {
        return bead_without_saturation(part, meter);
    }
    let left = core.inductance_left(meter.peak());
    let density = core.linked_area.map(|area| core.law.flux(meter.peak()) / area);
    let density = density
        .map_or_else(String::new, |tesla| format!(", its core at {}", show(tesla, Dimension::FLUX_DENSITY)));
    (left < LEAST_INDUCTANCE_LEFT).then(|| Warning {
        code: "coil_saturated",
        about: part.name.clone(),
        weight: 1.0 - left,
        text: format!(
            "{}: {} of its inductance left ({}) at its peak current of {}{density}; an LC meter will not show this; use a larger core, or fewer turns with a larger capacitor",
            part.name,
            show(left, Dimension::NONE),
            show(core.law.inductance(meter.peak()), Dimension::INDUCTANCE),
            show(meter.peak(), Dimension::CURRENT),
        ),
    })
}

/// A bead whose bias nobody stated: data sheets show half of the impedance gone at a tenth to a half of the rated current (from memory).
fn bead_without_saturation(part: &LoweredPart, meter: &Meter) -> Option<Warning> {
    (meter.peak() > BIAS_OF_BEADS).then(|| Warning {
        code: "bead_without_saturation",
        about: part.name.clone(),
        weight: meter.peak(),
        text: format!(
            "{}: it carries {} and is taken for a bead that never saturates; most lose half of their impedance at a tenth to a half of their rated current; add `saturation_current` from its bias curve",
            part.name,
            show(meter.peak(), Dimension::CURRENT),
        ),
    })
}

fn outside_supply(lowered: &Lowered, part: &LoweredPart, start: Start, meter: &Meter) -> Vec<Warning> {
    let Some((low, high)) = part.limits.supply_range else { return Vec::new() };
    if polarity::is_negative(meter) {
        return polarity::of_voltage(lowered, part, meter).into_iter().collect();
    }
    let volts = |value: f64| show(value, Dimension::VOLTAGE);
    let unfed = if meter.least < low { fed::unfed_node(lowered, part) } else { None };
    if let Some(node) = unfed {
        return vec![Warning {
            code: "camera_under_supply",
            about: part.name.clone(),
            weight: low - meter.least,
            text: format!(
                "{}: nothing connects its node {} to a source (there is no path for direct current), so its supply is at {} where it needs {}; look for a node that is spelt in two ways, or draw the missing wire",
                part.name,
                lowered.network.nodes[node],
                volts(meter.least),
                volts(low),
            ),
        }];
    }
    let mut warnings = Vec::new();
    // From rest every supply begins below its range.
    if meter.least < low && start != Start::Rest {
        warnings.push(Warning {
            code: "camera_under_supply",
            about: part.name.clone(),
            weight: low - meter.least,
            text: format!(
                "{}: its supply falls to {} (20 MHz bandwidth), it needs {}{}; shorten or thicken the feed, take a coil of less resistance, or land with a fuller pack",
                part.name,
                volts(meter.least),
                volts(low),
                battery::charges(lowered),
            ),
        });
    }
    if meter.greatest > high {
        warnings.push(Warning {
            code: "camera_over_supply",
            about: part.name.clone(),
            weight: meter.greatest - high,
            text: format!(
                "{}: its supply rises to {} (20 MHz bandwidth), it takes {} at most; damp the ringing, or put a regulator in front",
                part.name,
                volts(meter.greatest),
                volts(high),
            ),
        });
    }
    warnings
}
