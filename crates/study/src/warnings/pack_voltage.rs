//! Capacitors rated below what a full pack puts across them, told without a run.

use super::show;
use language::Kind;
use language::description::{Harness, Part};
use network::lowered::{Lowered, Warning};
use quantity::Dimension;
use std::collections::{HashMap, HashSet};

/// A resistor of at most this many ohm stands in a feed; a larger one may be half of a divider (own choice).
const MOST_IN_A_FEED: f64 = 10.0;
/// Batteries looked at at most; a drawing made by hand has a few.
const MOST_BATTERIES: usize = 20;

/// Looks at every battery, and at the capacitors that are connected to both of its poles without anything that lowers its voltage.
pub(super) fn of_packs(harness: &Harness, lowered: &Lowered) -> Vec<Warning> {
    let mut links: HashMap<&str, Vec<(&str, bool)>> = HashMap::new();
    for part in harness.parts.iter().filter(|part| conducts(part)) {
        for (left, right) in part.pairs() {
            let metal = is_metal(part);
            links.entry(left).or_default().push((right, metal));
            // A diode lets a pack's voltage through one way.
            if part.kind != Kind::Diode {
                links.entry(right).or_default().push((left, metal));
            }
        }
    }
    let batteries = harness.parts.iter().filter(|part| part.kind == Kind::Battery).take(MOST_BATTERIES);
    batteries.flat_map(|battery| of_pack(harness, lowered, &links, battery)).collect()
}

/// Whether metal leads from end to end, as in a pack's return.
fn is_metal(part: &Part) -> bool {
    matches!(part.kind, Kind::Wire | Kind::Coil | Kind::Coupled | Kind::Switch | Kind::Fuse | Kind::Connector)
}

/// Whether a part hands a voltage on that lasts.
fn conducts(part: &Part) -> bool {
    match part.kind {
        Kind::Bead | Kind::Diode => true,
        Kind::Resistor => part.number("resistance").is_some_and(|ohm| ohm <= MOST_IN_A_FEED),
        _ => is_metal(part),
    }
}

fn of_pack(
    harness: &Harness,
    lowered: &Lowered,
    links: &HashMap<&str, Vec<(&str, bool)>>,
    battery: &Part,
) -> Vec<Warning> {
    let limits = lowered.part(&battery.name).and_then(|part| part.limits.pack);
    let Some(full) = limits.map(|limits| limits.full_voltage).filter(|full| *full > 0.0) else {
        return Vec::new();
    };
    let plus = reached(links, &battery.right, &HashSet::from([battery.left.as_str(), "gnd"]), false);
    // Loads lead to the minus as well: only what is metal all the way is it.
    let minus = reached(links, &battery.left, &plus, true);
    // Lowered parts stand in the harness' order.
    let both = harness.parts.iter().zip(&lowered.parts);
    let below = both.filter(|(part, _)| part.kind == Kind::Capacitor).filter_map(|(part, made)| {
        let (left, right) = (part.left.as_str(), part.right.as_str());
        let between =
            (plus.contains(left) && minus.contains(right)) || (plus.contains(right) && minus.contains(left));
        let rated = made.limits.rated_voltage.filter(|rated| between && *rated < full)?;
        Some(Warning {
            code: "capacitor_rated_below_pack",
            about: part.name.clone(),
            weight: full / rated,
            text: format!(
                "{}: rated {}, but {} has {} when full; take one rated above that and its surges",
                part.name,
                show(rated, Dimension::VOLTAGE),
                battery.name,
                show(full, Dimension::VOLTAGE),
            ),
        })
    });
    below.collect()
}

/// The nodes that are reached from one, without entering the blocked ones.
fn reached<'h>(
    links: &HashMap<&'h str, Vec<(&'h str, bool)>>,
    from: &'h str,
    blocked: &HashSet<&str>,
    metal_only: bool,
) -> HashSet<&'h str> {
    let mut reached = HashSet::from([from]);
    let mut queue = vec![from];
    while let Some(node) = queue.pop() {
        for (next, metal) in links.get(node).into_iter().flatten() {
            if !blocked.contains(next) && (*metal || !metal_only) && reached.insert(next) {
                queue.push(next);
            }
        }
    }
    reached
}
