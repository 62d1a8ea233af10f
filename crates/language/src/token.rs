//! Cutting text into tokens.

use crate::include::MOST_TEXT;
use crate::mistake::{Mistake, Sink};
use crate::source::Span;

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum TokenKind {
    Word,
    Number,
    Text,
    Comma,
    Colon,
    Dot,
    DotDot,
    PlusMinus,
    Plus,
    Minus,
    Star,
    Slash,
    Caret,
    OpenParenthesis,
    CloseParenthesis,
    OpenBracket,
    CloseBracket,
    OpenBrace,
    CloseBrace,
    Arrow,
    Equals,
    Less,
    LessOrEqual,
    Greater,
    GreaterOrEqual,
    Percent,
    LineEnd,
    Semicolon,
    Unknown,
    End,
}

/// A token with its bytes; small, since a file may hold millions.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Token {
    pub(crate) kind: TokenKind,
    start: u32,
    end: u32,
}

impl Token {
    pub(crate) fn span(self, source: usize) -> Span {
        Span { source, start: self.start as usize, end: self.end as usize }
    }

    pub(crate) fn text(self, source: &str) -> &str {
        &source[self.start as usize..self.end as usize]
    }
}

/// The tokens of a text, an `End` last. Line ends inside round or square brackets that have a partner, and after a
/// comma, are left out.
pub(crate) fn tokens(text: &str, source: usize, sink: &mut Sink) -> Vec<Token> {
    without_inner_line_ends(all_tokens(text, source, sink))
}

/// The same with every line end.
pub(crate) fn all_tokens(text: &str, source: usize, sink: &mut Sink) -> Vec<Token> {
    if text.len() > MOST_TEXT {
        let span = Span { source, start: 0, end: 0 };
        sink.push(Mistake::new("too_large", span, "the file is larger than 64 MiB").help("split it"));
        return vec![Token { kind: TokenKind::End, start: 0, end: 0 }];
    }
    let mut lexer = Lexer { text, place: 0, source, sink, tokens: Vec::new() };
    lexer.run();
    lexer.tokens
}

struct Lexer<'a> {
    text: &'a str,
    place: usize,
    source: usize,
    sink: &'a mut Sink,
    tokens: Vec<Token>,
}

