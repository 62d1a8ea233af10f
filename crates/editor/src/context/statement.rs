//! Statements one by one.

use super::{Before, Expected, expression, part};
use crate::document::Document;
use language::Kind;
use language::outline::Sort;
use language::words::{DIVISIONS, STARTS};
use quantity::Dimension;

pub(super) fn first_word(document: &Document, byte: usize) -> Expected<'_> {
    let holder = document.outline.holder_at(byte).map(|index| &document.outline.statements[index]);
    Expected::Statement(holder.map_or("", |holder| document.keyword(holder)))
}

/// After the first word of a statement.
pub(super) fn inside<'a>(before: &Before<'a>) -> Expected<'a> {
    match before.text(0) {
        "let" => after_equals(before, expression::number),
        "testpoint" => after_equals(before, testpoint),
        "reading" => after_equals(before, expression::reading),
        "require" => expression::reading(&before.after(1)),
        "response" => after_equals(before, expression::response),
        "set" => set(before),
        "transient" => transient(before),
        "frequency" => frequency(before),
        "fit" => fit(before),
        "sweep" => sweep(before),
        "draws" => draws(before),
        "place" => place(before),
        word => match Kind::from_word(word) {
            Some(kind) => part::inside(kind, before),
            None => Expected::Nothing,
        },
    }
}

/// `place NODE -> NODE, return NODE`
fn place<'a>(before: &Before<'a>) -> Expected<'a> {
    match before.last() {
        Some(Sort::Comma) => Expected::Words(&["return"]),
        Some(Sort::Arrow) => Expected::Node,
        _ if before.len() == 1 || before.last_text() == "return" => Expected::Node,
        _ => Expected::Nothing,
    }
}

fn equals(before: &Before<'_>) -> Option<usize> {
    before.lexemes.iter().position(|lexeme| lexeme.sort == Sort::Equals)
}

fn after_equals<'a>(before: &Before<'a>, then: fn(&Before<'a>) -> Expected<'a>) -> Expected<'a> {
    equals(before).map_or(Expected::Nothing, |at| then(&before.after(at + 1)))
}

/// `voltage(NODE), bandwidth F`
fn testpoint<'a>(before: &Before<'a>) -> Expected<'a> {
    let item = before.last_item(0);
    if item == 0 {
        return match before.last() {
            None => Expected::Signal,
            Some(Sort::Close) => Expected::Nothing,
            _ => expression::argument(before),
        };
    }
    let rest = before.after(item);
    match rest.last() {
        None => Expected::Words(&["bandwidth"]),
        Some(_) => expression::of_dimension(&rest.after(1), (Dimension::FREQUENCY, "MHz")),
    }
}

/// `set PART.PROPERTY = VALUE` or `set NAME = VALUE`
fn set<'a>(before: &Before<'a>) -> Expected<'a> {
    let target_end = equals(before).unwrap_or(before.len());
    let dots = before.lexemes[..target_end].iter().rposition(|lexeme| lexeme.sort == Sort::Dot);
    let table = dots.and_then(|dot| part_table(before, 1, dot));
    if target_end == before.len() {
        return match (before.last(), table) {
            (Some(Sort::Dot), Some(table)) => Expected::Property(table, Vec::new()),
            (Some(Sort::Dot), None) => Expected::Target,
            _ if before.len() == 1 => Expected::Target,
            _ => Expected::Nothing,
        };
    }
    let value = before.after(target_end + 1);
    match dots {
        None => expression::number(&value),
        Some(dot) => {
            let property = table.and_then(|table| table.property(before.text(dot + 1)));
            property.map_or(Expected::Nothing, |property| part::value(property, &value))
        }
    }
}

