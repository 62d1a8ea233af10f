//! Getting back on track after a mistake, and the ends of statements and blocks.

use super::{Parsed, Parser};
use crate::mistake::Mistake;
use crate::source::Span;
use crate::token::TokenKind;

impl Parser<'_> {
    pub(super) fn skip_separators(&mut self) {
        while matches!(self.kind(), TokenKind::LineEnd | TokenKind::Semicolon) {
            self.bump();
        }
    }

    pub(super) fn at_end(&self) -> bool {
        matches!(
            self.kind(),
            TokenKind::LineEnd | TokenKind::Semicolon | TokenKind::End | TokenKind::CloseBrace
        )
    }

    /// After a statement: what follows on the line is a mistake, unless one has been told already.
    pub(super) fn end_statement(&mut self, done: Parsed<()>) {
        if std::mem::take(&mut self.resumes) || self.at_end() {
            return;
        }
        if done.is_ok() {
            self.unexpected(
                "the end of the statement",
                "put the next statement on a line of its own, or `;` between",
            );
        }
        self.skip_statement();
    }

    /// To the end of the statement, past blocks in it. While braces of the file lack their partner the end of the line
    /// is the end, so that one forgotten brace does not swallow the rest.
    ///
    /// An arrow among what is skipped was a part's: from then on the file's parts are incomplete.
    pub(super) fn skip_statement(&mut self) {
        let mut depth = 0_usize;
        loop {
            match self.kind() {
                TokenKind::End => return,
                TokenKind::LineEnd | TokenKind::Semicolon if depth == 0 || self.unclosed > 0 => return,
                TokenKind::CloseBrace if depth == 0 => return,
                TokenKind::CloseBrace => depth -= 1,
                TokenKind::OpenBrace => depth += 1,
                TokenKind::Arrow => self.file.parts_missing = true,
                _ => {}
            }
            self.bump();
        }
    }

    /// To the next comma of a list of properties, or to the statement's end.
    pub(super) fn skip_to_comma(&mut self) {
        let mut depth = 0_usize;
        while !self.at_end() {
            match self.kind() {
                TokenKind::Comma if depth == 0 => return,
                TokenKind::OpenBrace => return,
                TokenKind::OpenBracket | TokenKind::OpenParenthesis => depth += 1,
                TokenKind::CloseBracket | TokenKind::CloseParenthesis => depth = depth.saturating_sub(1),
                _ => {}
            }
            self.bump();
        }
    }

    pub(super) fn tell_unclosed(&mut self, open: Span, what: &str) {
        self.unclosed = self.unclosed.saturating_sub(1);
        self.resumes = true;
        self.sink.push(
            Mistake::new("unclosed_block", open, format!("the block of {what} is never closed"))
                .label("this `{` has no `}`")
                .help("add `}` after its last statement"),
        );
    }

    /// Whether the token before this one stands on another line.
    pub(super) fn first_on_line(&self) -> bool {
        let between = self.previous_span().end..self.span().start;
        self.text[between].contains('\n')
    }
}
