//! Warnings of returns: one that the camera shares with a motor, and a pack the wrong way round.

use super::paths::{Paths, feeds};
use super::show;
use crate::meter::Meter;
use language::Kind;
use network::lowered::{Lowered, LoweredPart, Warning};
use network::primitive::GND;
use quantity::Dimension;

/// A part on the way back of a camera that the current of a drive or servo takes too.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Shared {
    /// Name of the part.
    pub(crate) part: String,
    camera: String,
    drive: String,
}

/// Every such part of a drawing, with the first camera and the first drive or servo that share it.
pub(crate) fn shared(lowered: &Lowered) -> Vec<Shared> {
    let Some(paths) = Paths::new(lowered) else { return Vec::new() };
    let sinks = paths.sinks();
    let of_kind = |kind: Kind| paths.parts.iter().filter(move |part| part.kind == kind);
    // Without `without` (and with it), does the part's current find back?
    let returns = |part: &LoweredPart, without: Option<&str>| {
        let open = |other: &LoweredPart| without != Some(other.name.as_str());
        let reached = paths.reached(part.right, open, |node| sinks.contains(&node));
        reached.iter().any(|node| sinks.contains(node))
    };
    let lengthy = |part: &&LoweredPart| {
        matches!(part.kind, Kind::Wire | Kind::Connector | Kind::Switch | Kind::Fuse | Kind::Resistor)
    };
    let back = |kind: Kind| -> Vec<&LoweredPart> {
        of_kind(kind).filter(|part| !sinks.contains(&part.right) && returns(part, None)).collect()
    };
    let (cameras, mut drives) = (back(Kind::Camera), back(Kind::Drive));
    drives.extend(back(Kind::Servo));
    if cameras.is_empty() || drives.is_empty() {
        return Vec::new();
    }
    let needs = |users: &[&LoweredPart], part: &LoweredPart| {
        users.iter().find(|user| !returns(user, Some(&part.name))).map(|user| user.name.clone())
    };
    paths
        .parts
        .iter()
        .filter(lengthy)
        .filter_map(|part| {
            Some(Shared {
                part: part.name.clone(),
                camera: needs(&cameras, part)?,
                drive: needs(&drives, part)?,
            })
        })
        .collect()
}

/// What to say of it without a run, and with the voltage across it in one.
pub(crate) fn shared_return(shared: &Shared, across: Option<&Meter>) -> Warning {
    let Shared { part, camera, drive } = shared;
    let swing = across.map_or(0.0, Meter::peak_to_peak);
    let by = across.map_or_else(String::new, |meter| {
        let volts = |value: f64| show(value, Dimension::VOLTAGE);
        format!(" by {} peak to peak, {} on average", volts(swing), volts(meter.mean().abs()))
    });
    Warning {
        code: "shared_return",
        about: part.clone(),
        weight: swing,
        text: format!(
            "{part}: the currents of {camera} and {drive} return through it together, so {drive} moves the minus of {camera}{by}; give {camera} a return of its own to the pack's minus"
        ),
    }
}

/// Packs whose plus is on `gnd` while what they feed has its minus there.
pub(crate) fn reversed_packs(lowered: &Lowered) -> Vec<Warning> {
    let fed = |part: &&LoweredPart| {
        matches!(part.kind, Kind::Camera | Kind::Drive | Kind::Servo | Kind::Load | Kind::Regulator)
            && part.right == GND
    };
    let Some(fed) = lowered.parts.iter().find(fed) else { return Vec::new() };
    let wrong = |part: &&LoweredPart| feeds(part) && part.right == GND && part.left != GND;
    let packs = lowered.parts.iter().filter(wrong);
    packs
        .map(|pack| Warning {
            code: "pack_reversed",
            about: pack.name.clone(),
            weight: 0.0,
            text: format!(
                "{}: its plus is on gnd, where {} has its minus, so everything is fed the wrong way round; the arrow of what feeds points to its plus: write `gnd -> {}`",
                pack.name,
                fed.name,
                lowered.network.nodes[pack.left],
            ),
        })
        .collect()
}
