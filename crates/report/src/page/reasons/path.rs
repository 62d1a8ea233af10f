//! The way from a capacitor back to what feeds it, with what lies in it.

use super::named;
use crate::page::parts::Fitted;
use language::Kind;
use language::description::Part;
use std::collections::VecDeque;
use study::result::PartFacts;

/// The shortest way, by the number of parts.
pub(super) struct Path {
    /// Its parts that resist or have inductance, the supply last.
    pub(super) names: Vec<String>,
    /// Their resistance in ohm.
    pub(super) resistance: f64,
    /// Their inductance in henry.
    pub(super) inductance: f64,
}

impl Path {
    /// From the capacitor's first node to a pack or a supply; nothing where there is no way through wires and the like.
    pub(super) fn to_the_supply(fitted: &Fitted, facts: &[PartFacts], capacitor: &Part) -> Option<Self> {
        let parts: Vec<&Part> = fitted.all().filter(|part| conducts(part.kind)).collect();
        let mut ways: VecDeque<(String, Vec<&Part>)> = VecDeque::from([(capacitor.left.clone(), Vec::new())]);
        let mut seen = vec![capacitor.left.clone(), capacitor.right.clone()];
        while let Some((node, way)) = ways.pop_front() {
            for part in parts.iter().filter(|part| part.left == node || part.right == node) {
                let mut way = way.clone();
                way.push(part);
                if feeds(part.kind) {
                    return Some(Self::of(&way, facts));
                }
                let next = if part.left == node { &part.right } else { &part.left };
                if !seen.contains(next) {
                    seen.push(next.clone());
                    ways.push_back((next.clone(), way));
                }
            }
        }
        None
    }

    fn of(way: &[&Part], facts: &[PartFacts]) -> Self {
        let sum = |name: &str| way.iter().filter_map(|part| figure(part, facts, name)).sum();
        // A joint of a milliohm is not worth a name.
        let worth = |part: &&&Part| figure(part, facts, "resistance").is_some_and(|ohm| ohm > 2e-3);
        Self {
            names: way.iter().filter(worth).map(|part| part.name.clone()).collect(),
            resistance: sum("resistance"),
            inductance: sum("inductance"),
        }
    }
}

fn feeds(kind: Kind) -> bool {
    matches!(kind, Kind::Battery | Kind::Supply)
}

fn conducts(kind: Kind) -> bool {
    feeds(kind) || matches!(kind, Kind::Wire | Kind::Resistor | Kind::Connector | Kind::Fuse | Kind::Switch)
}

/// What a part states, or what its values come to.
pub(super) fn figure(part: &Part, facts: &[PartFacts], property: &str) -> Option<f64> {
    part.number(property).or_else(|| named(facts, &part.name, property))
}
