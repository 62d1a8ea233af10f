//! Which names the expressions of a file mention.

use super::{File, FitNode, Frequencies, Inner, Item, LetNode, Narrowing, Node, NodeKind, Placed, SetNode};
use super::{Literal, ValueKind, ValueNode};
use crate::source::Span;
use rustc_hash::FxHashSet as HashSet;

impl Node {
    /// Visits the expression and everything in it. Its height is bounded by the parser.
    fn visit<'n>(&'n self, act: &mut dyn FnMut(&'n Self)) {
        act(self);
        match &self.kind {
            NodeKind::Number(_) | NodeKind::Known(_) | NodeKind::Name(_) => {}
            NodeKind::Negate(inner) => inner.visit(act),
            NodeKind::Binary(_, left, right)
            | NodeKind::Range(left, right)
            | NodeKind::Unknown(left, right) => {
                left.visit(act);
                right.visit(act);
            }
            NodeKind::Call(_, arguments) => arguments.iter().for_each(|argument| argument.visit(act)),
        }
    }

    /// Every name that it mentions, with its place.
    pub(crate) fn names(&self) -> Vec<(&str, Span)> {
        let mut names = Vec::new();
        self.visit(&mut |node| {
            if let NodeKind::Name(name) = &node.kind {
                names.push((name.as_str(), node.span));
            }
        });
        names
    }

    /// Whether a number in it has this unit.
    pub(crate) fn mentions_unit(&self, symbol: &str) -> bool {
        let mut found = false;
        self.visit(&mut |node| {
            if let NodeKind::Number(Literal { unit: Some(unit), .. }) = &node.kind {
                found |= unit.text == symbol;
            }
        });
        found
    }
}

/// Gathers the names that expressions mention.
#[derive(Default)]
struct Uses<'a>(HashSet<&'a str>);

impl<'a> Uses<'a> {
    fn node(&mut self, node: &'a Node) {
        self.0.extend(node.names().into_iter().map(|(name, _)| name));
    }

    fn nodes(&mut self, nodes: impl IntoIterator<Item = &'a Node>) {
        nodes.into_iter().for_each(|node| self.node(node));
    }

    fn value(&mut self, value: &'a ValueNode) {
        match &value.kind {
            ValueKind::Expression(node, tolerance) => self.nodes(std::iter::once(node).chain(tolerance)),
            ValueKind::Range(low, high) => self.nodes([low, high]),
            ValueKind::List(entries) => {
                entries.iter().for_each(|(first, second)| self.nodes(std::iter::once(first).chain(second)));
            }
            ValueKind::Text | ValueKind::Trace(_) => {}
        }
    }

    fn let_node(&mut self, node: &'a LetNode) {
        if let Some((value, tolerance)) = &node.value {
            self.nodes(std::iter::once(value).chain(tolerance));
        }
    }

    fn fit(&mut self, fit: &'a FitNode) {
        fit.arguments.iter().for_each(|argument| self.let_node(argument));
    }

    fn placed(&mut self, placed: &'a Placed) {
        match placed {
            Placed::Part(part) => {
                part.properties
                    .iter()
                    .filter_map(|each| each.value.as_ref())
                    .for_each(|each| self.value(each));
            }
            Placed::Fit(fit) => self.fit(fit),
        }
    }

    fn set(&mut self, set: &'a SetNode) {
        set.value.iter().for_each(|value| self.value(value));
    }

    fn narrowing(&mut self, narrowing: &'a Narrowing) {
        narrowing.window.iter().for_each(|(from, to)| self.nodes([from, to]));
    }

    fn items(&mut self, file: &'a File) {
        for item in &file.items {
            match item {
                Item::Placed(placed) => self.placed(placed),
                Item::Axis(axis) => {
                    for option in &axis.options {
                        option.placed.iter().for_each(|placed| self.placed(placed));
                        option.sets.iter().for_each(|set| self.set(set));
                    }
                }
            }
        }
        for inner in file.assemblies.iter().flat_map(|assembly| &assembly.body) {
            match inner {
                Inner::Let(node) => self.let_node(node),
                Inner::Placed(placed) => self.placed(placed),
            }
        }
        file.settings.iter().for_each(|set| self.set(set));
    }

    fn results(&mut self, file: &'a File) {
        file.testpoints.iter().for_each(|each| self.nodes(&each.bandwidth));
        for reading in &file.readings {
            self.nodes(&reading.expression);
            self.narrowing(&reading.narrowing);
        }
        for requirement in &file.requirements {
            self.nodes([&requirement.expression, &requirement.limit]);
            self.narrowing(&requirement.narrowing);
        }
        file.transients.iter().for_each(|each| self.nodes(each.span.iter().chain(&each.record)));
        for frequencies in file.frequencies.iter().filter_map(|each| each.frequencies.as_ref()) {
            match frequencies {
                Frequencies::Range(spacing) => self.nodes([&spacing.low, &spacing.high, &spacing.points]),
                Frequencies::List(entries, _) => self.nodes(entries),
            }
        }
        file.responses.iter().for_each(|each| self.nodes(&each.expression));
    }
}

impl File {
    /// Names that something mentions on which a result may depend, by way of lets too. The values of sweeps do not count.
    pub(crate) fn names_in_use(&self) -> HashSet<&str> {
        let mut uses = Uses::default();
        uses.items(self);
        uses.results(self);
        // A let mentions only those above it.
        for node in self.lets.iter().rev() {
            if uses.0.contains(node.name.text.as_str()) {
                uses.let_node(node);
            }
        }
        uses.0
    }
}
