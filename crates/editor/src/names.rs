//! The names of a text, with those of the texts that it includes, and what they stand for at a place: those inside an assembly
//! are its own affair.

use crate::document::Document;
use language::Span;
use language::outline::{Definition, Role, Statement};
use lsp_types::Location;
use std::collections::BTreeSet;
use std::ops::Deref;

/// Instances inside instances are followed so deep; the language allows no circle, a half-written text may have one.
const DEEPEST: usize = 8;
/// Names offered at most, so that a huge text doesn't fill the editor.
const MOST: usize = 2000;

/// An assembly: the number of its text, and the index of its statement there.
pub(crate) type Assembly = (usize, usize);

/// A text, which has the number 0, and all that it includes.
#[derive(Clone, Copy)]
pub(crate) struct View<'a> {
    pub(crate) own: &'a Document,
    pub(crate) included: &'a [Document],
}

/// A statement that defines something.
#[derive(Clone, Copy)]
pub(crate) struct Found<'a> {
    pub(crate) document: &'a Document,
    pub(crate) file: usize,
    pub(crate) statement: &'a Statement,
    pub(crate) definition: &'a Definition,
}

/// A place in one of the texts.
#[derive(Clone, Copy)]
pub(crate) struct Place<'a> {
    pub(crate) document: &'a Document,
    pub(crate) span: Span,
}

impl<'a> Found<'a> {
    pub(crate) fn name(self) -> &'a str {
        self.document.part(self.definition.name)
    }

    pub(crate) fn place(self) -> Place<'a> {
        Place { document: self.document, span: self.definition.name }
    }

    /// The name of the assembly that an instance places.
    fn assembly(self) -> Option<&'a str> {
        self.definition.assembly.map(|span| self.document.part(span))
    }
}

impl Place<'_> {
    pub(crate) fn location(self) -> Location {
        Location::new(self.document.uri.clone(), self.document.range(self.span))
    }
}

impl Deref for View<'_> {
    type Target = Document;

    fn deref(&self) -> &Document {
        self.own
    }
}

