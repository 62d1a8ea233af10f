//! An open text with what is known of its form.

use crate::include::path_of;
use crate::place::Lines;
use language::outline::{Lexeme, Outline, Sort, Statement};
use language::{Source, Span};
use lsp_types::{Position, Range, Uri};

#[derive(Debug)]
pub(crate) struct Document {
    pub(crate) uri: Uri,
    pub(crate) version: i32,
    pub(crate) source: Source,
    pub(crate) lines: Lines,
    pub(crate) outline: Outline,
}

impl Document {
    pub(crate) fn new(uri: Uri, version: i32, text: String) -> Self {
        let source = Source { name: path_of(uri.as_str()), text };
        let (lines, outline) = (Lines::new(&source.text), language::outline(&source));
        Self { uri, version, source, lines, outline }
    }

    /// The same text once more.
    pub(crate) fn again(&self) -> Self {
        Self::new(self.uri.clone(), self.version, self.source.text.clone())
    }

    pub(crate) fn text(&self) -> &str {
        &self.source.text
    }

    pub(crate) fn part(&self, span: Span) -> &str {
        self.text().get(span.start..span.end).unwrap_or_default()
    }

    pub(crate) fn byte(&self, position: Position) -> usize {
        self.lines.byte(self.text(), position)
    }

    pub(crate) fn range(&self, span: Span) -> Range {
        self.lines.range(self.text(), span.start, span.end)
    }

    pub(crate) fn lexemes(&self, statement: &Statement) -> &[Lexeme] {
        self.outline.lexemes.get(statement.lexemes.clone()).unwrap_or_default()
    }

    /// The first word of a statement.
    pub(crate) fn keyword(&self, statement: &Statement) -> &str {
        let first = self.lexemes(statement).first().filter(|first| first.sort == Sort::Word);
        first.map_or("", |first| self.part(first.span))
    }

    /// Index of the last lexeme that begins before a byte.
    pub(crate) fn lexeme_before(&self, byte: usize) -> Option<usize> {
        self.outline.lexemes.partition_point(|lexeme| lexeme.span.start < byte).checked_sub(1)
    }

    /// Index of the word that a byte touches.
    pub(crate) fn word_at(&self, byte: usize) -> Option<usize> {
        let touches = |index: &usize| {
            let lexeme = self.outline.lexemes[*index];
            lexeme.sort == Sort::Word && lexeme.span.start <= byte && byte <= lexeme.span.end
        };
        self.lexeme_before(byte + 1).filter(touches).or_else(|| self.lexeme_before(byte).filter(touches))
    }

    /// Whether a byte lies in a comment: after a `#` that is in no lexeme, on the same line.
    pub(crate) fn in_comment(&self, byte: usize) -> bool {
        let before = self.lexeme_before(byte).map(|index| self.outline.lexemes[index].span);
        let end = before.map_or(0, |span| span.end);
        let gap = self.text().get(end..byte).unwrap_or_default();
        let line = gap.rsplit('\n').next().unwrap_or_default();
        line.contains('#')
    }

    /// `a.b.c` around a word: the index of its first word, and of its last up to the given one.
    pub(crate) fn path(&self, word: usize) -> (usize, usize) {
        let lexemes = &self.outline.lexemes;
        let touching = |left: usize, right: usize| lexemes[left].span.end == lexemes[right].span.start;
        let mut first = word;
        while let Some(before) = first.checked_sub(2)
            && lexemes[first - 1].sort == Sort::Dot
            && lexemes[before].sort == Sort::Word
            && touching(before, first - 1)
            && touching(first - 1, first)
        {
            first = before;
        }
        (first, word)
    }

    /// The text of the lexemes from one to another.
    pub(crate) fn between(&self, first: usize, last: usize) -> &str {
        let lexemes = &self.outline.lexemes;
        self.part(Span { end: lexemes[last].span.end, ..lexemes[first].span })
    }
}
