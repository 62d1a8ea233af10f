//! Whether two texts say the same: the same words and signs, statements and comments in the same order.

use super::pieces::{Piece, pieces};
use super::spacing::is_tied;
use crate::token::TokenKind;

pub(super) fn same(one: &str, other: &str) -> bool {
    let (one, other) = (pieces(one), pieces(other));
    comments(&one).eq(comments(&other)) && said(&one) == said(&other)
}

fn comments<'a>(pieces: &'a [Piece<'a>]) -> impl Iterator<Item = &'a str> {
    pieces.iter().flat_map(|piece| &piece.comments).map(|comment| comment.text)
}

/// A word or sign, and what of its place has a meaning.
#[derive(PartialEq, Eq)]
struct Said<'a> {
    kind: TokenKind,
    text: &'a str,
    /// Whether a statement begins with it. Next to a brace that goes without saying.
    begins: bool,
    /// Whether it may form a value code with the number before it.
    tied: bool,
}

fn said<'a>(pieces: &[Piece<'a>]) -> Vec<Said<'a>> {
    let mut all: Vec<Said<'a>> = Vec::new();
    for piece in pieces {
        let is_brace = |kind| matches!(kind, TokenKind::OpenBrace | TokenKind::CloseBrace | TokenKind::End);
        let border = is_brace(piece.kind) || all.last().is_none_or(|last| is_brace(last.kind));
        // The comma at the end of a statement says nothing.
        let ends = piece.separated || matches!(piece.kind, TokenKind::CloseBrace | TokenKind::End);
        if ends {
            all.pop_if(|last| last.kind == TokenKind::Comma);
        }
        let after_number = all.last().is_some_and(|last| last.kind == TokenKind::Number);
        all.push(Said {
            kind: piece.kind,
            text: piece.text,
            begins: piece.separated && !border,
            tied: after_number && piece.kind == TokenKind::Word && is_tied(piece),
        });
    }
    all
}
