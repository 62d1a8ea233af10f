//! A filter: a topology with an element in each of its slots.

use super::amount::Amount;
use super::element::{Element, Role};
use super::topology::{Node, Topology};
use super::winding::SPARE;
use language::Description;
use language::description::Place;
use language::stock::Stock;
use std::fmt::Write as _;

/// Slots that a topology has at most.
const MOST_SLOTS: usize = 4;

/// A filter, small enough for hundreds of thousands of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Candidate {
    pub(super) topology: Topology,
    chosen: [u16; MOST_SLOTS],
}

impl Candidate {
    /// Indices of its elements, one a slot.
    pub(super) fn chosen(&self) -> impl Iterator<Item = usize> + '_ {
        self.chosen.iter().take(self.topology.slots().len()).map(|index| usize::from(*index))
    }

    pub(super) fn elements<'e>(&self, all: &'e [Element]) -> impl Iterator<Item = &'e Element> {
        let chosen = *self;
        (0..chosen.topology.slots().len()).map(move |slot| &all[usize::from(chosen.chosen[slot])])
    }

    fn sum(&self, all: &[Element], of: fn(&Element) -> &Amount) -> Amount {
        let mut sum = Amount::default();
        self.elements(all).for_each(|element| sum.add(of(element)));
        sum
    }

    pub(super) fn mass(&self, all: &[Element]) -> Amount {
        self.sum(all, |element| &element.mass)
    }

    pub(super) fn cost(&self, all: &[Element]) -> Amount {
        self.sum(all, |element| &element.cost)
    }

    /// Whether the stock has enough of everything in it.
    pub(super) fn is_in_stock(&self, all: &[Element], stock: &Stock) -> bool {
        let lines = || self.elements(all).map(|element| element.line);
        let enough =
            lines().all(|line| lines().filter(|other| *other == line).count() <= stock.items[line].quantity);
        let wires = || self.elements(all).filter_map(|element| element.wound);
        enough
            && wires().all(|(line, _)| {
                let used: f64 =
                    wires().filter(|(other, _)| *other == line).map(|(_, wound)| wound.length * SPARE).sum();
                stock.items[line].length.is_none_or(|length| used <= length)
            })
    }

    /// As an option of the choice.
    pub(super) fn option(&self, name: &str, all: &[Element], place: &Place, names: &Names) -> String {
        let mut text = format!("    option {name} {{\n");
        for (slot, element) in self.topology.slots().iter().zip(self.elements(all)) {
            let node = |node: Node| match node {
                Node::From => place.from.clone(),
                Node::To => place.to.clone(),
                Node::Back => place.back.clone(),
                Node::Inside(_) => names.of("mid"),
            };
            let (left, right) = (node(slot.left), node(slot.right));
            let part = names.of(slot.name);
            let _ =
                writeln!(text, "        {} {part} {left} -> {right}  {}", element.word, element.properties);
        }
        text.push_str("    }\n");
        text
    }
}

/// Names that nothing outside the choice bears.
pub(super) struct Names {
    taken: Vec<(&'static str, String)>,
}

impl Names {
    pub(super) fn new(description: &Description, place: &Place) -> Self {
        let slots = Topology::ALL.iter().flat_map(|topology| topology.slots());
        let mut taken: Vec<(&'static str, String)> = Vec::new();
        for wanted in slots.map(|slot| slot.name).chain(["mid", "tie"]) {
            if taken.iter().any(|(known, _)| *known == wanted) {
                continue;
            }
            let mut name = wanted.to_owned();
            while !description.is_free(&name, place) {
                name.push_str("_f");
            }
            taken.push((wanted, name));
        }
        Self { taken }
    }

    /// Whether a part of a filter may bear the name.
    pub(super) fn is_own(&self, name: &str) -> bool {
        self.taken.iter().any(|(_, taken)| taken == name)
    }

    /// Whether it is the name of a filter's coil.
    pub(super) fn is_choke(&self, name: &str) -> bool {
        ["choke", "choke_2"].iter().any(|wanted| self.of(wanted) == name)
    }

    pub(super) fn of(&self, wanted: &str) -> String {
        let found = self.taken.iter().find(|(known, _)| *known == wanted);
        found.map_or_else(|| wanted.to_owned(), |(_, name)| name.clone())
    }
}

/// Every filter of these topologies that the stock has enough for, in a fixed order, with the number that it has not.
pub(super) fn candidates(all: &[Element], stock: &Stock, topologies: &[Topology]) -> (Vec<Candidate>, usize) {
    let (mut found, mut short) = (Vec::new(), 0);
    for topology in topologies {
        let slots: Vec<Vec<u16>> = topology
            .slots()
            .iter()
            .map(|slot| {
                let fitting = all.iter().enumerate().filter(|(_, element)| slot.fits(element));
                fitting.filter_map(|(index, _)| u16::try_from(index).ok()).collect()
            })
            .collect();
        let count: usize = slots.iter().map(Vec::len).product();
        for number in 0..count {
            let (mut left, mut chosen) = (number, [0; MOST_SLOTS]);
            for (slot, fitting) in slots.iter().enumerate().rev() {
                chosen[slot] = fitting[left % fitting.len()];
                left /= fitting.len();
            }
            let candidate = Candidate { topology: *topology, chosen };
            if !candidate.is_sensible(all, stock) {
                continue;
            }
            if candidate.is_in_stock(all, stock) {
                found.push(candidate);
            } else {
                short += 1;
            }
        }
    }
    (found, short)
}

impl Candidate {
    /// A damping branch works with a capacitor that is at least as large as the one it damps.
    fn is_sensible(&self, all: &[Element], stock: &Stock) -> bool {
        if self.topology != Topology::CoilCapacitorBranch {
            return true;
        }
        let capacitance = |element: &Element| {
            stock.items[element.line].part.as_ref().and_then(|part| part.number("capacitance")).unwrap_or(0.0)
        };
        let stores: Vec<f64> = self
            .elements(all)
            .filter(|element| matches!(element.role, Role::Capacitor | Role::Ceramic))
            .map(capacitance)
            .collect();
        stores.windows(2).all(|pair| pair[0] <= pair[1])
    }
}
