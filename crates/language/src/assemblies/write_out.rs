//! Fitted assemblies written out: instances and parts under their full names, on the nodes that they are really on.

use super::{Circles, placed_mut};
use crate::mistake::{Mistake, Sink};
use crate::names::{Bearer, Site, tell_duplicate};
use crate::source::Span;
use crate::syntax::{AssemblyNode, File, FitNode, InstanceNode, PartNode, Placed, Word};
use rustc_hash::FxHashMap as HashMap;

/// Most levels of assemblies inside assemblies.
const DEEPEST: usize = 50;
/// Most parts and instances that fits may stand for, and most bytes of text if they were written out by hand: far above any
/// harness, while assemblies that hold each other twice would grow beyond every bound.
const MOST_PARTS: usize = 10_000;
const MOST_TEXT: usize = 10_000_000;

/// Writes out every fit of the file. For each assembly whether a fit led to it.
pub(super) fn write_out(
    file: &mut File,
    assemblies: &[AssemblyNode],
    circles: &Circles,
    sink: &mut Sink,
) -> Vec<bool> {
    let mut sites = sites(file).into_iter();
    let mut writer = Writer {
        assemblies,
        circles,
        reached: vec![false; assemblies.len()],
        site: Site::Always,
        placed: HashMap::default(),
        parts: 0,
        text: 0,
        full: false,
        missing: false,
        sink,
    };
    for placed in placed_mut(file) {
        writer.site = sites.next().unwrap_or(Site::Always);
        if let Placed::Fit(fit) = placed {
            writer.outermost(fit);
        }
    }
    let Writer { reached, missing, .. } = writer;
    file.parts_missing |= missing;
    reached
}

/// Where everything placed stands, in the file's order.
fn sites(file: &File) -> Vec<Site> {
    file.placed().map(|(site, _)| site).collect()
}

struct Writer<'a> {
    assemblies: &'a [AssemblyNode],
    circles: &'a Circles,
    reached: Vec<bool>,
    /// Where the fit that is being written out stands.
    site: Site,
    /// Where the instances of each name stand.
    placed: HashMap<String, Vec<(Site, Span)>>,
    parts: usize,
    text: usize,
    full: bool,
    /// Whether something could not be written out, so that what is connected is unknown.
    missing: bool,
    sink: &'a mut Sink,
}

/// What one outermost fit stands for.
#[derive(Default)]
struct Written {
    instances: Vec<InstanceNode>,
    parts: Vec<PartNode>,
}

impl Writer<'_> {
    fn outermost(&mut self, fit: &mut FitNode) {
        let nodes = fit.nodes.iter().cloned().map(Some).collect();
        let mut written = Written::default();
        self.fit(fit, (fit.name.clone(), nodes, None), 0, &mut written);
        fit.instances = written.instances;
        fit.parts = written.parts;
    }

    /// Whether another instance of this name can stand beside this one, which is told.
    fn is_duplicate(&mut self, name: &Word) -> bool {
        let known = self.placed.entry(name.text.clone()).or_default();
        // Alternatives of one axis may share a name.
        let clash = known.iter().find(|(other, _)| other.meets(self.site));
        if let Some((_, first)) = clash {
            tell_duplicate(name, Bearer::Instance, Bearer::Instance, *first, self.sink);
            return true;
        }
        known.push((self.site, name.span));
        false
    }

    /// Writes out one fit under its full name, on nodes as they are called outside.
    fn fit(
        &mut self,
        fit: &FitNode,
        (name, mut nodes, parent): (Word, Vec<Option<Word>>, Option<usize>),
        depth: usize,
        written: &mut Written,
    ) {
        let assemblies = self.assemblies;
        let assembly = fit.target.map(|index| (index, &assemblies[index]));
        let Some((index, assembly)) = assembly.filter(|(_, assembly)| assembly.complete) else {
            self.missing = true;
            return;
        };
        self.reached[index] = true;
        let closes_circle = self.circles.contains(&fit.assembly.span);
        if closes_circle || self.is_duplicate(&name) || !self.has_room(fit, depth) {
            self.missing = true;
            return;
        }
        nodes.resize(assembly.terminals.len(), None);
        let at = written.instances.len();
        let place = Place { instance: &name, assembly, nodes: &nodes };
        written.instances.push(InstanceNode {
            name: name.clone(),
            assembly: index,
            parent,
            nodes: nodes.clone(),
            arguments: fit.arguments.clone(),
        });
        for placed in assembly.placed() {
            match placed {
                Placed::Part(part) => {
                    self.parts += 1;
                    self.text += length(part) + 3 * name.text.len();
                    written.parts.push(place.part(part, at));
                }
                Placed::Fit(inner) => {
                    let outer = inner.nodes.iter().map(|node| place.node(node)).collect();
                    self.fit(inner, (place.name(&inner.name), outer, Some(at)), depth + 1, written);
                }
            }
        }
    }

    fn has_room(&mut self, fit: &FitNode, depth: usize) -> bool {
        self.parts += 1;
        let arguments = fit.arguments.iter().filter_map(|argument| argument.value.as_ref());
        self.text += arguments.map(|(value, _)| value.span.end - value.span.start).sum::<usize>();
        if depth >= DEEPEST {
            self.sink.push(
                Mistake::new(
                    "too_deep",
                    fit.assembly.span,
                    format!("assemblies hold each other more than {DEEPEST} levels deep"),
                )
                .label("one level too many"),
            );
            return false;
        }
        if self.parts > MOST_PARTS || self.text > MOST_TEXT {
            // Once is enough: nothing more is written out from here on.
            if std::mem::replace(&mut self.full, true) {
                return false;
            }
            self.sink.push(
                Mistake::new(
                    "too_many_parts",
                    fit.assembly.span,
                    format!("the fitted assemblies stand for more than {MOST_PARTS} parts"),
                )
                .label("too many from here on"),
            );
            return false;
        }
        true
    }
}

/// Bytes of a part's statement.
fn length(part: &PartNode) -> usize {
    let value = |property: &crate::syntax::PropertyNode| property.value.as_ref().map(|value| value.span.end);
    let end = part.properties.iter().filter_map(value).max().unwrap_or(part.name.span.end);
    end.saturating_sub(part.name.span.start)
}

/// An instance whose inside is being named.
struct Place<'a> {
    instance: &'a Word,
    assembly: &'a AssemblyNode,
    nodes: &'a [Option<Word>],
}

impl Place<'_> {
    /// The full name of something inside, at its own place in the text.
    fn name(&self, word: &Word) -> Word {
        Word { span: word.span, ..self.instance.inner(word) }
    }

    /// What a node inside is called outside; `None` for a terminal that is on no node.
    fn node(&self, word: &Word) -> Option<Word> {
        if word.text == "gnd" {
            return Some(word.clone());
        }
        match self.assembly.terminals.iter().position(|terminal| terminal.text == word.text) {
            Some(terminal) => self.nodes[terminal].clone(),
            None => Some(self.name(word)),
        }
    }

    fn part(&self, part: &PartNode, instance: usize) -> PartNode {
        // Field by field, so that whatever else has a name or node is not forgotten.
        let PartNode { kind, name, left, right, second, properties, instance: _ } = part;
        let written = |node: &Option<Word>| node.as_ref().and_then(|node| self.node(node));
        PartNode {
            kind: *kind,
            name: self.name(name),
            left: written(left),
            right: written(right),
            second: second.as_ref().map(|pair| Box::new((written(&pair.0), written(&pair.1)))),
            properties: properties.clone(),
            instance: Some(instance),
        }
    }
}
