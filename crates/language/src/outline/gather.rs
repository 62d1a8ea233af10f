//! Cutting lexemes into statements and blocks.

use super::definition::definition;
use super::{Lexeme, Outline, Sort, Statement};
use crate::kinds::is_reserved;
use crate::source::Span;
use crate::words::STATEMENTS;

pub(super) fn gather(text: &str, lexemes: Vec<Lexeme>) -> Outline {
    let mut balance = 0_usize;
    for lexeme in &lexemes {
        match lexeme.sort {
            Sort::OpenBlock => balance += 1,
            Sort::CloseBlock => balance = balance.saturating_sub(1),
            _ => {}
        }
    }
    let mut gatherer = Gatherer {
        text,
        lexemes: &lexemes,
        statements: Vec::new(),
        open: Vec::new(),
        current: None,
        unclosed: balance > 0,
    };
    for at in 0..lexemes.len() {
        gatherer.take(at);
    }
    while let Some(holder) = gatherer.open.pop() {
        gatherer.close(holder, text.len());
    }
    let mut statements = gatherer.statements;
    for statement in &mut statements {
        statement.definition = definition(text, &lexemes[statement.lexemes.clone()]);
    }
    Outline { lexemes, statements }
}

struct Gatherer<'a> {
    text: &'a str,
    lexemes: &'a [Lexeme],
    statements: Vec<Statement>,
    /// The statements whose blocks are open, the innermost last.
    open: Vec<usize>,
    /// The statement that goes on.
    current: Option<usize>,
    /// Whether the text has opening braces without a partner.
    unclosed: bool,
}

impl<'a> Gatherer<'a> {
    fn take(&mut self, at: usize) {
        let lexeme = self.lexemes[at];
        match lexeme.sort {
            Sort::End => self.current = None,
            Sort::OpenBlock => self.open_block(at),
            Sort::CloseBlock => {
                self.current = None;
                if let Some(holder) = self.open.pop() {
                    self.close(holder, lexeme.span.end);
                }
            }
            _ => {
                if self.begins_afresh(at) {
                    self.current = None;
                }
                let current = self.current.unwrap_or_else(|| self.begin(at));
                self.current = Some(current);
                let statement = &mut self.statements[current];
                statement.lexemes.end = at + 1;
                statement.span.end = lexeme.span.end;
            }
        }
    }

    fn begin(&mut self, at: usize) -> usize {
        self.leave_forgotten_blocks(self.word(at));
        let span = self.lexemes[at].span;
        let holder = self.open.last().copied();
        self.statements.push(Statement { lexemes: at..at, span, block: None, holder, definition: None });
        self.statements.len() - 1
    }

    /// `{` belongs to the statement before it, on the same line or the one above.
    fn open_block(&mut self, at: usize) {
        let lexeme = self.lexemes[at];
        let above = || {
            let last = self.statements.last()?;
            let between = self.lexemes.get(last.lexemes.end..at)?;
            let near = last.block.is_none() && between.iter().all(|each| each.sort == Sort::End);
            near.then(|| self.statements.len() - 1)
        };
        let holder = self.current.or_else(above).unwrap_or_else(|| self.begin(at));
        let statement = &mut self.statements[holder];
        statement.block = Some(lexeme.span);
        statement.span.end = lexeme.span.end;
        self.open.push(holder);
        self.current = None;
    }

    fn close(&mut self, holder: usize, end: usize) {
        let statement = &mut self.statements[holder];
        statement.span.end = end;
        statement.block = statement.block.map(|block| Span { end, ..block });
    }

    /// Where braces lack a partner, a statement that can't stand in a block shows that the blocks around it are over.
    fn leave_forgotten_blocks(&mut self, word: &str) {
        if !self.unclosed {
            return;
        }
        let end = self.statements.last().map_or(0, |last| last.span.end);
        let goes_on = |opener: &str| match word {
            "option" | "case" | "place" => matches!(opener, "choice" | "condition"),
            "let" | "fit" => opener != "choice" && opener != "condition",
            _ => !STATEMENTS.contains(&word),
        };
        while let Some(&holder) = self.open.last() {
            if goes_on(self.word(self.statements[holder].lexemes.start)) {
                return;
            }
            self.open.pop();
            self.close(holder, end);
        }
    }

    /// Whether a comma at a line's end has drawn in what looks like the next statement: a half-typed list above it must
    /// not hide it.
    fn begins_afresh(&self, at: usize) -> bool {
        let word = self.word(at);
        let known =
            is_reserved(word) || STATEMENTS.contains(&word) || matches!(word, "option" | "case" | "set");
        if !known || self.current.is_none() || at == 0 {
            return false;
        }
        let before = self.lexemes[at - 1];
        // `supply 9 V` is a property as well as a kind; a statement goes on with a word.
        let followed = self.lexemes.get(at + 1).is_some_and(|next| next.sort == Sort::Word);
        let between = before.span.end..self.lexemes[at].span.start;
        before.sort == Sort::Comma && followed && self.text[between].contains('\n')
    }

    /// The text of a word; nothing for other lexemes.
    fn word(&self, at: usize) -> &'a str {
        match self.lexemes.get(at) {
            Some(lexeme) if lexeme.sort == Sort::Word => &self.text[lexeme.span.start..lexeme.span.end],
            _ => "",
        }
    }
}
