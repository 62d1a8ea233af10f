//! Whether every node has a path to gnd through parts.

use crate::mistake::{Mistake, Sink};
use crate::names::Names;
use crate::source::Span;
use crate::syntax::{PartNode, Word};
use rustc_hash::FxHashMap as HashMap;

/// Tells each island of nodes that the parts of a study point leave without a path to gnd. Where whole parts could not
/// be read (`parts_missing`) nothing can be said.
pub(crate) fn check(parts: &[&PartNode], names: &Names, parts_missing: bool, sink: &mut Sink) {
    if parts_missing {
        return;
    }
    let mut islands = Islands::default();
    let ground = islands.index("gnd");
    for part in parts {
        for (left, right) in part.pairs() {
            let left = left.map(|node| islands.index(&node.text));
            let right = right.map(|node| islands.index(&node.text));
            // The missing end of a part may be anywhere; taking it for gnd tells no consequence of a told mistake.
            islands.join(left.unwrap_or(ground), right.unwrap_or(ground));
            // A part of an unknown kind may have more terminals than could be read.
            if part.kind.is_none() {
                islands.join(left.unwrap_or(ground), ground);
            }
        }
    }
    tell(parts, names, islands, ground, sink);
}

struct Adrift<'a> {
    node: &'a Word,
    part: &'a str,
    others: usize,
    span: Span,
}

fn tell<'a>(parts: &[&'a PartNode], names: &Names, mut islands: Islands<'a>, ground: usize, sink: &mut Sink) {
    let mut adrift: HashMap<usize, Adrift<'_>> = HashMap::default();
    let mut seen = vec![false; islands.parents.len()];
    let home = islands.root(ground);
    for part in parts {
        for node in part.nodes() {
            let index = islands.index(&node.text);
            let root = islands.root(index);
            if root == home || std::mem::replace(&mut seen[index], true) {
                continue;
            }
            let first = Adrift { node, part: &part.name.text, others: 0, span: node.span };
            adrift.entry(root).and_modify(|island| island.others += 1).or_insert(first);
        }
    }
    let mut adrift: Vec<Adrift<'_>> = adrift.into_values().collect();
    adrift.sort_by_key(|island| island.span);
    let grounded = names.nodes.contains_key("gnd");
    let meant = names.nodes.keys().filter(|node| *node != "gnd" && is_called_ground(node)).min();
    for island in adrift {
        let (node, part) = (&island.node.text, island.part);
        let company = match island.others {
            0 => String::new(),
            1 => " and another node".to_owned(),
            others => format!(" and {others} other nodes"),
        };
        let verb = if island.others == 0 { "has" } else { "have" };
        sink.push(
            Mistake::new("floating_node", island.span, format!("`{node}`{company} {verb} no path to gnd"))
                .label(format!("`{part}` touches it; no chain of parts leads from here to gnd"))
                .help(match (&meant, grounded) {
                    (Some(node), _) => {
                        format!("the reference node is spelt `gnd`: write that in place of `{node}`")
                    }
                    (None, true) => "connect it with a part, or look for a misspelt node".to_owned(),
                    (None, false) => {
                        "no part touches `gnd`: name one node so, usually the battery's minus".to_owned()
                    }
                }),
        );
    }
}

/// Whether a name is what others call the reference node.
fn is_called_ground(node: &str) -> bool {
    const NAMES: &[&str] = &["gnd", "ground", "earth", "vss", "0v"];
    NAMES.contains(&node.to_lowercase().as_str())
}

/// Disjoint sets of nodes.
#[derive(Default)]
struct Islands<'a> {
    indices: HashMap<&'a str, usize>,
    parents: Vec<usize>,
}

impl<'a> Islands<'a> {
    fn index(&mut self, node: &'a str) -> usize {
        let next = self.parents.len();
        let index = *self.indices.entry(node).or_insert(next);
        if index == next {
            self.parents.push(next);
        }
        index
    }

    fn root(&mut self, mut index: usize) -> usize {
        while self.parents[index] != index {
            // Halving the path keeps long chains fast.
            self.parents[index] = self.parents[self.parents[index]];
            index = self.parents[index];
        }
        index
    }

    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.root(one), self.root(other));
        self.parents[one] = other;
    }
}