impl<'a> View<'a> {
    fn document(self, file: usize) -> &'a Document {
        file.checked_sub(1).and_then(|file| self.included.get(file)).unwrap_or(self.own)
    }

    fn statement(self, (file, index): Assembly) -> &'a Statement {
        &self.document(file).outline.statements[index]
    }

    /// The assembly whose block is around a byte of the text itself.
    pub(crate) fn assembly_at(self, byte: usize) -> Option<Assembly> {
        self.own.assembly_around(self.own.outline.holder_at(byte)).map(|index| (0, index))
    }

    /// The statements that define something, of one assembly or outside all.
    pub(crate) fn definitions(self, assembly: Option<Assembly>) -> impl Iterator<Item = Found<'a>> {
        let files = match assembly {
            Some((file, _)) => file..file + 1,
            None => 0..self.included.len() + 1,
        };
        let inside = assembly.map(|(_, index)| index);
        files.flat_map(move |file| {
            let document = self.document(file);
            let here = move |statement: &&Statement| document.assembly_around(statement.holder) == inside;
            let all = document.outline.statements.iter().filter(here);
            all.filter_map(move |statement| {
                Some(Found { document, file, statement, definition: statement.definition.as_ref()? })
            })
        })
    }

    /// Every statement that defines `path` as seen from an assembly or from outside; several where options share a name.
    pub(crate) fn find(self, path: &str, assembly: Option<Assembly>) -> Vec<Found<'a>> {
        let (before, last) =
            path.rsplit_once('.').map_or((None, path), |(before, last)| (Some(before), last));
        self.inside(before, assembly).into_iter().flat_map(|scope| self.named(last, scope)).collect()
    }

    /// What is meant by names inside `path`, which leads from instance to instance; where there is none, the place itself.
    pub(crate) fn inside(self, path: Option<&str>, assembly: Option<Assembly>) -> Vec<Option<Assembly>> {
        let mut scopes = vec![assembly];
        for step in path.into_iter().flat_map(|path| path.split('.')) {
            let inner = scopes.iter().flat_map(|scope| self.named(step, *scope));
            let inner: BTreeSet<Assembly> =
                inner.filter_map(|found| self.assembly_of(found.assembly()?)).collect();
            scopes = inner.into_iter().map(Some).collect();
        }
        scopes
    }

    fn named(self, name: &str, assembly: Option<Assembly>) -> Vec<Found<'a>> {
        self.definitions(assembly).filter(|found| found.name() == name).collect()
    }

    /// The assembly of that name.
    pub(crate) fn assembly_of(self, name: &str) -> Option<Assembly> {
        let is_it = |found: &Found<'_>| found.definition.role == Role::Assembly && found.name() == name;
        let found = self.definitions(None).find(is_it)?;
        let statements = &found.document.outline.statements;
        let index = statements.iter().position(|statement| std::ptr::eq(statement, found.statement))?;
        Some((found.file, index))
    }

    /// The nodes known at a place, sorted.
    pub(crate) fn nodes(self, assembly: Option<Assembly>) -> BTreeSet<&'a str> {
        let used = self.nodes_used(assembly).map(|place| place.document.part(place.span));
        let terminals = self.inner(assembly, |definition| &definition.nodes);
        let names = terminals.into_iter().map(|place| place.document.part(place.span)).chain(used);
        names.take(MOST).chain(["gnd"]).collect()
    }

    /// Where parts and instances are put on nodes.
    pub(crate) fn nodes_used(self, assembly: Option<Assembly>) -> impl Iterator<Item = Place<'a>> {
        let users = self.definitions(assembly).filter(|found| found.definition.role != Role::Assembly);
        users.flat_map(|found| {
            found.definition.nodes.iter().map(move |span| Place { document: found.document, span: *span })
        })
    }

    /// Terminals or parameters of an assembly.
    pub(crate) fn inner(
        self,
        assembly: Option<Assembly>,
        which: fn(&Definition) -> &Vec<Span>,
    ) -> Vec<Place<'a>> {
        let Some(assembly) = assembly else { return Vec::new() };
        let document = self.document(assembly.0);
        let spans = self.statement(assembly).definition.as_ref().map(which);
        spans.into_iter().flatten().map(|span| Place { document, span: *span }).collect()
    }

    /// The parameters of an assembly.
    pub(crate) fn parameters(self, assembly: Option<Assembly>) -> Vec<&'a str> {
        let places = self.inner(assembly, |definition| &definition.parameters);
        places.into_iter().map(|place| place.document.part(place.span)).collect()
    }

    /// Names with the given roles, those inside instances as `INSTANCE.NAME` where they are parts.
    pub(crate) fn names(self, assembly: Option<Assembly>, wanted: fn(Role) -> bool) -> Vec<(String, Role)> {
        let mut found = Vec::new();
        self.gather_names(assembly, "", wanted, DEEPEST, &mut found);
        found.sort_by(|(one, _), (other, _)| one.cmp(other));
        found.dedup_by(|(one, _), (other, _)| one == other);
        found
    }

    fn gather_names(
        self,
        assembly: Option<Assembly>,
        prefix: &str,
        wanted: fn(Role) -> bool,
        depth: usize,
        names: &mut Vec<(String, Role)>,
    ) {
        for found in self.definitions(assembly) {
            if names.len() >= MOST {
                return;
            }
            let role = found.definition.role;
            let name = format!("{prefix}{}", found.name());
            let inner = found.assembly().filter(|_| depth > 0).and_then(|each| self.assembly_of(each));
            if let Some(inner) = inner
                && wanted(Role::Part(None))
            {
                self.gather_names(Some(inner), &format!("{name}."), wanted, depth - 1, names);
            }
            let outside = prefix.is_empty() || matches!(role, Role::Part(_) | Role::Instance);
            if wanted(role) && outside {
                names.push((name, role));
            }
        }
    }
}

impl Document {
    /// The text alone.
    #[cfg(test)]
    pub(crate) fn alone(&self) -> View<'_> {
        View { own: self, included: &[] }
    }

    /// The first assembly among a holder and those around it.
    fn assembly_around(&self, mut holder: Option<usize>) -> Option<usize> {
        while let Some(index) = holder {
            let statement = &self.outline.statements[index];
            if statement.definition.as_ref().is_some_and(|each| each.role == Role::Assembly) {
                return Some(index);
            }
            holder = statement.holder;
        }
        None
    }
}