/// The table of the part whose path is written from one index up to another.
fn part_table(before: &Before<'_>, from: usize, to: usize) -> Option<&'static language::kinds::KindTable> {
    let words = before.lexemes.get(from..to)?;
    let path: String = words.iter().map(|lexeme| before.view.own.part(lexeme.span)).collect();
    let assembly = before.view.assembly_at(before.byte);
    let mut kinds = before.view.find(&path, assembly).into_iter();
    kinds.find_map(|found| match found.definition.role {
        language::outline::Role::Part(kind) => kind.map(Kind::table),
        _ => None,
    })
}

/// `transient NAME span T, start steady, record dt`
fn transient<'a>(before: &Before<'a>) -> Expected<'a> {
    const WORDS: &[&str] = &["span", "start", "record"];
    let named = before.sort(1) == Some(Sort::Word) && !WORDS.contains(&before.text(1));
    let item = before.last_item(if named { 2 } else { 1 });
    let rest = before.after(item);
    match rest.text(0) {
        "" => Expected::Words(WORDS),
        "start" if rest.len() == 1 => Expected::Words(STARTS),
        "span" | "record" => expression::of_dimension(&rest.after(1), (Dimension::TIME, "ms")),
        _ => Expected::Nothing,
    }
}

/// `frequency A .. B, points N` or `frequency [F, F]`
fn frequency<'a>(before: &Before<'a>) -> Expected<'a> {
    let item = before.last_item(1);
    let rest = before.after(item);
    if item > 1 && rest.len() == 0 {
        return Expected::Words(&["points"]);
    }
    if rest.text(0) == "points" {
        return Expected::Nothing;
    }
    expression::of_dimension(&rest, (Dimension::FREQUENCY, "kHz"))
}

/// `draws N, seed S, normal`
fn draws<'a>(before: &Before<'a>) -> Expected<'a> {
    let item = before.last_item(1);
    if item > 1 && before.after(item).len() == 0 {
        Expected::Words(&["seed", "normal"])
    } else {
        Expected::Nothing
    }
}

/// `fit ASSEMBLY NAME NODE, NODE  PARAMETER VALUE, …`
fn fit<'a>(before: &Before<'a>) -> Expected<'a> {
    match before.len() {
        1 => return Expected::Assembly,
        2 => return Expected::Nothing,
        _ => {}
    }
    let mut end = 3;
    while before.sort(end) == Some(Sort::Word) && before.sort(end + 1) == Some(Sort::Comma) {
        end += 2;
    }
    if before.sort(end).is_none() {
        return Expected::FitNode;
    }
    let first = end + 1;
    let rest = before.after(before.last_item(first));
    if rest.len() == 0 {
        return Expected::Parameter(before.text(1), before.stated(first));
    }
    expression::number(&rest.after(1))
}

/// `sweep NAME over TARGET A .. B step S`
fn sweep<'a>(before: &Before<'a>) -> Expected<'a> {
    match before.len() {
        1 => return Expected::Nothing,
        2 => return Expected::Words(&["over"]),
        3 => return Expected::Target,
        _ => {}
    }
    let mut end = 4;
    while before.sort(end) == Some(Sort::Dot) && before.sort(end + 1).is_none_or(|sort| sort == Sort::Word) {
        end += 2;
    }
    let table = part_table(before, 3, end.saturating_sub(2));
    if before.last() == Some(Sort::Dot) {
        return table.map_or(Expected::Target, |table| Expected::Property(table, Vec::new()));
    }
    let property = table.and_then(|table| table.property(before.text(end - 1)));
    let rest = before.after(end);
    match rest.last() {
        Some(Sort::Word | Sort::Percent) if matches!(rest.last_text(), "step" | "steps" | "log") => {
            Expected::Number
        }
        Some(Sort::Word) if rest.last_text() == "series" => {
            Expected::Words(&["E3", "E6", "E12", "E24", "E48", "E96", "E192"])
        }
        Some(Sort::Word | Sort::Percent) => Expected::Words(DIVISIONS),
        _ => property.map_or_else(|| expression::number(&rest), |property| part::value(property, &rest)),
    }
}
