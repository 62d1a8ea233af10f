//! Reading statements: one function a statement, recovery at the statement's end.
//!
//! A function that fails has told why and returns [`Told`]; its caller skips to the next statement. Only expressions
//! recurse, and their height is bounded.

mod assembly;
mod axis;
mod draws;
mod expression;
mod fit;
mod frequency;
mod include;
mod part;
mod place;
mod result;
mod setting;
mod skip;
mod sweep;
mod trace;

pub(crate) use setting::setting;

use crate::include::{Alone, Includes, Loader};
use crate::kinds::is_reserved;
use crate::mistake::{Mistake, Sink, Told, nearest};
use crate::other_words;
use crate::source::{Source, Span};
use crate::syntax::{File, Item, LetNode, Node, Placed, Word};
use crate::token::{Token, TokenKind, tokens};
use crate::words::STATEMENTS;
use std::rc::Rc;

pub(crate) type Parsed<T> = Result<T, Told>;

pub(crate) struct Parser<'a> {
    text: &'a str,
    source: usize,
    tokens: Vec<Token>,
    place: usize,
    /// Opening braces without a partner that have not been told yet.
    unclosed: usize,
    /// Whether the next statement begins right here: after a block, and where one was given up.
    resumes: bool,
    /// Whether the beginning of an axis could not be read, so that options may stand outside of any.
    headless: bool,
    sink: &'a mut Sink,
    file: File,
    loader: &'a dyn Loader,
    includes: Includes,
}

/// Reads a file and what it includes, which follows as texts; their places begin after those of the `settings`. What could
/// not be read is missing from the result and has been told.
pub(crate) fn parse(
    source: &Source,
    settings: usize,
    loader: &dyn Loader,
    sink: &mut Sink,
) -> (File, Vec<Source>) {
    let mut parser = Parser::new(&source.text, 0, sink);
    parser.loader = loader;
    parser.includes = Includes::new(source, settings, loader);
    parser.whole_file();
    let Includes { texts, at, .. } = parser.includes;
    let file = File { included_at: at, ..parser.file };
    (file, texts.into_iter().map(Rc::unwrap_or_clone).collect())
}

/// Reads a file by itself, without those that it includes.
pub(crate) fn parse_alone(source: &Source, sink: &mut Sink) -> File {
    let mut parser = Parser::new(&source.text, 0, sink);
    parser.whole_file();
    parser.file
}

impl<'a> Parser<'a> {
    fn new(text: &'a str, source: usize, sink: &'a mut Sink) -> Self {
        let tokens = tokens(text, source, sink);
        let mut depth = 0_usize;
        for token in &tokens {
            match token.kind {
                TokenKind::OpenBrace => depth += 1,
                TokenKind::CloseBrace => depth = depth.saturating_sub(1),
                _ => {}
            }
        }
        Self {
            text,
            source,
            tokens,
            place: 0,
            unclosed: depth,
            resumes: false,
            headless: false,
            sink,
            file: File::default(),
            loader: &Alone,
            includes: Includes::default(),
        }
    }

    fn whole_file(&mut self) {
        while !self.sink.full() {
            self.skip_separators();
            match self.kind() {
                TokenKind::End => return,
                TokenKind::CloseBrace => {
                    let span = self.bump();
                    self.sink.push(
                        Mistake::new("unopened_block", span, "this `}` closes nothing")
                            .label("no block is open here")
                            .help("remove it, or look for a missing `{` above"),
                    );
                }
                _ => {
                    let done = self.statement();
                    self.end_statement(done);
                }
            }
        }
    }

    fn statement(&mut self) -> Parsed<()> {
        if self.kind() != TokenKind::Word {
            return Err(
                self.unexpected("a statement", "every statement begins with a word such as `wire` or `let`")
            );
        }
        let word = self.here_text();
        match word {
            "harness" => self.harness(),
            "let" => self.let_statement(),
            "choice" | "condition" => self.axis(),
            "testpoint" => self.testpoint(),
            "reading" => self.reading(),
            "require" => self.requirement(),
            "transient" => self.transient(),
            "frequency" => self.frequency(),
            "response" => self.response(),
            "assembly" => self.assembly(),
            "fit" => {
                let (fit, done) = self.fit()?;
                self.file.items.push(Item::Placed(Placed::Fit(fit)));
                done
            }
            "sweep" => self.sweep(),
            "draws" => self.draws(),
            "include" => self.include(),
            "option" | "case" | "set" | "place" => self.misplaced(),
            _ if is_reserved(word) => {
                let part = self.part()?;
                self.file.items.push(Item::Placed(Placed::Part(part)));
                Ok(())
            }
            _ => self.unknown_statement(),
        }
    }

