//! Nodes that a single part touches, everywhere or in some options.

use super::{Names, NodeEntry, Site};
use crate::description::Axis;
use crate::mistake::{Mistake, Sink, nearest};
use crate::source::Span;

impl NodeEntry {
    /// A use that meets no other at any study point; the first of several in the text.
    fn lonely(&self) -> Option<(Span, &str)> {
        let alone = self.uses.iter().filter(|(site, (count, ..))| {
            *count == 1 && self.uses.keys().all(|other| other == *site || !other.meets(**site))
        });
        alone.map(|(_, (_, span, part))| (*span, part.as_str())).min()
    }

    /// A use outside all options that meets others only in some options of one axis: the axis and the first option that leaves it
    /// alone.
    fn left_alone(&self, axes: &[Axis]) -> Option<(Span, &str, usize, usize)> {
        let (count, span, part) = self.uses.get(&Site::Always)?;
        let mut elsewhere = self.uses.keys().filter_map(|site| site.axis());
        let axis = elsewhere.next().filter(|first| *count == 1 && elsewhere.all(|other| other == *first))?;
        let option = (0..axes.get(axis)?.points.len())
            .find(|option| !self.uses.contains_key(&Site::Option { axis, option: *option }))?;
        Some((*span, part, axis, option))
    }
}

impl Names {
    /// Remarks on nodes that an option forgets to connect.
    fn remark_left_alone(&self, axes: &[Axis], sink: &mut Sink) {
        let all = self.nodes.iter().filter(|(name, _)| *name != "gnd");
        let mut found: Vec<_> =
            all.filter_map(|(name, node)| Some((node.left_alone(axes)?, name.as_str()))).collect();
        found.sort_unstable();
        for ((span, part, axis, option), name) in found.into_iter().take(Sink::MOST_REMARKS) {
            let at = format!("{} = {}", axes[axis].name, axes[axis].points[option]);
            sink.push(
                Mistake::remark(
                    "node_used_once",
                    span,
                    format!("only `{part}` touches the node `{name}` at {at}"),
                )
                .label("no current can flow here then")
                .help("connect it in that option too, perhaps with a wire, or leave the part out there"),
            );
        }
    }

    /// The node that a lonely one was perhaps meant to be: a like one that parts meet at, or one that is as lonely.
    fn meant<'n>(&'n self, name: &str, lonely: &dyn Fn(&str, &NodeEntry) -> bool) -> Option<&'n str> {
        let like = |alone: bool| {
            let of_kind = self.nodes.iter().filter(move |(other, node)| lonely(other, node) == alone);
            of_kind.map(|(other, _)| other.as_str()).filter(|other| *other != name)
        };
        nearest(name, like(false).chain(std::iter::once("gnd"))).or_else(|| nearest(name, like(true)))
    }

    /// Remarks on nodes that a single part touches.
    pub(crate) fn remark_lonely_nodes(&self, axes: &[Axis], sink: &mut Sink) {
        self.remark_left_alone(axes, sink);
        let lonely = |name: &str, node: &NodeEntry| name != "gnd" && node.lonely().is_some();
        let mut found: Vec<(Span, &str, &String)> = self
            .nodes
            .iter()
            .filter(|(name, _)| *name != "gnd")
            .filter_map(|(name, node)| node.lonely().map(|(span, part)| (span, part, name)))
            .collect();
        found.sort();
        for (span, part, name) in found.into_iter().take(Sink::MOST_REMARKS) {
            let meant = self.meant(name, &lonely);
            let message = format!("only `{part}` touches the node `{name}`");
            let remark = Mistake::remark("node_used_once", span, message)
                .label("no current can flow here")
                .help("connect another part to it, or look for a misspelt node");
            // The last word of an inner node's name is what its assembly calls it.
            let outside = name.rsplit_once('.').map(|(_, inner)| inner);
            sink.push(match outside.filter(|inner| self.nodes.contains_key(*inner)) {
                Some(inner) => remark.help(format!(
                    "this is not the node `{inner}` outside: an assembly reaches only `gnd` and its terminals"
                )),
                None => remark.near(meant),
            });
        }
    }
}
