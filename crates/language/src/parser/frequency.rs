//! Curves over frequency: where they are computed, and which.

use super::{Parsed, Parser};
use crate::mistake::{Mistake, nearest};
use crate::syntax::{Frequencies, FrequencyNode, ResponseNode, Spacing};
use crate::token::TokenKind;

const HELP: &str =
    "write `frequency 10 Hz .. 30 MHz, points 40` (points a decade), or `frequency [1 kHz, 10 kHz]`";

impl Parser<'_> {
    /// `frequency A .. B, points N` or `frequency [F, F]`
    pub(super) fn frequency(&mut self) -> Parsed<()> {
        let statement = self.bump();
        let frequencies = self.frequencies(statement);
        if let Some(first) = self.file.frequencies.first() {
            let mistake = Mistake::new("second_frequency", statement, "the frequencies are stated already")
                .label("a file has one `frequency` statement")
                .also(first.statement, "the first one");
            self.sink.push(mistake);
        }
        let told = frequencies.as_ref().err().copied();
        self.file.frequencies.push(FrequencyNode { statement, frequencies: frequencies.ok() });
        told.map_or(Ok(()), Err)
    }

    fn frequencies(&mut self, statement: crate::source::Span) -> Parsed<Frequencies> {
        if self.kind() == TokenKind::OpenBracket {
            let start = self.span();
            let entries = self.list()?;
            let span = start.to(self.previous_span());
            if let Some(second) = entries.iter().find_map(|(_, second)| second.as_ref()) {
                return Err(self.sink.push(
                    Mistake::new("wrong_shape", second.span, "a list of frequencies has no `:`")
                        .label("expected `,` before this")
                        .help(HELP),
                ));
            }
            return Ok(Frequencies::List(entries.into_iter().map(|(first, _)| first).collect(), span));
        }
        let low = self.expression()?;
        self.expect(TokenKind::DotDot, "`..`", HELP)?;
        let high = self.expression()?;
        if !self.take(TokenKind::Comma) {
            return Err(self.sink.push(
                Mistake::new(
                    "missing_property",
                    statement,
                    "a range of frequencies needs `points`: how many a decade",
                )
                .label("not said here")
                .help(HELP),
            ));
        }
        let word = self.word("`points`")?;
        if word.text != "points" {
            let mistake =
                Mistake::new("unknown_property", word.span, format!("a frequency has no `{}`", word.text))
                    .label("expected `points`");
            let near = nearest(&word.text, ["points"]);
            return Err(self.sink.push(if near.is_some() { mistake.near(near) } else { mistake.help(HELP) }));
        }
        let points = self.expression()?;
        Ok(Frequencies::Range(Box::new(Spacing { low, high, points })))
    }

    /// `response NAME = EXPRESSION`
    pub(super) fn response(&mut self) -> Parsed<()> {
        self.bump();
        let name = self.name("the response's name")?;
        let equals = self.expect(
            TokenKind::Equals,
            "`=`",
            "write `response NAME = transfer(voltage(NODE), DRIVE)` or `response NAME = impedance(NODE)`",
        );
        let expression = equals.and_then(|_| self.expression());
        let told = expression.as_ref().err().copied();
        self.file.responses.push(ResponseNode { name, expression: expression.ok() });
        told.map_or(Ok(()), Err)
    }
}
