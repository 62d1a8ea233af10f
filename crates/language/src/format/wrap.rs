//! The part of a statement that may go over several lines.

use super::WIDTH;
use super::lines::Line;
use super::pieces::Piece;
use crate::kinds::is_reserved;
use crate::token::TokenKind;
use crate::words::STATEMENTS;

/// Beyond this column lines would have no room left, and going on begins near the margin instead.
const FARTHEST: usize = 60;

/// A stretch of pieces without a place to break in it.
struct Stretch<'a, 'p> {
    pieces: &'p [Piece<'a>],
    text: String,
    length: usize,
    /// Whether a line must begin here.
    forced: bool,
    /// Brackets that are open where it begins.
    depth: usize,
}

/// Puts pieces behind `head`, which is indented by `indent`. Lines are broken where they were after a comma, and after
/// further commas where they are too long; they go on below the first piece. `free` tells that any word may begin a line.
pub(super) fn wrap<'a>(head: String, indent: usize, pieces: &[Piece<'a>], free: bool) -> Vec<Line<'a>> {
    let column = head.chars().count();
    let column = if column > FARTHEST { indent + 2 * super::STEP } else { column };
    let stretches = stretches(pieces);
    let mut lines = Vec::new();
    let mut length = head.chars().count();
    let mut line = Line { text: head, comment: None };
    for (index, stretch) in stretches.iter().enumerate() {
        let Some(first) = stretch.pieces.first() else { continue };
        let ahead = if stretch.depth == 0 { whole(&stretches[index..]) } else { stretch.length };
        let may = index > 0 && (free || !begins_like_statement(first));
        if stretch.forced || (may && length + first.space + ahead > WIDTH) {
            let mut comments = first.comments.iter().peekable();
            line.comment = comments.next_if(|comment| !comment.own_line).map(|comment| comment.text);
            lines.push(line);
            let margin = " ".repeat(column);
            lines.extend(
                comments.map(|comment| Line { text: format!("{margin}{}", comment.text), comment: None }),
            );
            line = Line { text: margin, comment: None };
            length = column;
        } else if index > 0 {
            line.text.extend(std::iter::repeat_n(' ', first.space));
            length += first.space;
        }
        line.text.push_str(&stretch.text);
        length += stretch.length;
    }
    lines.push(line);
    lines
}

/// Length up to the next place to break outside brackets.
fn whole(stretches: &[Stretch<'_, '_>]) -> usize {
    let mut length = 0;
    for (index, stretch) in stretches.iter().enumerate() {
        // More than a line's worth is too long whatever follows.
        if index > 0 && (stretch.depth == 0 || stretch.forced) || length > WIDTH {
            break;
        }
        let space = if index > 0 { stretch.pieces.first().map_or(0, |first| first.space) } else { 0 };
        length += space + stretch.length;
    }
    length
}

fn stretches<'a, 'p>(pieces: &'p [Piece<'a>]) -> Vec<Stretch<'a, 'p>> {
    let mut stretches = Vec::new();
    let (mut depth, mut start, mut start_depth, mut start_forced) = (0_usize, 0, 0, false);
    for (index, piece) in pieces.iter().enumerate() {
        let after_comma = index > 0 && pieces[index - 1].kind == TokenKind::Comma;
        let forced = !piece.comments.is_empty() || (after_comma && piece.new_line);
        if index > 0 && (after_comma || forced) {
            stretches.push(stretch(&pieces[start..index], start_forced, start_depth));
            (start, start_depth) = (index, depth);
        }
        if index == start {
            start_forced = forced;
        }
        match piece.kind {
            TokenKind::OpenParenthesis | TokenKind::OpenBracket => depth += 1,
            TokenKind::CloseParenthesis | TokenKind::CloseBracket => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    stretches.push(stretch(&pieces[start..], start_forced, start_depth));
    stretches
}

fn stretch<'a, 'p>(pieces: &'p [Piece<'a>], forced: bool, depth: usize) -> Stretch<'a, 'p> {
    let text = super::spacing::row(pieces);
    Stretch { pieces, length: text.chars().count(), text, forced, depth }
}

/// After a comma, a line that begins with such a word would be taken for the next statement.
fn begins_like_statement(piece: &Piece<'_>) -> bool {
    let word = piece.text;
    is_reserved(word) || STATEMENTS.contains(&word) || matches!(word, "option" | "case" | "set")
}
