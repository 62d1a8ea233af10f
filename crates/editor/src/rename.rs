//! Another name for something of the text, wherever the text speaks of it.

use crate::context::{Expected, expected};
use crate::definition::places;
use crate::document::Document;
use crate::include::Files;
use crate::names::{Place, View};
use language::kinds::Shape;
use language::outline::{Role, Sort};
use language::{Mistake, Source, Span};
use lsp_types::{Position, TextEdit, Uri, WorkspaceEdit};
use std::collections::HashMap;

/// The edits that give what is named at a place another name.
///
/// # Errors
/// Why that can't be, in a sentence: there is no name, it belongs to another file, or the text would mean something else.
pub(crate) fn rename(
    view: View<'_>,
    position: Position,
    new: &str,
    files: &Files<'_>,
) -> Result<WorkspaceEdit, String> {
    let byte = view.byte(position);
    let word = view.word_at(byte).filter(|_| !view.in_comment(byte));
    let word = word.ok_or("There is no name here: put the pointer on one.")?;
    let old = text_of(view.own, word);
    let family = family(view, word).ok_or_else(|| {
        format!("`{old}` can't be renamed: it is no name of a part, node, value, reading, axis or option.")
    })?;
    let foreign = |place: &&Place<'_>| !std::ptr::eq(place.document, view.own);
    if let Some(place) = defined(view, word, family).iter().find(foreign) {
        return Err(format!("`{old}` comes from {}: rename it there.", place.document.source.name));
    }
    let users = |other: &&Document| family != Family::Axis && speaks_of(other, old, family);
    if let Some(other) = view.included.iter().find(users) {
        let file = &other.source.name;
        return Err(format!(
            "`{old}` is used in {file}, which this text includes: rename it by hand in both."
        ));
    }
    let words = occurrences(view, word, family);
    check(view, &words, new, files).map_err(|told| format!("`{old}` can't be renamed to `{new}`: {told}"))?;
    let spans = words.iter().map(|word| view.outline.lexemes[*word].span);
    let edits = spans.map(|span| TextEdit::new(view.range(span), new.to_owned()));
    #[allow(clippy::mutable_key_type, reason = "the protocol's type has addresses as keys")]
    let changes: HashMap<Uri, Vec<TextEdit>> = HashMap::from([(view.uri.clone(), edits.collect())]);
    Ok(WorkspaceEdit { changes: Some(changes), ..WorkspaceEdit::default() })
}

/// Where the name is defined that a word speaks of.
fn defined(view: View<'_>, word: usize, family: Family) -> Vec<Place<'_>> {
    match family {
        Family::Axis => vec![Place { document: view.own, span: view.outline.lexemes[word].span }],
        _ => places(view, word),
    }
}

/// Every word of the text itself that speaks of what the given one does, as indices of lexemes.
fn occurrences(view: View<'_>, word: usize, of: Family) -> Vec<usize> {
    let (name, meant) = (text_of(view.own, word), defined(view, word, of));
    let is_meant = |other: usize| {
        let found = defined(view, other, of);
        found.iter().any(|place| {
            meant.iter().any(|one| one.span == place.span && std::ptr::eq(one.document, place.document))
        })
    };
    let alike = words(view.own).filter(|other| text_of(view.own, *other) == name);
    alike.filter(|other| family(view, *other) == Some(of) && is_meant(*other)).collect()
}

/// Whether a text uses a name that it does not define itself, other than by putting parts on a node.
fn speaks_of(text: &Document, name: &str, of: Family) -> bool {
    let view = View { own: text, included: &[] };
    let nodes: Vec<Span> = view.nodes_used(None).map(|used| used.span).collect();
    let mut alike = words(text).filter(|word| text_of(text, *word) == name);
    alike.any(|word| {
        family(view, word) == Some(of) && places(view, word).iter().all(|place| nodes.contains(&place.span))
    })
}

/// Names that may be spelt alike and mean different things.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Family {
    /// Parts, nodes, lets, test points, readings and fitted assemblies, which share one set of names.
    Shared,
    Assembly,
    Transient,
    Response,
    /// Axes, options and cases: nothing in the text speaks of them.
    Axis,
}

