//! Who bears which name, and what two parts or settings can stand at one study point.

mod lonely;

use crate::kind::Kind;
use crate::mistake::{Mistake, Sink, nearest};
use crate::source::Span;
use crate::syntax::{AssemblyNode, File, InstanceNode, PartNode, Placed, Word};
use rustc_hash::FxHashMap as HashMap;

/// What bears a name in the namespace that parts, nodes, lets, readings and testpoints share.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bearer {
    Part,
    Node,
    Let,
    Testpoint,
    Reading,
    Instance,
}

impl Bearer {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Node => "node",
            Self::Let => "let",
            Self::Testpoint => "testpoint",
            Self::Reading => "reading",
            Self::Instance => "fitted assembly",
        }
    }
}

/// Where a part or setting stands: always, or in one option of one axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Site {
    Always,
    Option { axis: usize, option: usize },
}

impl Site {
    /// Whether two things that stand so can meet at one study point.
    pub(crate) fn meets(self, other: Self) -> bool {
        match (self, other) {
            (Self::Option { axis, option }, Self::Option { axis: other_axis, option: other_option }) => {
                axis != other_axis || option == other_option
            }
            _ => true,
        }
    }

    pub(crate) fn axis(self) -> Option<usize> {
        match self {
            Self::Always => None,
            Self::Option { axis, .. } => Some(axis),
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Entry {
    bearer: Bearer,
    span: Span,
}

/// What is known of a part's name over the whole file.
#[derive(Clone, Debug)]
pub(crate) struct PartEntry {
    first: Site,
    span: Span,
    /// Distinct kinds that bear the name; `None` stands for an unknown one.
    pub(crate) kinds: Vec<Option<Kind>>,
}

/// A node's uses over the whole file.
#[derive(Clone, Debug, Default)]
pub(crate) struct NodeEntry {
    /// For each place where it is used how often, and the first use there: where it is written, and by which part.
    uses: HashMap<Site, (usize, Span, String)>,
}

/// Every name of a file.
#[derive(Clone, Debug, Default)]
pub(crate) struct Names {
    all: HashMap<String, Entry>,
    pub(crate) parts: HashMap<String, PartEntry>,
    part_sites: HashMap<(String, Site), (Span, Option<Kind>)>,
    pub(crate) nodes: HashMap<String, NodeEntry>,
    /// For each instance where it stands, and the index of its assembly.
    instances: HashMap<String, Vec<(Site, usize)>>,
}

impl PartEntry {
    /// The axis whose options hold it; `None` where it always stands.
    pub(crate) fn axis(&self) -> Option<usize> {
        self.first.axis()
    }
}

impl NodeEntry {
    /// For each place where it is used the axis whose option that is; `None` for one that always stands.
    pub(crate) fn sites(&self) -> impl Iterator<Item = Option<usize>> {
        self.uses.keys().map(|site| site.axis())
    }
}

impl Names {
    /// Gathers the names of a file and tells which clash.
    pub(crate) fn gather(file: &File, sink: &mut Sink) -> Self {
        let mut names = Self::default();
        for (site, placed) in file.placed() {
            let instances = placed.fit().into_iter().flat_map(|fit| &fit.instances);
            instances.for_each(|instance| names.add_instance(instance, site, sink));
            placed.parts().for_each(|part| names.add_part(part, site, sink));
        }
        for each in &file.lets {
            names.add(&each.name, Bearer::Let, sink);
        }
        for each in &file.testpoints {
            names.add(&each.name, Bearer::Testpoint, sink);
        }
        for each in &file.readings {
            names.add(&each.name, Bearer::Reading, sink);
        }
        names
    }

    /// Gathers the names that an assembly has inside, which are its own affair, and tells which clash.
    pub(crate) fn inside(assembly: &AssemblyNode, sink: &mut Sink) -> Self {
        let mut names = Self::default();
        assembly.parameters.iter().for_each(|parameter| names.add(parameter, Bearer::Let, sink));
        assembly.terminals.iter().for_each(|terminal| names.add(terminal, Bearer::Node, sink));
        for fit in assembly.fits() {
            match names.place(&fit.name.text) {
                Some(first) if names.bearer(&fit.name.text) == Some(Bearer::Instance) => {
                    tell_duplicate(&fit.name, Bearer::Instance, Bearer::Instance, first, sink);
                }
                _ => names.add(&fit.name, Bearer::Instance, sink),
            }
            fit.nodes.iter().for_each(|node| names.add_node(node, &fit.name.text, Site::Always, sink));
        }
        for placed in assembly.placed() {
            if let Placed::Part(part) = placed {
                names.add_part(part, Site::Always, sink);
            }
        }
        assembly.lets().for_each(|node| names.add(&node.name, Bearer::Let, sink));
        names
    }

    fn add_instance(&mut self, instance: &InstanceNode, site: Site, sink: &mut Sink) {
        self.add(&instance.name, Bearer::Instance, sink);
        let known = self.instances.entry(instance.name.text.clone()).or_default();
        known.push((site, instance.assembly));
    }

    fn add(&mut self, word: &Word, bearer: Bearer, sink: &mut Sink) {
        if bearer != Bearer::Node && word.text == "gnd" {
            sink.push(
                Mistake::new(
                    "reserved_word",
                    word.span,
                    format!("`gnd` is the reference node and can't name a {}", bearer.word()),
                )
                .label("expected another name"),
            );
            return;
        }
        let entry = Entry { bearer, span: word.span };
        let first = *self.all.entry(word.text.clone()).or_insert(entry);
        let may_repeat =
            first.bearer == bearer && matches!(bearer, Bearer::Part | Bearer::Node | Bearer::Instance);
        if first.span != word.span && !may_repeat {
            tell_duplicate(word, bearer, first.bearer, first.span, sink);
        }
    }

    fn add_part(&mut self, part: &PartNode, site: Site, sink: &mut Sink) {
        self.add(&part.name, Bearer::Part, sink);
        self.add_part_site(part, site, sink);
        for node in part.nodes() {
            self.add_node(node, &part.name.text, site, sink);
        }
        for (left, right) in part.pairs() {
            if let (Some(left), Some(right)) = (left, right)
                && left.text == right.text
            {
                sink.push(
                    Mistake::new(
                        "same_node_twice",
                        right.span,
                        format!("both ends of `{}` are on `{}`", part.name.text, right.text),
                    )
                    .label("expected another node")
                    .also(left.span, "the other end"),
                );
            }
        }
    }

    fn add_node(&mut self, node: &Word, part: &str, site: Site, sink: &mut Sink) {
        self.add(node, Bearer::Node, sink);
        let entry = self.nodes.entry(node.text.clone()).or_default();
        entry.uses.entry(site).or_insert_with(|| (0, node.span, part.to_owned())).0 += 1;
    }

    fn add_part_site(&mut self, part: &PartNode, site: Site, sink: &mut Sink) {
        let name = &part.name;
        let key = (name.text.clone(), site);
        if let Some((span, _)) = self.part_sites.get(&key) {
            tell_duplicate(name, Bearer::Part, Bearer::Part, *span, sink);
            return;
        }
        self.part_sites.insert(key, (name.span, part.kind));
        match self.parts.get_mut(&name.text) {
            None => {
                let entry = PartEntry { first: site, span: name.span, kinds: vec![part.kind] };
                self.parts.insert(name.text.clone(), entry);
            }
            Some(entry) => {
                // Alternatives of one axis may share a name; anything else would meet at some point.
                if entry.first.axis() != site.axis() {
                    tell_duplicate(name, Bearer::Part, Bearer::Part, entry.span, sink);
                }
                if !entry.kinds.contains(&part.kind) {
                    entry.kinds.push(part.kind);
                }
            }
        }
    }

    /// The kinds of the parts named `name` that can meet a setting at `site`.
    pub(crate) fn kinds_meeting(&self, name: &str, site: Site) -> Vec<Option<Kind>> {
        let Some(entry) = self.parts.get(name) else { return Vec::new() };
        if entry.first.axis().is_some() && entry.first.axis() == site.axis() {
            let found = self.part_sites.get(&(name.to_owned(), site));
            return found.map(|(_, kind)| vec![*kind]).unwrap_or_default();
        }
        entry.kinds.clone()
    }

    /// Indices of the assemblies that an instance of this name can be one of; `None` where no fit has the name.
    pub(crate) fn assemblies(&self, instance: &str) -> Option<impl Iterator<Item = usize>> {
        Some(self.instances.get(instance)?.iter().map(|(_, assembly)| *assembly))
    }

    /// The same as far as they can meet a setting at `site`.
    pub(crate) fn assemblies_meeting(&self, instance: &str, site: Site) -> impl Iterator<Item = usize> {
        let known = self.instances.get(instance).into_iter().flatten();
        known.filter(move |(at, _)| at.meets(site)).map(|(_, assembly)| *assembly)
    }

    /// Names of all instances of an assembly, each once, by letters.
    pub(crate) fn instances_of(&self, assembly: usize) -> Vec<&str> {
        let fitting = self.instances.iter().filter(|(_, known)| known.iter().any(|(_, of)| *of == assembly));
        let mut names: Vec<&str> = fitting.map(|(name, _)| name.as_str()).collect();
        names.sort_unstable();
        names
    }

    pub(crate) fn bearer(&self, name: &str) -> Option<Bearer> {
        self.all.get(name).map(|entry| entry.bearer)
    }

    pub(crate) fn place(&self, name: &str) -> Option<Span> {
        self.all.get(name).map(|entry| entry.span)
    }

    /// The name nearest to `word` among those of the given bearers.
    pub(crate) fn near<'a>(&'a self, word: &str, bearers: &[Bearer]) -> Option<&'a str> {
        let fitting = self.all.iter().filter(|(_, entry)| bearers.contains(&entry.bearer));
        nearest(word, fitting.map(|(name, _)| name.as_str()))
    }
}

pub(crate) fn tell_duplicate(word: &Word, bearer: Bearer, first: Bearer, place: Span, sink: &mut Sink) {
    let name = &word.text;
    let mistake = Mistake::new("duplicate_name", word.span, format!("the name `{name}` is taken"))
        .label(format!("expected another name for this {}", bearer.word()))
        .also(place, format!("a {} has it", first.word()));
    sink.push(if bearer == first {
        mistake
    } else {
        mistake.help("parts, nodes, lets, testpoints, readings and fitted assemblies share one set of names")
    });
}