    fn harness(&mut self) -> Parsed<()> {
        let keyword = self.bump();
        let title = self.quoted("the harness' title in quotes", "write `harness \"My crawler\"`")?;
        // An included file may have a title for its own use: the one of the outermost file holds. Texts are numbered from there.
        if let Some(first) = &self.file.title
            && first.span.source != self.source
        {
            if self.source < first.span.source {
                self.file.title = Some(title);
            }
            return Ok(());
        }
        if let Some(first) = &self.file.title {
            let mistake = Mistake::new("second_title", keyword, "the harness has a title already")
                .label("a file has one `harness` statement")
                .also(first.span, "the first title");
            self.sink.push(mistake);
            return Ok(());
        }
        self.file.title = Some(title);
        Ok(())
    }

    fn let_statement(&mut self) -> Parsed<()> {
        let (node, done) = self.let_node()?;
        self.file.lets.push(node);
        done
    }

    /// `let NAME = VALUE`, and whether its value could be read.
    fn let_node(&mut self) -> Parsed<(LetNode, Parsed<()>)> {
        self.bump();
        let name = self.name("a name for the value")?;
        let equals = self.expect(TokenKind::Equals, "`=`", "write `let NAME = VALUE`");
        let value = equals.and_then(|_| self.let_value());
        let done = value.as_ref().map(|_| ()).map_err(|told| *told);
        Ok((LetNode { name, value: value.ok() }, done))
    }

    /// A value, perhaps with a tolerance.
    fn let_value(&mut self) -> Parsed<(Node, Option<Node>)> {
        if self.at_unknown() {
            return Ok((self.unknown_value()?, None));
        }
        let value = self.expression()?;
        let tolerance = if self.take(TokenKind::PlusMinus) { Some(self.expression()?) } else { None };
        Ok((value, tolerance))
    }

    fn misplaced(&mut self) -> Parsed<()> {
        let word = self.here_text().to_owned();
        let span = self.span();
        self.skip_statement();
        if self.headless && word != "set" {
            return Ok(());
        }
        let help = match word.as_str() {
            "set" => "state the value where the part is, or put the `set` into an option or case",
            "option" | "place" => "put it into `choice NAME { … }`",
            _ => "put it into `condition NAME { … }`",
        };
        self.sink.push(
            Mistake::new("misplaced", span, format!("`{word}` can't stand here"))
                .label("belongs inside a choice or condition")
                .help(help),
        );
        Ok(())
    }

    fn unknown_statement(&mut self) -> Parsed<()> {
        if self.looks_like_part() {
            let part = self.part()?;
            self.file.items.push(Item::Placed(Placed::Part(part)));
            return Ok(());
        }
        let span = self.span();
        let word = self.here_text().to_owned();
        self.skip_statement();
        self.tell_unknown_statement(&word, span);
        Ok(())
    }

    fn tell_unknown_statement(&mut self, word: &str, span: Span) {
        let kinds = crate::kinds::TABLES.iter().map(|table| table.word);
        let words = kinds.chain(STATEMENTS.iter().copied());
        let near = nearest(word, words).or_else(|| other_words::of_statement(word));
        if near.is_none() && crate::kinds::TABLES.iter().any(|table| table.property(word).is_some()) {
            self.sink.push(
                Mistake::new("unknown_word", span, format!("`{word}` is a property and begins no statement"))
                    .label("expected a kind of part or a statement")
                    .help("if it belongs to the part above, end that line with a comma"),
            );
            return;
        }
        self.sink.push(
            Mistake::new("unknown_word", span, format!("`{}` is no word of the language", shown(word)))
                .label("expected a kind of part or a statement")
                .near(near),
        );
    }

    /// `WORD WORD WORD ->` or `WORD WORD ->`: a part of a kind that doesn't exist.
    fn looks_like_part(&self) -> bool {
        let kind = |ahead| self.kind_at(ahead);
        kind(1) == TokenKind::Word
            && (kind(2) == TokenKind::Arrow || kind(2) == TokenKind::Word && kind(3) == TokenKind::Arrow)
    }

    /// A new name: a word that is not reserved.
    fn name(&mut self, what: &str) -> Parsed<Word> {
        let word = self.word(what)?;
        self.refuse_reserved(&word);
        Ok(word)
    }

    fn refuse_reserved(&mut self, word: &Word) {
        if is_reserved(&word.text) || word.text == "pi" {
            let what = if word.text == "pi" { "a number" } else { "a kind of part" };
            self.sink.push(
                Mistake::new(
                    "reserved_word",
                    word.span,
                    format!("`{}` is {what} and can't be a name", word.text),
                )
                .label("expected another name")
                .help(format!("perhaps `{}_1`", word.text)),
            );
        }
    }

