//! One coil's sheet from its lines in the file and what they come to.

use super::pair::camera_current;
use super::{Core, Sheet, Wire, cans, expected};
use crate::cautions::Present;
use language::description::{Harness, Part};
use network::lowered::Lowered;
use parts::{conductor, copper, winding};
use std::collections::HashSet;

/// Least length in metre that the ends of the wire need together: 30 mm each (common practice, no source).
const LEAST_ENDS: f64 = 60e-3;

/// What a coil must say before it can be wound.
const MAKING: [&str; 5] = ["outer", "inner", "height", "turns", "wire_diameter"];

/// The sheet of a coil, or what is missing for one.
pub(super) fn of_coil(
    harness: &Harness,
    lowered: &Lowered,
    part: &Part,
    always: &HashSet<&str>,
) -> Result<Sheet, String> {
    let missing: Vec<String> = MAKING
        .into_iter()
        .filter(|property| part.number(property).is_none())
        .map(|property| format!("`{property}`"))
        .collect();
    let entered = lowered.part(&part.name).filter(|_| missing.is_empty());
    let Some(entered) = entered else { return Err(missing.join(", ")) };
    let fact = |name: &str| entered.facts.iter().find(|fact| fact.name == name).map(|fact| fact.value);
    let number = |property: &str| part.number(property).unwrap_or_default();
    let (inner, turns, bare) = (number("inner"), number("turns"), number("wire_diameter"));
    let overall = winding::enamelled_diameter(bare);
    let nominal = part.number("inductance").or_else(|| fact("inductance"));
    let (Some(nominal), Some(length), Ok(layers)) =
        (nominal, fact("wire_length"), winding::layers(inner, overall, turns))
    else {
        return Err("`al`, `permeability` or a test winding".to_owned());
    };
    let inductance = expected::inductance(part, nominal);
    let with = |count: f64| nominal * (count / turns).powi(2);
    let resistance = copper::resistance(length, conductor::area(bare), copper::REFERENCE_TEMPERATURE);
    let mut present = Present::default();
    harness.parts.iter().for_each(|part| present.note(part));
    Ok(Sheet {
        harness: harness.title.clone(),
        part: part.name.clone(),
        fitted_by: Vec::new(),
        core: Core {
            outer: number("outer"),
            inner,
            height: number("height"),
            gap: number("gap"),
            material: part.word("material").map(str::to_owned),
        },
        wire: Wire { bare, overall, length, cut: length + (expected::ENDS * length).max(LEAST_ENDS) },
        turns,
        one_layer: winding::turns_in_one_layer(inner, overall),
        layers,
        fill: turns * (overall / inner).powi(2),
        inductance,
        miscounted: (with(turns - 1.0), with(turns + 1.0)),
        resistance: expected::resistance(resistance),
        lost: fact("current_at_10_percent_loss").zip(fact("current_at_30_percent_loss")),
        mass: entered.mass,
        cans: cans::of(harness, lowered, part, always),
        camera_current: camera_current(harness),
        cautions: present.cautions(),
    })
}
