//! The outline of a file: parts, axes with their options, and what is read off.

use crate::document::Document;
use language::Span;
use language::outline::{Role, Sort, Statement};
use lsp_types::{DocumentSymbol, SymbolKind};

/// Blocks inside blocks are shown so deep: an axis, its option, a part. More is not of the language.
const DEEPEST: usize = 3;

pub(crate) fn symbols(document: &Document) -> Vec<DocumentSymbol> {
    let statements = &document.outline.statements;
    let mut depths: Vec<usize> = Vec::with_capacity(statements.len());
    let mut found: Vec<Option<DocumentSymbol>> = Vec::with_capacity(statements.len());
    for statement in statements {
        // A holder stands before what it holds.
        let depth = statement.holder.and_then(|holder| depths.get(holder)).map_or(0, |depth| depth + 1);
        depths.push(depth);
        found.push(if depth < DEEPEST { symbol(document, statement) } else { None });
    }
    // From the last to the first, so that a symbol is whole before its holder takes it.
    let mut roots = Vec::new();
    let mut held: Vec<Vec<DocumentSymbol>> = vec![Vec::new(); statements.len()];
    for index in (0..statements.len()).rev() {
        let mut children = std::mem::take(&mut held[index]);
        let siblings = match statements[index].holder {
            Some(holder) => &mut held[holder],
            None => &mut roots,
        };
        match found[index].take() {
            Some(mut symbol) => {
                children.reverse();
                symbol.children = (!children.is_empty()).then_some(children);
                siblings.push(symbol);
            }
            None => siblings.extend(children),
        }
    }
    roots.reverse();
    roots
}

fn symbol(document: &Document, statement: &Statement) -> Option<DocumentSymbol> {
    let keyword = document.keyword(statement);
    let (name, place, kind, detail) = match &statement.definition {
        Some(definition) => {
            let nodes: Vec<&str> = definition.nodes.iter().map(|node| document.part(*node)).collect();
            let detail = match definition.role {
                Role::Part(_) => format!("{keyword} {}", nodes.join(" -> ")),
                Role::Instance | Role::Assembly => format!("{keyword} {}", nodes.join(", ")),
                _ => keyword.to_owned(),
            };
            (document.part(definition.name).to_owned(), definition.name, symbol_kind(definition.role), detail)
        }
        None if matches!(keyword, "require" | "frequency" | "transient" | "draws") => {
            let span = inner(document, statement)?;
            (one_line(document.part(span)), span, SymbolKind::BOOLEAN, keyword.to_owned())
        }
        None => return None,
    };
    #[allow(deprecated, reason = "the protocol's type has a field that is out of use and has no default")]
    Some(DocumentSymbol {
        name,
        detail: Some(detail),
        kind,
        tags: None,
        deprecated: None,
        range: document.range(statement.span),
        selection_range: document.range(place),
        children: None,
    })
}

/// A statement without its first word and its reason.
fn inner(document: &Document, statement: &Statement) -> Option<Span> {
    let lexemes = document.lexemes(statement).get(1..)?;
    let told: Vec<_> = lexemes.iter().filter(|lexeme| lexeme.sort != Sort::Text).collect();
    Some(Span { end: told.last()?.span.end, ..told.first()?.span })
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn symbol_kind(role: Role) -> SymbolKind {
    match role {
        Role::Part(_) => SymbolKind::OBJECT,
        Role::Let => SymbolKind::CONSTANT,
        Role::Testpoint => SymbolKind::EVENT,
        Role::Reading | Role::Response => SymbolKind::NUMBER,
        Role::Transient => SymbolKind::FUNCTION,
        Role::Assembly => SymbolKind::CLASS,
        Role::Instance => SymbolKind::MODULE,
        Role::Axis(_) => SymbolKind::ENUM,
        Role::Option => SymbolKind::ENUM_MEMBER,
    }
}
