//! Where the statements, blocks and names of a text are, as far as can be told of a half-written one.
//!
//! This is for those who look at a text, such as editors. It knows the form of statements and nothing of what they mean,
//! tells no mistakes, and never fails.

mod definition;
mod gather;

pub use definition::{Definition, Role};

use crate::mistake::Sink;
use crate::source::{Source, Span};
use crate::token::{TokenKind, tokens};
use std::ops::Range;

/// What a lexeme is. Comments and blanks are none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// A word or a unit.
    Word,
    /// Digits with point and exponent, without the unit.
    Number,
    /// A text with its quotes.
    Text,
    /// `->`
    Arrow,
    /// `,`
    Comma,
    /// `:`
    Colon,
    /// `.`
    Dot,
    /// `=`
    Equals,
    /// `%`, a unit.
    Percent,
    /// `+-` or `±`
    Tolerance,
    /// `(` or `[`
    Open,
    /// `)` or `]`
    Close,
    /// `{`
    OpenBlock,
    /// `}`
    CloseBlock,
    /// A line end or `;` that ends a statement.
    End,
    /// Any other sign.
    Sign,
}

/// The smallest piece that has a meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lexeme {
    /// What it is.
    pub sort: Sort,
    /// Where it is.
    pub span: Span,
}

/// A statement, perhaps with a block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    /// Its lexemes up to its block, as indices.
    pub lexemes: Range<usize>,
    /// All of its text, the block included.
    pub span: Span,
    /// From `{` to `}`, or to the text's end where that is missing.
    pub block: Option<Span>,
    /// Index of the statement whose block holds it.
    pub holder: Option<usize>,
    /// The name that it brings in.
    pub definition: Option<Definition>,
}

/// A text's lexemes and statements, both in the text's order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Outline {
    /// The lexemes; line ends that don't end a statement are left out.
    pub lexemes: Vec<Lexeme>,
    /// The statements; one with a block stands before those that it holds.
    pub statements: Vec<Statement>,
}

/// The outline of a text.
#[must_use]
pub fn outline(source: &Source) -> Outline {
    let text = &source.text;
    let mut sink = Sink::default();
    let lexemes = tokens(text, 0, &mut sink).into_iter().filter_map(|token| {
        let span = token.span(0);
        Some(Lexeme { sort: sort(token.kind, &text[span.start..span.end])?, span })
    });
    gather::gather(text, lexemes.collect())
}

impl Outline {
    /// Index of the statement whose block is the innermost around a byte; `None` at the top of the file.
    #[must_use]
    pub fn holder_at(&self, byte: usize) -> Option<usize> {
        let around = |block: Span| block.start < byte && byte <= block.end;
        self.statements.iter().rposition(|statement| statement.block.is_some_and(around))
    }

    /// Index of the statement that a lexeme belongs to, its block aside.
    #[must_use]
    pub fn statement_of(&self, lexeme: usize) -> Option<usize> {
        let after = self.statements.partition_point(|statement| statement.lexemes.start <= lexeme);
        let candidate = after.checked_sub(1)?;
        self.statements[candidate].lexemes.contains(&lexeme).then_some(candidate)
    }
}

fn sort(kind: TokenKind, text: &str) -> Option<Sort> {
    Some(match kind {
        TokenKind::Word => Sort::Word,
        TokenKind::Number => Sort::Number,
        TokenKind::Text => Sort::Text,
        TokenKind::Arrow => Sort::Arrow,
        TokenKind::Comma => Sort::Comma,
        TokenKind::Colon => Sort::Colon,
        TokenKind::Dot => Sort::Dot,
        TokenKind::Equals => Sort::Equals,
        TokenKind::Percent => Sort::Percent,
        TokenKind::PlusMinus => Sort::Tolerance,
        TokenKind::OpenParenthesis | TokenKind::OpenBracket => Sort::Open,
        TokenKind::CloseParenthesis | TokenKind::CloseBracket => Sort::Close,
        TokenKind::OpenBrace => Sort::OpenBlock,
        TokenKind::CloseBrace => Sort::CloseBlock,
        TokenKind::LineEnd | TokenKind::Semicolon => Sort::End,
        TokenKind::End => return None,
        _ if text.is_empty() => return None,
        _ => Sort::Sign,
    })
}
