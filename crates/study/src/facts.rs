//! What the values of parts come to, gathered over study points.

use crate::result::PartFacts;
use network::lowered::{Fact, Lowered, LoweredPart};
use quantity::Dimension;
use std::collections::HashMap;

/// The parts that have figures to show, in the harness' order.
pub(crate) fn of_parts(lowered: &Lowered) -> Vec<PartFacts> {
    lowered.parts.iter().map(of_part).filter(|part| !part.facts.is_empty()).collect()
}

fn of_part(part: &LoweredPart) -> PartFacts {
    let mut facts = part.facts.clone();
    facts.extend(part.mass.map(|mass| Fact::new("mass", mass, Dimension::MASS)));
    PartFacts { name: part.name.clone(), kind: part.kind, facts }
}

/// What one part comes to at a point.
#[derive(Clone, Debug, PartialEq)]
pub struct PartAt {
    /// The first point where it is so, in words: `filter coil, battery_state soft`; empty for what holds at the first point of all.
    pub at: String,
    /// The part.
    pub part: PartFacts,
}

/// Parts over many points, each once for all points at which it comes to the same.
#[derive(Debug, Default)]
pub(crate) struct Gathered {
    /// Places in the list, by name.
    known: HashMap<String, Vec<usize>>,
}

/// Figures of one part that are told at most; a sweep may have thousands, which the comparison tells point by point.
const MOST_OF_A_PART: usize = 100;

impl Gathered {
    /// Takes what is new at a point, given in words, into the list.
    pub(crate) fn add(&mut self, parts: Vec<PartFacts>, at: impl Fn() -> String, list: &mut Vec<PartAt>) {
        for part in parts {
            let known = self.known.entry(part.name.clone()).or_default();
            if known.len() < MOST_OF_A_PART && known.iter().all(|&place| list[place].part != part) {
                known.push(list.len());
                list.push(PartAt { at: at(), part });
            }
        }
    }
}
