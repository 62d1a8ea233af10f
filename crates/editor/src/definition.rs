//! Where a name comes from.

use crate::document::Document;
use crate::names::role;
use language::Span;
use language::outline::Role;
use lsp_types::{Location, Position};

/// The places that define the name at a place; several where options share a name.
pub(crate) fn definition(document: &Document, position: Position) -> Vec<Location> {
    let byte = document.byte(position);
    let Some(word) = document.word_at(byte).filter(|_| !document.in_comment(byte)) else { return Vec::new() };
    let spans = places(document, word);
    spans.into_iter().map(|span| Location::new(document.uri.clone(), document.range(span))).collect()
}

fn places(document: &Document, word: usize) -> Vec<Span> {
    let (first, last) = document.path(word);
    let byte = document.outline.lexemes[word].span.start;
    let assembly = document.assembly_at(byte);
    let path = document.between(first, last);
    let names = |assembly| -> Vec<Span> {
        document.find(path, assembly).into_iter().map(|(_, definition)| definition.name).collect()
    };
    let mut found = names(assembly);
    if let Some(definition) =
        assembly.and_then(|index| document.outline.statements[index].definition.as_ref())
    {
        let inner = definition.parameters.iter().chain(&definition.nodes);
        found.extend(inner.filter(|span| document.part(**span) == path));
    }
    if found.is_empty() && assembly.is_some() {
        // Assemblies and lets of the file are known inside of assemblies too.
        found = names(None);
    }
    if found.is_empty()
        && let Some(span) = property_of_part(document, word)
    {
        return vec![span];
    }
    if found.is_empty() {
        // A node has no statement of its own; its first use stands for it.
        let nodes =
            document.definitions(assembly).filter(|(statement, _)| role(statement) != Some(Role::Assembly));
        let mut nodes = nodes.flat_map(|(_, definition)| &definition.nodes);
        found.extend(nodes.find(|span| document.part(**span) == path));
    }
    found
}

/// In `set PART.PROPERTY`, the part for its property.
fn property_of_part(document: &Document, word: usize) -> Option<Span> {
    let (first, last) = document.path(word);
    let part = last.checked_sub(2).filter(|part| *part >= first)?;
    let assembly = document.assembly_at(document.outline.lexemes[word].span.start);
    let found = document.find(document.between(first, part), assembly);
    found.first().map(|(_, definition)| definition.name)
}
