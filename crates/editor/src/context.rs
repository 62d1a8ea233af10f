//! What is expected at a place of a text: the question behind completion and explanations.

mod expression;
mod part;
mod statement;

use crate::names::View;
use language::kinds::{KindTable, Property};
use language::outline::{Lexeme, Sort};
use quantity::Dimension;

/// What may stand at a place.
#[derive(Debug)]
pub(crate) enum Expected<'a> {
    /// Nothing that could be offered: a new name, a number, a text.
    Nothing,
    /// The first word of a statement, where the statement with this keyword holds the place (empty at the top).
    Statement(&'a str),
    /// One of these words.
    Words(&'static [&'static str]),
    /// A node.
    Node,
    /// The name of a property, other than those stated.
    Property(&'static KindTable, Vec<&'a str>),
    /// The value of a property.
    Value(&'static Property),
    /// A number, or the name of a value.
    Number,
    /// A unit of this dimension, the usual one first; every unit where the dimension is unknown.
    Unit(Option<(Dimension, &'static str)>),
    /// A unit of a tolerance on a value of this dimension.
    ToleranceUnit(Option<(Dimension, &'static str)>),
    /// What a test point looks at.
    Signal,
    /// An argument of this function.
    Argument(&'a str),
    /// A reading, or something to calculate one from.
    Reading,
    /// A curve, or something to calculate one from.
    Response,
    /// A part, or a `let`, to set.
    Target,
    /// The name of an assembly.
    Assembly,
    /// A node of a fit, or (after the first) a parameter of the assembly with this name.
    FitNode,
    /// A parameter of the assembly with this name, other than those stated.
    Parameter(&'a str, Vec<&'a str>),
    /// The name of a transient.
    Transient,
}

/// What is expected at a byte, and the byte where the word that is being typed begins.
pub(crate) fn expected(view: View<'_>, byte: usize) -> (Expected<'_>, usize) {
    let document = view.own;
    let nothing = (Expected::Nothing, byte);
    if document.in_comment(byte) {
        return nothing;
    }
    let lexemes = &document.outline.lexemes;
    let Some(mut last) = document.lexeme_before(byte) else { return (Expected::Statement(""), byte) };
    let mut begin = byte;
    let touched = lexemes[last];
    // A closed text ends before its end; an open one goes on to the line's end.
    let closed = touched.span.end - touched.span.start > 1 && document.part(touched.span).ends_with('"');
    match touched.sort {
        Sort::Text if byte < touched.span.end || !closed => return nothing,
        Sort::Number if byte <= touched.span.end => return nothing,
        Sort::Word if byte <= touched.span.end => {
            begin = touched.span.start;
            match last.checked_sub(1) {
                Some(before) => last = before,
                None => return (Expected::Statement(""), begin),
            }
        }
        _ => {}
    }
    if matches!(lexemes[last].sort, Sort::End | Sort::OpenBlock | Sort::CloseBlock) {
        return (statement::first_word(view.own, begin), begin);
    }
    let Some(index) = document.outline.statement_of(last) else { return nothing };
    let statement = &document.outline.statements[index];
    let before = Before { view, lexemes: &lexemes[statement.lexemes.start..=last], byte };
    (statement::inside(&before), before.path_begin(begin))
}

/// A statement up to the place that is looked at.
pub(crate) struct Before<'a> {
    view: View<'a>,
    /// Not empty.
    lexemes: &'a [Lexeme],
    byte: usize,
}

impl<'a> Before<'a> {
    /// The text of a lexeme; empty where there is none.
    fn text(&self, at: usize) -> &'a str {
        self.lexemes.get(at).map_or("", |lexeme| self.view.own.part(lexeme.span))
    }

    fn sort(&self, at: usize) -> Option<Sort> {
        self.lexemes.get(at).map(|lexeme| lexeme.sort)
    }

    fn len(&self) -> usize {
        self.lexemes.len()
    }

    fn last(&self) -> Option<Sort> {
        self.lexemes.last().map(|lexeme| lexeme.sort)
    }

    fn last_text(&self) -> &'a str {
        self.text(self.len().saturating_sub(1))
    }

    /// The same without the first lexemes; empty where there are no more.
    fn after(&self, count: usize) -> Self {
        let lexemes = self.lexemes.get(count..).unwrap_or_default();
        Self { view: self.view, lexemes, byte: self.byte }
    }

    /// Index after the last comma that is in no parentheses, from an index on.
    fn last_item(&self, from: usize) -> usize {
        let mut depth = 0_usize;
        let mut item = from;
        for (at, lexeme) in self.lexemes.iter().enumerate().skip(from) {
            match lexeme.sort {
                Sort::Open => depth += 1,
                Sort::Close => depth = depth.saturating_sub(1),
                Sort::Comma if depth == 0 => item = at + 1,
                _ => {}
            }
        }
        item
    }

    /// The first words after each comma that is in no parentheses, from an index on, but for the last.
    fn stated(&self, from: usize) -> Vec<&'a str> {
        let mut depth = 0_usize;
        let mut found = vec![self.text(from)];
        for (at, lexeme) in self.lexemes.iter().enumerate().skip(from) {
            match lexeme.sort {
                Sort::Open => depth += 1,
                Sort::Close => depth = depth.saturating_sub(1),
                Sort::Comma if depth == 0 => found.push(self.text(at + 1)),
                _ => {}
            }
        }
        found
    }

    /// Where a path begins that ends with the word at `begin`; a property after a part's dot is a word of its own.
    fn path_begin(&self, begin: usize) -> usize {
        if self.text(0) == "set" || self.last() != Some(Sort::Dot) {
            return begin;
        }
        let mut first = begin;
        for lexeme in self.lexemes.iter().rev() {
            if !matches!(lexeme.sort, Sort::Dot | Sort::Word) || lexeme.span.end != first {
                break;
            }
            first = lexeme.span.start;
        }
        first
    }
}