impl Family {
    fn of(role: Role) -> Self {
        match role {
            Role::Assembly => Self::Assembly,
            Role::Transient => Self::Transient,
            Role::Response => Self::Response,
            Role::Axis(_) | Role::Option => Self::Axis,
            Role::Part(_) | Role::Let | Role::Testpoint | Role::Reading | Role::Instance => Self::Shared,
        }
    }
}

/// What a word names; nothing for words of the language, properties, parameters and units.
fn family(view: View<'_>, word: usize) -> Option<Family> {
    let lexemes = &view.outline.lexemes;
    let span = lexemes[word].span;
    let before = word.checked_sub(1).map(|before| lexemes[before].sort);
    if before == Some(Sort::Number) || view.own.part(span) == "gnd" {
        return None;
    }
    let statement = &view.outline.statements[view.outline.statement_of(word)?];
    if let Some(definition) = &statement.definition {
        if definition.name == span {
            return Some(Family::of(definition.role));
        }
        if definition.nodes.contains(&span) {
            return Some(Family::Shared);
        }
        if definition.parameters.contains(&span) {
            return None;
        }
    }
    match expected(view, span.start).0 {
        Expected::Assembly => Some(Family::Assembly),
        Expected::Transient => Some(Family::Transient),
        Expected::Argument("peak_gain" | "resonances") | Expected::Response if is_response(view, word) => {
            Some(Family::Response)
        }
        Expected::Value(property) if matches!(property.shape, Shape::Words(_)) => None,
        Expected::Node
        | Expected::FitNode
        | Expected::Value(_)
        | Expected::Number
        | Expected::Argument(_)
        | Expected::Reading
        | Expected::Response
        | Expected::Target => Some(Family::Shared),
        _ => None,
    }
}

fn is_response(view: View<'_>, word: usize) -> bool {
    let name = text_of(view.own, word);
    view.definitions(None).any(|found| found.definition.role == Role::Response && found.name() == name)
}

fn words(document: &Document) -> impl Iterator<Item = usize> {
    let lexemes = document.outline.lexemes.iter().enumerate();
    lexemes.filter(|(_, lexeme)| lexeme.sort == Sort::Word).map(|(at, _)| at)
}

fn text_of(document: &Document, word: usize) -> &str {
    document.part(document.outline.lexemes[word].span)
}

/// Whether the text says the same afterwards: the renamed words, and no others, speak of the same thing, and no mistake is new.
fn check(view: View<'_>, renamed: &[usize], new: &str, files: &Files<'_>) -> Result<(), String> {
    let mut text = view.text().to_owned();
    for word in renamed.iter().rev() {
        let span = view.outline.lexemes[*word].span;
        text.replace_range(span.start..span.end, new);
    }
    let after = Document::new(view.uri.clone(), view.version, text);
    // Blanks and signs would make several words of it.
    if after.outline.lexemes.len() != view.outline.lexemes.len() {
        return Err(
            "a name is one word of letters, digits and `_`, and begins with a letter or `_`.".to_owned()
        );
    }
    let told = |source: &Source| match language::read_with(source, &[], files).description {
        Ok(description) => [description.remarks(), description.without_effect()].concat(),
        Err(mistakes) => mistakes,
    };
    let (old, new) = (told(&view.source), told(&after.source));
    let codes = |list: &[Mistake]| list.iter().map(|one| one.code).collect::<Vec<_>>();
    let known = codes(&old);
    if known != codes(&new) {
        let first = new.iter().find(|one| !known.contains(&one.code));
        return Err(first.map_or_else(|| OTHERWISE.to_owned(), |one| format!("{}.", one.message)));
    }
    let view = View { own: &after, ..view };
    let first = renamed.first().copied();
    let same = first.is_none_or(|first| {
        family(view, first).is_some_and(|family| occurrences(view, first, family) == renamed)
    });
    if same { Ok(()) } else { Err(OTHERWISE.to_owned()) }
}

const OTHERWISE: &str = "the text would mean something else.";
