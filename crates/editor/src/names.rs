//! The names of a text and what they stand for at a place: those inside an assembly are its own affair.

use crate::document::Document;
use language::Span;
use language::outline::{Definition, Role, Statement};
use std::collections::BTreeSet;

/// Instances inside instances are followed so deep; the language allows no circle, a half-written text may have one.
const DEEPEST: usize = 8;
/// Names offered at most, so that a huge text doesn't fill the editor.
const MOST: usize = 2000;

impl Document {
    /// Index of the assembly whose block is around a byte.
    pub(crate) fn assembly_at(&self, byte: usize) -> Option<usize> {
        self.assembly_around(self.outline.holder_at(byte))
    }

    /// The first assembly among a holder and those around it.
    fn assembly_around(&self, mut holder: Option<usize>) -> Option<usize> {
        while let Some(index) = holder {
            let statement = &self.outline.statements[index];
            if role(statement) == Some(Role::Assembly) {
                return Some(index);
            }
            holder = statement.holder;
        }
        None
    }

    /// The statements that define something, of one assembly or outside all.
    pub(crate) fn definitions(
        &self,
        assembly: Option<usize>,
    ) -> impl Iterator<Item = (&Statement, &Definition)> {
        let here = move |statement: &&Statement| self.assembly_around(statement.holder) == assembly;
        let all = self.outline.statements.iter().filter(here);
        all.filter_map(|statement| Some((statement, statement.definition.as_ref()?)))
    }

    /// Every statement that defines `path` as seen from an assembly or from outside; several where options share a name.
    pub(crate) fn find(&self, path: &str, assembly: Option<usize>) -> Vec<(&Statement, &Definition)> {
        let mut scopes = vec![assembly];
        let mut steps: Vec<&str> = path.split('.').collect();
        let last = steps.pop().unwrap_or_default();
        for step in steps {
            let inner = scopes.iter().flat_map(|scope| self.named(step, *scope));
            let inner = inner.filter_map(|(_, definition)| self.assembly_of(definition));
            scopes = inner.map(Some).collect::<BTreeSet<_>>().into_iter().collect();
        }
        scopes.into_iter().flat_map(|scope| self.named(last, scope)).collect()
    }

    fn named(&self, name: &str, assembly: Option<usize>) -> Vec<(&Statement, &Definition)> {
        self.definitions(assembly).filter(|(_, definition)| self.part(definition.name) == name).collect()
    }

    /// Index of the assembly that an instance places.
    pub(crate) fn assembly_of(&self, instance: &Definition) -> Option<usize> {
        let wanted = self.part(instance.assembly?);
        let is_it = |statement: &Statement| {
            let definition = statement.definition.as_ref();
            definition.is_some_and(|each| each.role == Role::Assembly && self.part(each.name) == wanted)
        };
        self.outline.statements.iter().position(is_it)
    }

    /// The nodes known at a place, sorted.
    pub(crate) fn nodes(&self, assembly: Option<usize>) -> BTreeSet<&str> {
        let mut spans: Vec<Span> =
            self.definitions(assembly).flat_map(|(_, definition)| non_terminals(definition)).collect();
        spans.extend(self.terminals(assembly));
        let names = spans.into_iter().map(|span| self.part(span)).take(MOST);
        names.chain(["gnd"]).collect()
    }

    fn terminals(&self, assembly: Option<usize>) -> Vec<Span> {
        let statement = assembly.map(|index| &self.outline.statements[index]);
        statement.and_then(|each| each.definition.as_ref()).map_or_else(Vec::new, |each| each.nodes.clone())
    }

    /// The parameters of an assembly.
    pub(crate) fn parameters(&self, assembly: usize) -> Vec<&str> {
        let definition = self.outline.statements[assembly].definition.as_ref();
        let spans = definition.map_or(&[][..], |each| &each.parameters);
        spans.iter().map(|span| self.part(*span)).collect()
    }

    /// Names with the given roles, those inside instances as `INSTANCE.NAME` where they are parts.
    pub(crate) fn names(&self, assembly: Option<usize>, wanted: fn(Role) -> bool) -> Vec<(String, Role)> {
        let mut found = Vec::new();
        self.gather_names(assembly, "", wanted, DEEPEST, &mut found);
        found.sort_by(|(one, _), (other, _)| one.cmp(other));
        found.dedup_by(|(one, _), (other, _)| one == other);
        found
    }

    fn gather_names(
        &self,
        assembly: Option<usize>,
        prefix: &str,
        wanted: fn(Role) -> bool,
        depth: usize,
        found: &mut Vec<(String, Role)>,
    ) {
        for (_, definition) in self.definitions(assembly) {
            if found.len() >= MOST {
                return;
            }
            let name = format!("{prefix}{}", self.part(definition.name));
            let inner = Some(definition).filter(|_| depth > 0).and_then(|each| self.assembly_of(each));
            if let Some(inner) = inner
                && wanted(Role::Part(None))
            {
                self.gather_names(Some(inner), &format!("{name}."), wanted, depth - 1, found);
            }
            let outside = prefix.is_empty() || matches!(definition.role, Role::Part(_) | Role::Instance);
            if wanted(definition.role) && outside {
                found.push((name, definition.role));
            }
        }
    }
}

/// The nodes that a part or an instance is put on.
fn non_terminals(definition: &Definition) -> Vec<Span> {
    if definition.role == Role::Assembly { Vec::new() } else { definition.nodes.clone() }
}

pub(crate) fn role(statement: &Statement) -> Option<Role> {
    statement.definition.as_ref().map(|definition| definition.role)
}
