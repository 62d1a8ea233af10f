//! Where a name comes from.

use crate::names::{Assembly, Found, Place, View};
use language::outline::Role;
use lsp_types::{Location, Position};

/// The places that define the name at a place; several where options share a name.
pub(crate) fn definition(view: View<'_>, position: Position) -> Vec<Location> {
    let byte = view.byte(position);
    let Some(word) = view.word_at(byte).filter(|_| !view.in_comment(byte)) else { return Vec::new() };
    let mut places = places(view, word);
    if places.is_empty() {
        places.extend(part_of_property(view, word));
    }
    places.into_iter().map(Place::location).collect()
}

/// Every place that defines what the word names: a statement's name, a parameter, a terminal, or of other nodes the first use.
pub(crate) fn places(view: View<'_>, word: usize) -> Vec<Place<'_>> {
    let (first, last) = view.path(word);
    let assembly = scope(view, word);
    let before = last.checked_sub(2).filter(|before| *before >= first);
    let before = before.map(|before| view.own.between(first, before));
    let name = view.own.part(view.outline.lexemes[last].span);
    let is_it = |place: &Place<'_>| place.document.part(place.span) == name;
    let mut found = Vec::new();
    for scope in view.inside(before, assembly) {
        let named = view.definitions(scope).map(Found::place);
        found.extend(named.filter(is_it));
        let inner = [view.inner(scope, |each| &each.parameters), view.inner(scope, |each| &each.nodes)];
        found.extend(inner.into_iter().flatten().filter(is_it));
    }
    if found.is_empty() && before.is_none() && assembly.is_some() {
        // Assemblies and lets of the file are known inside of assemblies too.
        let outside = view.definitions(None);
        let outside = outside.filter(|found| matches!(found.definition.role, Role::Let | Role::Assembly));
        found.extend(outside.map(Found::place).filter(is_it));
    }
    if found.is_empty() {
        // A node has no statement of its own; its first use stands for it, in an included file where there is one.
        let first = |scope| {
            let uses = view.nodes_used(scope).filter(is_it);
            uses.min_by_key(|used| std::ptr::eq(used.document, view.own))
        };
        found.extend(view.inside(before, assembly).into_iter().filter_map(first));
    }
    found
}

/// The assembly whose names count where a word stands: terminals and parameters in its head belong to its inside.
fn scope(view: View<'_>, word: usize) -> Option<Assembly> {
    let span = view.outline.lexemes[word].span;
    let index = view.outline.statement_of(word);
    let definition = index.and_then(|index| view.own.outline.statements[index].definition.as_ref());
    let in_head = definition.is_some_and(|definition| {
        definition.role == Role::Assembly
            && (definition.nodes.contains(&span) || definition.parameters.contains(&span))
    });
    match index {
        Some(index) if in_head => Some((0, index)),
        _ => view.assembly_at(span.start),
    }
}

/// In `set PART.PROPERTY`, the part for its property.
fn part_of_property(view: View<'_>, word: usize) -> Option<Place<'_>> {
    let (first, last) = view.path(word);
    let part = last.checked_sub(2).filter(|part| *part >= first)?;
    let assembly = view.assembly_at(view.outline.lexemes[word].span.start);
    view.find(view.own.between(first, part), assembly).first().map(|found| found.place())
}
