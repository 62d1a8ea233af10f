//! Spaces between the words and signs of one statement.

use super::pieces::Piece;
use crate::token::TokenKind;
use quantity::{looks_like_value_code, parse_unit};

/// Sets the spaces before every piece. A word at `properties` names a property, after which a value follows.
pub(super) fn space(pieces: &mut [Piece<'_>], properties: Option<usize>) {
    let mut state = State { value_next: true, depth: 0 };
    let mut before: Option<Role> = None;
    for index in 0..pieces.len() {
        let role = state.role(pieces, index, properties);
        let space = match (before, index.checked_sub(1).and_then(|index| pieces.get(index))) {
            (Some(left), Some(piece)) => between(left, piece, &pieces[index]),
            _ => 0,
        };
        pieces[index].space = space;
        before = Some(role);
    }
}

/// What a piece does in its statement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Role {
    /// A word that announces a value: a property, or a word of the language.
    Announces,
    /// The sign of a value.
    Sign,
    Other,
}

struct State {
    /// Whether a value is due, so that a minus is its sign.
    value_next: bool,
    depth: usize,
}

impl State {
    fn role(&mut self, pieces: &[Piece<'_>], index: usize, properties: Option<usize>) -> Role {
        let piece = &pieces[index];
        let before = index.checked_sub(1).map(|before| pieces[before].kind);
        let role = match piece.kind {
            TokenKind::Word => {
                let goes_on = match before {
                    Some(TokenKind::Number) => piece.glued || parse_unit(piece.text).is_ok(),
                    other => other == Some(TokenKind::Dot),
                };
                let stands_first = index == 0
                    || properties == Some(index)
                    || (index == 1 && matches!(piece.text, "span" | "start" | "record"))
                    || (self.depth == 0 && before == Some(TokenKind::Comma));
                // Two words in a row: the second is none of a formula.
                if stands_first || (!goes_on && !self.value_next) { Role::Announces } else { Role::Other }
            }
            TokenKind::Minus | TokenKind::Plus if self.value_next => Role::Sign,
            _ => Role::Other,
        };
        self.value_next = match piece.kind {
            TokenKind::Word => role == Role::Announces,
            TokenKind::Number
            | TokenKind::Text
            | TokenKind::Percent
            | TokenKind::CloseParenthesis
            | TokenKind::CloseBracket => false,
            _ => true,
        };
        match piece.kind {
            TokenKind::OpenParenthesis | TokenKind::OpenBracket => self.depth += 1,
            TokenKind::CloseParenthesis | TokenKind::CloseBracket => {
                self.depth = self.depth.saturating_sub(1);
            }
            _ => {}
        }
        role
    }
}

fn between(left: Role, before: &Piece<'_>, piece: &Piece<'_>) -> usize {
    use TokenKind::{
        CloseBracket, CloseParenthesis, Colon, Comma, Dot, Minus, Number, OpenBracket, OpenParenthesis, Word,
    };
    let tight = match (before.kind, piece.kind) {
        (_, Comma | Colon | CloseParenthesis | CloseBracket | Dot) => true,
        (OpenParenthesis | OpenBracket | Dot, _) => true,
        // `+ -` must not become `+-`.
        (TokenKind::Plus, Minus) => false,
        _ if left == Role::Sign => true,
        (Word, OpenParenthesis) => left != Role::Announces,
        (Number, Word) => is_tied(piece),
        _ => false,
    };
    usize::from(!tight)
}

/// Whether a word right after a number stays there: in `4k7` and `100n` it is no unit, and in `4m2` and `10m` it need not be one.
pub(super) fn is_tied(word: &Piece<'_>) -> bool {
    // `F` and `H` mark the unit itself in a code: either way `10F` is ten farads.
    let is_unit = parse_unit(word.text).is_ok() && !looks_like_value_code(&format!("1{}", word.text));
    word.glued && !(is_unit || matches!(word.text, "F" | "H"))
}

/// The pieces in a row, with their spaces; those before the first are left out.
pub(super) fn row(pieces: &[Piece<'_>]) -> String {
    let mut text = String::new();
    for (index, piece) in pieces.iter().enumerate() {
        if index > 0 {
            text.extend(std::iter::repeat_n(' ', piece.space));
        }
        text.push_str(piece.text);
    }
    text
}
