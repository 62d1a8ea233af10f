//! Statements as cells: what is aligned with the rows above and below, and the rest.

use super::pieces::Piece;
use super::spacing;
use crate::token::TokenKind;

/// Rows of one class that stand together share their columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Class {
    /// Parts and fitted assemblies.
    Part,
    /// Test points and readings.
    Seen,
    Let,
    Set,
    Require,
    /// Transients, frequencies, responses.
    Run,
    /// Everything else: nothing is aligned.
    Other,
}

/// A statement cut into cells.
#[derive(Debug)]
pub(super) struct Cells<'a> {
    pub(super) class: Class,
    /// Each with the spaces after it.
    pub(super) cells: Vec<(String, usize)>,
    /// What follows the last cell and may be broken into lines.
    pub(super) rest: Vec<Piece<'a>>,
}

/// Where cells begin: pairs of the first piece and the spaces after the cell; the rest begins at the last number.
struct Cut {
    class: Class,
    cells: Vec<(usize, usize)>,
    rest: usize,
}

/// Cuts a statement into cells and sets the spaces between its words.
pub(super) fn cells(mut pieces: Vec<Piece<'_>>) -> Cells<'_> {
    let mut cut = cut(&pieces);
    // A comment among the cells would tear them apart.
    if pieces.iter().take(cut.rest + 1).skip(1).any(|piece| !piece.comments.is_empty()) {
        cut = other();
    }
    let properties = (cut.class == Class::Part).then_some(cut.rest);
    spacing::space(&mut pieces, properties);
    if cut.class == Class::Run && is_named_transient(&pieces) {
        pieces[2].space = 2;
    }
    if cut.rest >= pieces.len() {
        cut.rest = cut.cells.pop().map_or(0, |(start, _)| start);
    }
    let ends = cut.cells.iter().skip(1).map(|(start, _)| *start).chain([cut.rest]);
    let cells =
        cut.cells.iter().zip(ends).map(|((start, gap), end)| (spacing::row(&pieces[*start..end]), *gap));
    let cells = cells.collect();
    Cells { class: cut.class, cells, rest: pieces.split_off(cut.rest.min(pieces.len())) }
}

fn other() -> Cut {
    Cut { class: Class::Other, cells: vec![(0, 1)], rest: 1 }
}

fn cut(pieces: &[Piece<'_>]) -> Cut {
    let kind = |index: usize| pieces.get(index).map(|piece| piece.kind);
    let named_value = kind(1) == Some(TokenKind::Word) && kind(2) == Some(TokenKind::Equals);
    let value = |class| Cut { class, cells: vec![(0, 1), (1, 1), (2, 1)], rest: 3 };
    match pieces.first().map_or("", |first| first.text) {
        "testpoint" | "reading" if named_value => value(Class::Seen),
        "let" if named_value => value(Class::Let),
        "set" => match pieces.iter().position(|piece| piece.kind == TokenKind::Equals) {
            Some(equals) if equals > 1 => {
                Cut { class: Class::Set, cells: vec![(0, 1), (1, 1), (equals, 1)], rest: equals + 1 }
            }
            _ => other(),
        },
        "require" if pieces.len() > 3 && kind(pieces.len() - 1) == Some(TokenKind::Text) => {
            Cut { class: Class::Require, cells: vec![(0, 1), (1, 2)], rest: pieces.len() - 1 }
        }
        "transient" | "frequency" | "response" | "draws" => Cut { class: Class::Run, ..other() },
        "fit" => fit(pieces).unwrap_or_else(other),
        _ => part(pieces).unwrap_or_else(other),
    }
}

fn is_named_transient(pieces: &[Piece<'_>]) -> bool {
    let word = |index: usize| pieces.get(index).filter(|piece| piece.kind == TokenKind::Word);
    word(0).is_some_and(|first| first.text == "transient")
        && word(1).is_some_and(|name| !matches!(name.text, "span" | "start" | "record"))
        && word(2).is_some()
}

fn are(pieces: &[Piece<'_>], from: usize, kinds: &[TokenKind]) -> bool {
    let found = pieces.get(from..from + kinds.len());
    found.is_some_and(|found| found.iter().map(|piece| &piece.kind).eq(kinds))
}

/// `KIND NAME NODE -> NODE`, perhaps with a second pair of nodes.
fn part(pieces: &[Piece<'_>]) -> Option<Cut> {
    const HEAD: &[TokenKind] =
        &[TokenKind::Word, TokenKind::Word, TokenKind::Word, TokenKind::Arrow, TokenKind::Word];
    const PAIR: &[TokenKind] = &[TokenKind::Comma, TokenKind::Word, TokenKind::Arrow, TokenKind::Word];
    let mut end = are(pieces, 0, HEAD).then_some(HEAD.len())?;
    while are(pieces, end, PAIR) {
        end += PAIR.len();
    }
    Some(Cut { class: Class::Part, cells: vec![(0, 1), (1, 1), (2, 2)], rest: end })
}

/// `fit ASSEMBLY NAME NODE, NODE`, with `fit` and the assembly in the place of a part's kind.
fn fit(pieces: &[Piece<'_>]) -> Option<Cut> {
    const HEAD: &[TokenKind] = &[TokenKind::Word; 4];
    const NODE: &[TokenKind] = &[TokenKind::Comma, TokenKind::Word];
    let mut end = are(pieces, 0, HEAD).then_some(HEAD.len())?;
    while are(pieces, end, NODE) {
        end += NODE.len();
    }
    Some(Cut { class: Class::Part, cells: vec![(0, 1), (2, 1), (3, 2)], rest: end })
}