    fn word(&mut self, what: &str) -> Parsed<Word> {
        if self.kind() != TokenKind::Word {
            return Err(self.unexpected(what, "names are letters, digits and `_`, and begin with no digit"));
        }
        let text = self.here_text().to_owned();
        Ok(Word { text, span: self.bump() })
    }

    /// A name that may lie inside instances: `INSTANCE.PART`.
    fn path(&mut self, what: &str) -> Parsed<Word> {
        let mut path = self.word(what)?;
        while self.kind() == TokenKind::Dot && self.kind_at(1) == TokenKind::Word {
            self.bump();
            let inner = self.word(what)?;
            path.text.push('.');
            path.text.push_str(&inner.text);
            path.span = path.span.to(inner.span);
        }
        Ok(path)
    }

    fn quoted(&mut self, what: &str, help: &str) -> Parsed<Word> {
        if self.kind() != TokenKind::Text {
            return Err(self.unexpected(what, help));
        }
        let text = self.here_text().trim_matches('"').to_owned();
        Ok(Word { text, span: self.bump() })
    }

    fn expect(&mut self, kind: TokenKind, what: &str, help: &str) -> Parsed<Span> {
        if self.kind() == kind { Ok(self.bump()) } else { Err(self.unexpected(what, help)) }
    }

    fn take(&mut self, kind: TokenKind) -> bool {
        let found = self.kind() == kind;
        if found {
            self.bump();
        }
        found
    }

    fn take_word(&mut self, word: &str) -> bool {
        let found = self.at_word(word);
        if found {
            self.bump();
        }
        found
    }

    fn at_word(&self, word: &str) -> bool {
        self.kind() == TokenKind::Word && self.here_text() == word
    }

    /// Tells that something else was expected here.
    fn unexpected(&mut self, expected: &str, help: &str) -> Told {
        let (span, found) = self.found();
        // What a word processor makes of quotes.
        let curly = self.kind() == TokenKind::Unknown
            && self
                .here_text()
                .starts_with(['\u{201c}', '\u{201d}', '\u{201e}', '\u{2018}', '\u{2019}', '\'']);
        let help = match () {
            () if curly => "quotes are straight and double: `\"`",
            () if self.at_foreign_comment() => "a comment begins with `#` and goes on to the line's end",
            () => help,
        };
        self.sink.push(
            Mistake::new("unexpected", span, format!("expected {expected}, found {found}"))
                .label(format!("expected {expected}"))
                .help(help),
        )
    }

    /// Whether `//` or `/*` is here, or the second half of it.
    fn at_foreign_comment(&self) -> bool {
        let (here, next) = (self.span(), self.token_at(1).span(self.source));
        let second = |kind| matches!(kind, TokenKind::Slash | TokenKind::Star);
        let opens = self.kind() == TokenKind::Slash && second(self.kind_at(1)) && here.end == next.start;
        let before = self.place.checked_sub(1).map(|before| self.tokens[before]);
        let follows = before.is_some_and(|before| {
            before.kind == TokenKind::Slash && before.span(self.source).end == here.start
        });
        opens || (follows && second(self.kind()))
    }

    /// What stands here, in words, and a place to point at: at a line's end the last token, since an underlined line
    /// break shows nothing.
    fn found(&self) -> (Span, String) {
        match self.kind() {
            TokenKind::LineEnd | TokenKind::Semicolon => {
                (self.previous_span(), "the end of the statement".to_owned())
            }
            TokenKind::End => (self.previous_span(), "the end of the text".to_owned()),
            _ => (self.span(), format!("`{}`", shown(self.here_text()))),
        }
    }

    fn token_at(&self, ahead: usize) -> Token {
        let last = self.tokens.len() - 1;
        self.tokens[(self.place + ahead).min(last)]
    }

    fn kind_at(&self, ahead: usize) -> TokenKind {
        self.token_at(ahead).kind
    }

    fn kind(&self) -> TokenKind {
        self.kind_at(0)
    }

    fn span(&self) -> Span {
        self.token_at(0).span(self.source)
    }

    /// The last token before this one that shows in print.
    fn previous_span(&self) -> Span {
        let before = self.tokens[..self.place].iter().rev();
        let visible = before.clone().find(|token| token.kind != TokenKind::LineEnd).or(self.tokens.first());
        visible.map_or(self.span(), |token| token.span(self.source))
    }

    fn here_text(&self) -> &'a str {
        self.token_at(0).text(self.text)
    }

    fn bump(&mut self) -> Span {
        let span = self.span();
        if self.kind() != TokenKind::End {
            self.place += 1;
        }
        span
    }
}

/// A text short enough for a sentence.
pub(crate) fn shown(text: &str) -> String {
    const LONGEST: usize = 32;
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    let cut: String = text.chars().take(LONGEST).collect();
    format!("{cut}…")
}
