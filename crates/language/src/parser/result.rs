//! What is to be read off: test points, readings, requirements, transients.

use super::{Parsed, Parser};
use crate::description::{Comparison, Start};
use crate::mistake::{Mistake, nearest};
use crate::source::Span;
use crate::syntax::{Narrowing, ReadingNode, RequirementNode, TestpointNode, TransientNode, Word};
use crate::token::TokenKind;

impl Parser<'_> {
    /// `testpoint NAME = voltage(node), bandwidth F`
    pub(super) fn testpoint(&mut self) -> Parsed<()> {
        self.bump();
        let name = self.name("the testpoint's name")?;
        let mut testpoint = TestpointNode { name, signal: None, bandwidth: None };
        let done = self.testpoint_rest(&mut testpoint);
        self.file.testpoints.push(testpoint);
        done
    }

    fn testpoint_rest(&mut self, testpoint: &mut TestpointNode) -> Parsed<()> {
        const HELP: &str = "write `testpoint NAME = voltage(NODE)`, or current, power or flux of a part";
        self.expect(TokenKind::Equals, "`=`", HELP)?;
        let what = self.word("`voltage`, `current`, `power` or `flux`")?;
        self.expect(TokenKind::OpenParenthesis, "`(`", HELP)?;
        let mut arguments = vec![self.path("a node or a part")?];
        while self.take(TokenKind::Comma) {
            arguments.push(self.path("a node")?);
        }
        self.expect(TokenKind::CloseParenthesis, "`)`", HELP)?;
        testpoint.signal = Some((what, arguments));
        if self.take(TokenKind::Comma) {
            if !self.take_word("bandwidth") {
                return Err(self.unexpected("`bandwidth`", "write `, bandwidth 20 MHz`"));
            }
            testpoint.bandwidth = Some(self.expression()?);
        }
        Ok(())
    }

    /// `reading NAME = EXPRESSION in TRANSIENT, over t1 .. t2`
    pub(super) fn reading(&mut self) -> Parsed<()> {
        self.bump();
        let name = self.name("the reading's name")?;
        let mut reading = ReadingNode { name, expression: None, narrowing: Narrowing::default() };
        let done = self.reading_rest(&mut reading);
        self.file.readings.push(reading);
        done
    }

    fn reading_rest(&mut self, reading: &mut ReadingNode) -> Parsed<()> {
        self.expect(TokenKind::Equals, "`=`", "write `reading NAME = peak_to_peak(TESTPOINT)`")?;
        let expression = self.expression()?;
        reading.narrowing = self.narrowing()?;
        reading.expression = Some(expression);
        Ok(())
    }

    /// `in TRANSIENT` and `over t1 .. t2`, in any order, with or without a comma before them.
    fn narrowing(&mut self) -> Parsed<Narrowing> {
        let mut narrowing = Narrowing::default();
        loop {
            let next = if self.kind() == TokenKind::Comma { 1 } else { 0 };
            if self.kind_at(next) != TokenKind::Word {
                return Ok(narrowing);
            }
            match self.token_at(next).text(self.text) {
                "in" if narrowing.transient.is_none() => {
                    self.take(TokenKind::Comma);
                    self.bump();
                    narrowing.transient = Some(self.word("the name of a transient")?);
                }
                "over" if narrowing.window.is_none() => {
                    self.take(TokenKind::Comma);
                    self.bump();
                    narrowing.window = Some(self.range()?);
                }
                _ => return Ok(narrowing),
            }
        }
    }

    /// `require EXPRESSION < VALUE "why"`
    pub(super) fn requirement(&mut self) -> Parsed<()> {
        const HELP: &str = "write `require READING < VALUE \"why it matters\"`";
        self.bump();
        let start = self.span();
        let expression = self.expression()?;
        let narrowing = self.narrowing()?;
        let comparison = match self.kind() {
            TokenKind::Less => Comparison::Less,
            TokenKind::LessOrEqual => Comparison::LessOrEqual,
            TokenKind::Greater => Comparison::Greater,
            TokenKind::GreaterOrEqual => Comparison::GreaterOrEqual,
            _ => return Err(self.unexpected("`<`, `<=`, `>` or `>=`", HELP)),
        };
        self.bump();
        let limit = self.expression()?;
        let text = self.folded(start.to(self.previous_span()));
        let why = if self.kind() == TokenKind::Text { Some(self.quoted("a text", HELP)?.text) } else { None };
        if self.at_word("in") || self.at_word("over") {
            let word = self.here_text();
            let help =
                format!("`{word}` stands before the comparison: `require minimum(rail) in plug_in > 9 V`");
            return Err(self.unexpected("the end of the statement", &help));
        }
        let twice = matches!(
            self.kind(),
            TokenKind::Less | TokenKind::LessOrEqual | TokenKind::Greater | TokenKind::GreaterOrEqual
        );
        if twice {
            let help = "a requirement compares once: write one for each limit, `require READING > A` and `require READING < B`";
            return Err(self.unexpected("the end of the statement", help));
        }
        if self.kind() == TokenKind::Word && self.kind_at(1) == TokenKind::Text {
            let help = "the reason follows in quotes, without a word before it";
            return Err(self.unexpected("the end of the statement", help));
        }
        self.file.requirements.push(RequirementNode { text, expression, narrowing, comparison, limit, why });
        Ok(())
    }

    /// A stretch of the text with its white space folded and its comments left out.
    fn folded(&self, span: Span) -> String {
        let lines = self.text[span.start..span.end].lines();
        let words = lines.flat_map(|line| line.split('#').next().unwrap_or_default().split_whitespace());
        words.collect::<Vec<_>>().join(" ")
    }

    /// `transient [NAME] span T, start steady, record dt`
    pub(super) fn transient(&mut self) -> Parsed<()> {
        let statement = self.bump();
        let mut transient = TransientNode { name: None, statement, span: None, start: None, record: None };
        if self.kind() == TokenKind::Word && !self.at_word("span") {
            transient.name = Some(self.word("a name")?);
        }
        let done = self.transient_rest(&mut transient);
        if done.is_ok() {
            self.tell_missing_transient_words(&transient);
        }
        self.file.transients.push(transient);
        done
    }

    fn transient_rest(&mut self, transient: &mut TransientNode) -> Parsed<()> {
        const WORDS: &[&str] = &["span", "start", "record"];
        loop {
            if self.kind() != TokenKind::Word {
                const HELP: &str = "write `transient NAME span 1 ms, start steady`";
                return Err(self.unexpected("`span`, `start` or `record`", HELP));
            }
            let word = self.word("`span`, `start` or `record`")?;
            let twice = match word.text.as_str() {
                "span" => put(&mut transient.span, self.expression()?),
                "start" => {
                    let start = self.start()?;
                    put(&mut transient.start, start)
                }
                "record" => put(&mut transient.record, self.expression()?),
                other => {
                    let mistake =
                        Mistake::new("unknown_property", word.span, format!("a transient has no `{other}`"))
                            .label("expected `span`, `start` or `record`")
                            .near(nearest(other, WORDS.iter().copied()));
                    return Err(self.sink.push(mistake));
                }
            };
            if twice {
                self.tell_stated_twice(&word);
            }
            if !self.take(TokenKind::Comma) {
                return Ok(());
            }
        }
    }

    fn tell_stated_twice(&mut self, word: &Word) {
        self.sink.push(
            Mistake::new("stated_twice", word.span, format!("`{}` is stated twice", word.text))
                .label("leave one out"),
        );
    }

    fn start(&mut self) -> Parsed<Start> {
        const STARTS: &[(&str, Start)] =
            &[("steady", Start::Steady), ("operating", Start::Operating), ("rest", Start::Rest)];
        const HELP: &str =
            "steady: the repeating state; operating: drives off, all settled; rest: switched on at 0 s";
        let word = self.word("`steady`, `operating` or `rest`")?;
        if let Some((_, start)) = STARTS.iter().find(|(name, _)| *name == word.text) {
            return Ok(*start);
        }
        let near = nearest(&word.text, STARTS.iter().map(|(name, _)| *name));
        let mistake =
            Mistake::new("unknown_start", word.span, format!("a transient can't start `{}`", word.text))
                .label("expected `steady`, `operating` or `rest`");
        Err(self.sink.push(if near.is_some() { mistake.near(near) } else { mistake.help(HELP) }))
    }

    fn tell_missing_transient_words(&mut self, transient: &TransientNode) {
        let missing = match (&transient.span, transient.start) {
            (None, _) => "`span`: how long it runs",
            (_, None) => "`start`: `steady`, `operating` or `rest`",
            _ => return,
        };
        self.sink.push(
            Mistake::new("missing_property", transient.statement, format!("a transient needs {missing}"))
                .label("not said here")
                .help("write `transient NAME span 1 ms, start steady`"),
        );
    }
}

/// Stores a value; whether there was one already.
fn put<T>(slot: &mut Option<T>, value: T) -> bool {
    slot.replace(value).is_some()
}
