//! Tokens together with what the parser passes over: comments, line ends, blank lines.

use crate::mistake::Sink;
use crate::token::{Token, TokenKind, all_tokens, without_inner_line_ends};

/// A comment, from its `#` to its last visible character.
#[derive(Clone, Debug)]
pub(super) struct Comment<'a> {
    pub(super) text: &'a str,
    /// Whether nothing but blanks stands before it on its line.
    pub(super) own_line: bool,
    /// Whether a blank line stands before it.
    pub(super) blank: bool,
}

/// A token that shows in print, and what stands between it and the one before.
#[derive(Clone, Debug)]
pub(super) struct Piece<'a> {
    pub(super) kind: TokenKind,
    pub(super) text: &'a str,
    pub(super) comments: Vec<Comment<'a>>,
    /// Whether it stands on another line than the piece before.
    pub(super) new_line: bool,
    /// Whether a blank line stands right before it.
    pub(super) blank: bool,
    /// Whether the end of a statement stands before it.
    pub(super) separated: bool,
    /// Whether nothing at all stands before it.
    pub(super) glued: bool,
    /// Spaces to print before it.
    pub(super) space: usize,
}

/// All pieces of a text, the last one of kind `End`.
pub(super) fn pieces(text: &str) -> Vec<Piece<'_>> {
    // Mistakes are told by the parser, which is asked first.
    let all = all_tokens(text, 0, &mut Sink::default());
    let kept = without_inner_line_ends(all.clone());
    let mut kept = kept.iter().map(|token| token.span(0)).peekable();
    let mut gap = Gap { comments: Vec::new(), line_ends: 1, since: 1, separated: true };
    let mut pieces = Vec::new();
    let mut end = 0;
    for token in all {
        let span = token.span(0);
        gap.read(&text[end..span.start]);
        let is_kept = kept.next_if_eq(&span).is_some();
        match token.kind {
            TokenKind::LineEnd => gap.line_end(is_kept),
            TokenKind::Semicolon => gap.separated = true,
            _ => pieces.push(gap.close(token, text, end == span.start)),
        }
        end = span.end;
    }
    pieces
}

/// What has been met since the last piece.
struct Gap<'a> {
    comments: Vec<Comment<'a>>,
    line_ends: usize,
    /// Line ends since the last piece or comment.
    since: usize,
    separated: bool,
}

impl<'a> Gap<'a> {
    /// Looks for a comment between two tokens; there is at most one, since it ends with its line.
    fn read(&mut self, between: &'a str) {
        if let Some(at) = between.find('#') {
            let text = between[at..].trim_end();
            let comment = Comment { text, own_line: self.line_ends > 0, blank: self.since > 1 };
            self.comments.push(comment);
            self.since = 0;
        }
    }

    fn line_end(&mut self, is_kept: bool) {
        self.line_ends += 1;
        self.since += 1;
        self.separated |= is_kept;
    }

    fn close(&mut self, token: Token, text: &'a str, glued: bool) -> Piece<'a> {
        let gap =
            std::mem::replace(self, Self { comments: Vec::new(), line_ends: 0, since: 0, separated: false });
        Piece {
            kind: token.kind,
            text: token.text(text),
            comments: gap.comments,
            new_line: gap.line_ends > 0,
            blank: gap.since > 1,
            separated: gap.separated,
            glued: glued && gap.line_ends == 0 && !gap.separated,
            space: 1,
        }
    }
}
