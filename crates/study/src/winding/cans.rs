//! The electrolytic capacitors of a filter, which have a right and a wrong way round.

use language::Kind;
use language::description::{Harness, Part};
use network::lowered::Lowered;
use std::collections::HashSet;

/// An electrolytic capacitor.
#[derive(Clone, Debug, PartialEq)]
pub struct Can {
    /// Its name.
    pub part: String,
    /// Capacitance in farad.
    pub capacitance: f64,
    /// Rated voltage in volt, where it is stated.
    pub rated: Option<f64>,
    /// The node of its plus.
    pub plus: String,
    /// The node of its minus, the side of the stripe.
    pub minus: String,
    /// Diameter and length in metre of a usual can of these values; nothing where none is usual or the rated voltage is not stated.
    pub size: Option<(f64, f64)>,
}

/// The cans that belong to a coil: those that a pick of the builder fits, and those that share a node with the coil.
pub(super) fn of(harness: &Harness, lowered: &Lowered, coil: &Part, always: &HashSet<&str>) -> Vec<Can> {
    let belongs = |part: &Part| {
        let shares = part
            .pairs()
            .any(|(left, right)| [left, right].into_iter().any(|node| node != GROUND && coil.touches(node)));
        shares || !always.contains(part.name.as_str())
    };
    let polarised = |part: &Part| lowered.part(&part.name).is_some_and(|part| part.limits.polarised);
    let capacitors = harness.parts.iter().filter(|part| part.kind == Kind::Capacitor);
    capacitors.filter(|part| belongs(part) && polarised(part)).filter_map(can).collect()
}

/// The reference node.
const GROUND: &str = "gnd";

fn can(part: &Part) -> Option<Can> {
    let capacitance = part.number("capacitance")?;
    let rated = part.number("rated");
    Some(Can {
        part: part.name.clone(),
        capacitance,
        rated,
        plus: part.left.clone(),
        minus: part.right.clone(),
        size: rated.and_then(|rated| parts::can::usual_size(capacitance, rated)),
    })
}