impl Lexer<'_> {
    fn run(&mut self) {
        while let Some(first) = self.peek() {
            let start = self.place;
            let kind = self.next(first);
            if let Some(kind) = kind {
                self.add(kind, start);
            }
        }
        self.add(TokenKind::End, self.place);
    }

    fn add(&mut self, kind: TokenKind, start: usize) {
        // Both fit: the text is shorter than MOST_TEXT.
        let (start, end) = (start as u32, self.place as u32);
        // A run of strange characters is one mistake, not a thousand.
        if kind == TokenKind::Unknown
            && let Some(last) = self.tokens.last_mut()
            && last.kind == TokenKind::Unknown
            && last.end == start
        {
            last.end = end;
            return;
        }
        self.tokens.push(Token { kind, start, end });
    }

    fn peek(&self) -> Option<char> {
        self.text[self.place..].chars().next()
    }

    fn byte(&self, ahead: usize) -> u8 {
        self.text.as_bytes().get(self.place + ahead).copied().unwrap_or(0)
    }

    fn skip_while(&mut self, keep: impl Fn(char) -> bool) {
        let rest = &self.text[self.place..];
        self.place += rest.find(|each| !keep(each)).unwrap_or(rest.len());
    }

    /// Consumes one token that begins with `first`; `None` for blanks and comments.
    fn next(&mut self, first: char) -> Option<TokenKind> {
        match first {
            '\n' => {
                self.place += 1;
                Some(TokenKind::LineEnd)
            }
            '#' => {
                self.skip_while(|each| each != '\n');
                None
            }
            '"' => Some(self.quoted()),
            _ if first.is_whitespace() || first == '\u{feff}' => {
                self.place += first.len_utf8();
                None
            }
            _ if starts_word(first) => {
                self.skip_while(|each| starts_word(each) || each.is_numeric());
                Some(TokenKind::Word)
            }
            _ if first.is_ascii_digit() || (first == '.' && self.byte(1).is_ascii_digit()) => {
                self.number();
                Some(TokenKind::Number)
            }
            _ => Some(self.sign(first)),
        }
    }

    fn quoted(&mut self) -> TokenKind {
        let start = self.place;
        self.place += 1;
        // Right behind a number it is an inch mark, which the unit's mistake explains.
        if self.tokens.last().is_some_and(|last| last.kind == TokenKind::Number && last.end as usize == start)
        {
            return TokenKind::Word;
        }
        self.skip_while(|each| each != '"' && each != '\n');
        if self.byte(0) == b'"' {
            self.place += 1;
        } else {
            let span = Span { source: self.source, start, end: self.place };
            let mistake = Mistake::new("unclosed_text", span, "this text has no closing quote")
                .label("expected `\"` before the line's end");
            self.sink.push(mistake.help("close it with `\"`; a text stands on one line"));
        }
        TokenKind::Text
    }

    fn number(&mut self) {
        let digit = |each: char| each.is_ascii_digit();
        self.skip_while(digit);
        if self.byte(0) == b'.' && self.byte(1).is_ascii_digit() {
            self.place += 1;
            self.skip_while(digit);
        }
        if matches!(self.byte(0), b'e' | b'E') {
            let signed = usize::from(matches!(self.byte(1), b'+' | b'-'));
            if self.byte(1 + signed).is_ascii_digit() {
                self.place += 1 + signed;
                self.skip_while(digit);
            }
        }
    }

    fn sign(&mut self, first: char) -> TokenKind {
        let second = self.byte(first.len_utf8());
        let (kind, length) = match (first, second) {
            ('.', b'.') => (TokenKind::DotDot, 2),
            ('+', b'-') => (TokenKind::PlusMinus, 2),
            ('-', b'>') => (TokenKind::Arrow, 2),
            ('<', b'=') => (TokenKind::LessOrEqual, 2),
            ('>', b'=') => (TokenKind::GreaterOrEqual, 2),
            ('.', _) => (TokenKind::Dot, 1),
            ('+', _) => (TokenKind::Plus, 1),
            ('-' | '\u{2212}', _) => (TokenKind::Minus, first.len_utf8()),
            ('<', _) => (TokenKind::Less, 1),
            ('>', _) => (TokenKind::Greater, 1),
            ('\u{b1}', _) => (TokenKind::PlusMinus, first.len_utf8()),
            (',', _) => (TokenKind::Comma, 1),
            (':', _) => (TokenKind::Colon, 1),
            ('*', _) => (TokenKind::Star, 1),
            ('/', _) => (TokenKind::Slash, 1),
            ('^', _) => (TokenKind::Caret, 1),
            ('(', _) => (TokenKind::OpenParenthesis, 1),
            (')', _) => (TokenKind::CloseParenthesis, 1),
            ('[', _) => (TokenKind::OpenBracket, 1),
            (']', _) => (TokenKind::CloseBracket, 1),
            ('{', _) => (TokenKind::OpenBrace, 1),
            ('}', _) => (TokenKind::CloseBrace, 1),
            ('=', _) => (TokenKind::Equals, 1),
            ('%', _) => (TokenKind::Percent, 1),
            (';', _) => (TokenKind::Semicolon, 1),
            _ => (TokenKind::Unknown, first.len_utf8()),
        };
        self.place += length;
        kind
    }
}

/// The degree sign is let in so that `°C` is one word, which the unit's mistake can explain.
fn starts_word(each: char) -> bool {
    each.is_alphabetic() || each == '_' || each == '\u{b0}'
}

pub(crate) fn without_inner_line_ends(tokens: Vec<Token>) -> Vec<Token> {
    let partners = partners(&tokens);
    let mut kept: Vec<Token> = Vec::with_capacity(tokens.len());
    let mut inside_until = 0;
    for (index, token) in tokens.into_iter().enumerate() {
        if let Some(&close) = partners.get(index) {
            inside_until = inside_until.max(close as usize);
        }
        let after_comma = kept.last().is_some_and(|last| last.kind == TokenKind::Comma);
        if token.kind == TokenKind::LineEnd && (index < inside_until || after_comma) {
            continue;
        }
        kept.push(token);
    }
    kept
}

/// For each token that is an opening bracket with a partner, the partner's index; 0 for all others.
fn partners(tokens: &[Token]) -> Vec<u32> {
    let mut partners = vec![0; tokens.len()];
    let mut open: Vec<(usize, TokenKind)> = Vec::new();
    for (index, token) in tokens.iter().enumerate() {
        match token.kind {
            TokenKind::OpenParenthesis => open.push((index, TokenKind::CloseParenthesis)),
            TokenKind::OpenBracket => open.push((index, TokenKind::CloseBracket)),
            TokenKind::CloseParenthesis | TokenKind::CloseBracket => {
                if open.last().is_some_and(|(_, close)| *close == token.kind)
                    && let Some((start, _)) = open.pop()
                {
                    partners[start] = index as u32;
                }
            }
            // A statement's or block's border: what is still open there has been forgotten.
            TokenKind::Semicolon | TokenKind::OpenBrace | TokenKind::CloseBrace => open.clear(),
            _ => {}
        }
    }
    partners
}
