//! What a word means.

use crate::context::{Expected, expected};
use crate::names::{Assembly, Found, View};
use language::Kind;
use language::kinds::{Allowed, KindTable, Property, Shape};
use language::meanings::{Word, of_statement};
use language::words::{readings, responses};
use lsp_types::{Hover, HoverContents, MarkupContent, MarkupKind, Position};
use quantity::Dimension;

/// Lines of a definition shown at most.
const MOST_LINES: usize = 12;

/// What the word at a place means, as Markdown with the word's range.
pub(crate) fn hover(view: View<'_>, position: Position) -> Option<Hover> {
    let byte = view.byte(position);
    let at = view.word_at(byte).filter(|_| !view.in_comment(byte))?;
    let span = view.outline.lexemes[at].span;
    // What is expected where the word begins is what the word is.
    let (expected, _) = expected(view, span.start);
    let word = view.part(span);
    let value = match expected {
        Expected::Statement(_) => keyword(word),
        Expected::Property(table, _) => table.property(word).map(|found| property(table, found)),
        Expected::Value(found) if matches!(found.shape, Shape::Words(_)) => {
            Some(format!("`{word}`: {}", found.meaning))
        }
        Expected::Words(_) => of_statement(word).map(statement),
        Expected::Unit(_) | Expected::ToleranceUnit(_) => None,
        _ => function(word).or_else(|| name(view, at)),
    };
    value.map(|value| Hover {
        contents: HoverContents::Markup(MarkupContent { kind: MarkupKind::Markdown, value }),
        range: Some(view.range(span)),
    })
}

/// A kind or a statement.
fn keyword(word: &str) -> Option<String> {
    if let Some(kind) = Kind::from_word(word) {
        let table = kind.table();
        let second = if kind.has_second_pair() { ", NODE -> NODE" } else { "" };
        let form = format!("{word} NAME NODE -> NODE{second}  PROPERTY VALUE, …");
        let names: Vec<String> = table.properties.iter().map(|each| format!("`{}`", each.name)).collect();
        return Some(format!("{}\n\n{}\n\nProperties: {}.", code(&form), table.meaning, names.join(", ")));
    }
    of_statement(word).map(statement)
}

fn statement(word: &Word) -> String {
    format!("{}\n\n{}", code(word.form), word.text)
}

fn function(word: &str) -> Option<String> {
    let (_, takes) = readings().chain(responses()).find(|(name, _)| *name == word)?;
    Some(format!("`{word}` of {takes}."))
}

/// Meaning, form, range and default of a property.
pub(crate) fn property(table: &KindTable, property: &Property) -> String {
    let mut lines = vec![format!("**{}** of {}: {}", property.name, table.noun(), property.meaning)];
    lines.push(format!("- value: {}", shape(property)));
    if let Some(allowed) = allowed(property) {
        lines.push(format!("- allowed: {allowed}"));
    }
    if let Some(default) = property.default {
        lines.push(format!("- where it is not given: {default}"));
    }
    lines.join("\n")
}

/// What the value looks like, in a few words.
pub(crate) fn shape(property: &Property) -> String {
    match property.shape {
        Shape::Number(dimension, unit) => number(dimension, unit),
        Shape::Count => "a whole number".to_owned(),
        Shape::Range(dimension, unit) => format!("a range `A .. B`, each {}", number(dimension, unit)),
        Shape::Points((_, first), (_, second)) => format!("a list `[… {first}: … {second}, …]`"),
        Shape::Course(dimension, unit) => {
            format!("{}, or a list `[… ms: … {unit}, …]`", number(dimension, unit))
        }
        Shape::Level => "a number in volt or ampere".to_owned(),
        Shape::Words(words) => {
            let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
            quoted.join(", ")
        }
        // A shape of a later edition.
        #[allow(unreachable_patterns)]
        _ => String::new(),
    }
}

fn number(dimension: Dimension, unit: &str) -> String {
    match quantity::unit_name(dimension) {
        _ if unit.is_empty() => "a plain number".to_owned(),
        Some(name) if name != unit && !dimension.is_none() => format!("a number in {name}, usually {unit}"),
        _ => format!("a number in {unit}"),
    }
}

fn allowed(property: &Property) -> Option<String> {
    let dimension = match property.shape {
        _ if property.allowed == Allowed::Any => return None,
        Shape::Number(dimension, _) | Shape::Range(dimension, _) | Shape::Course(dimension, _) => dimension,
        Shape::Points(_, (dimension, _)) => dimension,
        Shape::Count => {
            return Some(match property.allowed {
                // A ratio's description would show percents.
                Allowed::Between(low, high) => format!("from {low} to {high}"),
                other => other.describe(Dimension::NONE),
            });
        }
        _ => return None,
    };
    Some(property.allowed.describe(dimension))
}

/// The statement that defines a name, as it is written.
fn name(view: View<'_>, word: usize) -> Option<String> {
    let (first, last) = view.path(word);
    let byte = view.outline.lexemes[word].span.start;
    let assembly = view.assembly_at(byte);
    let path = view.own.between(first, last);
    let found = view.find(path, assembly);
    if found.is_empty() {
        return node(view, path, assembly);
    }
    let mut texts: Vec<String> = found.iter().map(|each| code(&shown(*each))).collect();
    if let [one] = found.as_slice()
        && let language::outline::Role::Part(Some(kind)) = one.definition.role
    {
        texts.push(kind.table().meaning.to_owned());
    }
    Some(texts.join("\n\n"))
}

/// The parts and instances on a node.
fn node(view: View<'_>, name: &str, assembly: Option<Assembly>) -> Option<String> {
    let on = |found: &Found<'_>| found.definition.nodes.iter().any(|node| found.document.part(*node) == name);
    let users: Vec<String> =
        view.definitions(assembly).filter(on).map(|found| format!("`{}`", found.name())).collect();
    (!users.is_empty()).then(|| format!("node `{name}`, which joins {}", users.join(", ")))
}

/// A statement's text, cut where it is long.
fn shown(found: Found<'_>) -> String {
    let lines: Vec<&str> = found.document.part(found.statement.span).lines().collect();
    let mut text = lines.iter().take(MOST_LINES).copied().collect::<Vec<_>>().join("\n");
    if lines.len() > MOST_LINES {
        text.push_str("\n…");
    }
    text
}

/// A block of code in Markdown; the fence is longer than any row of backquotes that a text of the language has.
fn code(text: &str) -> String {
    let fence = if text.contains("```") { "``````" } else { "```" };
    format!("{fence}harness\n{text}\n{fence}")
}
