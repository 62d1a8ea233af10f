//! Choices and conditions.

use super::{Parsed, Parser, STATEMENTS, shown};
use crate::description::AxisKind;
use crate::kinds::is_reserved;
use crate::mistake::{Mistake, Told};
use crate::source::Span;
use crate::syntax::{AxisNode, Item, OptionNode, Placed, SetNode, Word};
use crate::token::TokenKind;

impl Parser<'_> {
    pub(super) fn axis(&mut self) -> Parsed<()> {
        let kind = if self.at_word("choice") { AxisKind::Choice } else { AxisKind::Condition };
        self.bump();
        let name = self.word("a name for the axis")?;
        let open = self.block_start(axis_help(kind))?;
        let mut axis = AxisNode { kind, name, options: Vec::new(), sweep: None, place: None };
        let told_before = self.sink.count();
        let done = self.axis_body(&mut axis, open);
        if axis.options.is_empty() && self.sink.count() == told_before {
            let word = option_word(kind);
            let mistake =
                Mistake::new("empty_axis", axis.name.span, format!("`{}` has no {word}", axis.name.text))
                    .label(format!("expected at least one {word}"))
                    .help(axis_help(kind));
            self.sink.push(mistake);
        }
        self.file.items.push(Item::Axis(axis));
        done
    }

    /// `{`, perhaps on the next line. Where it is missing but an option follows, that is told and the block read all
    /// the same, up to its `}`.
    pub(super) fn block_start(&mut self, help: &str) -> Parsed<Span> {
        let mut ahead = 0;
        while self.kind_at(ahead) == TokenKind::LineEnd {
            ahead += 1;
        }
        match self.kind_at(ahead) {
            TokenKind::OpenBrace => {
                self.place += ahead;
                Ok(self.bump())
            }
            TokenKind::Word if matches!(self.token_at(ahead).text(self.text), "option" | "case") => {
                self.unexpected("`{`", help);
                Ok(self.previous_span())
            }
            _ => {
                // Options further down belong to what has no beginning then.
                self.headless = true;
                let help = if self.kind() == TokenKind::Colon { BRACES } else { help };
                Err(self.unexpected("`{`", help))
            }
        }
    }

    fn axis_body(&mut self, axis: &mut AxisNode, open: Span) -> Parsed<()> {
        while !self.sink.full() {
            self.skip_separators();
            if self.kind() == TokenKind::CloseBrace {
                let close = self.bump();
                if let Some(place) = &mut axis.place {
                    place.close = Some(close);
                }
                self.resumes = true;
                return Ok(());
            }
            if self.kind() == TokenKind::End || (self.unclosed > 0 && self.at_foreign_statement()) {
                self.tell_unclosed(open, &format!("`{}`", axis.name.text));
                return Ok(());
            }
            if self.at_word("option") || self.at_word("case") {
                let option = self.option(axis.kind);
                let done = option.map(|option| axis.options.push(option));
                self.end_statement(done);
                continue;
            }
            if self.at_word("place") {
                let done = self.place(axis);
                self.end_statement(done);
                continue;
            }
            let word = option_word(axis.kind);
            self.unexpected(&format!("`{word}`"), axis_help(axis.kind));
            self.skip_statement();
        }
        Ok(())
    }

    fn option(&mut self, kind: AxisKind) -> Parsed<OptionNode> {
        let expected = option_word(kind);
        if !self.at_word(expected) {
            let (axis, found) = match kind {
                AxisKind::Choice => ("choice", "case"),
                AxisKind::Condition | AxisKind::Sweep => ("condition", "option"),
            };
            let mistake =
                Mistake::new("wrong_option_word", self.span(), format!("a {axis} has no `{found}`"))
                    .label(format!("expected `{expected}`"))
                    .help("a choice has options, which the builder picks; a condition has cases, which the vehicle meets");
            self.sink.push(mistake);
        }
        self.bump();
        let name = self.word("a name")?;
        let baseline = self.at_word("baseline").then(|| self.bump());
        if let Some(span) = baseline
            && kind == AxisKind::Condition
        {
            self.sink.push(
                Mistake::new("baseline_in_condition", span, "a case can't be the baseline")
                    .label("options are compared with a baseline, cases are not")
                    .help("leave the word out"),
            );
        }
        let open = self.block_start("an option's parts stand in `{ }`, even if there are none")?;
        let mut option = OptionNode { name, baseline, placed: Vec::new(), sets: Vec::new() };
        self.option_body(&mut option, open);
        Ok(option)
    }

    fn option_body(&mut self, option: &mut OptionNode, open: Span) {
        while !self.sink.full() {
            self.skip_separators();
            if self.take(TokenKind::CloseBrace) {
                self.resumes = true;
                return;
            }
            let next_option = self.at_word("option") || self.at_word("case");
            if self.kind() == TokenKind::End
                || (self.unclosed > 0 && (next_option || self.at_top_statement()))
            {
                self.tell_unclosed(open, &format!("`{}`", option.name.text));
                return;
            }
            let done = self.option_statement(option);
            self.end_statement(done);
        }
    }

    fn option_statement(&mut self, option: &mut OptionNode) -> Parsed<()> {
        let word = self.here_text();
        if self.at_word("set") {
            let set = self.set()?;
            option.sets.push(set);
            return Ok(());
        }
        if self.kind() == TokenKind::Word && (is_reserved(word) || self.looks_like_part()) {
            let part = self.part()?;
            option.placed.push(Placed::Part(part));
            return Ok(());
        }
        if self.at_word("fit") {
            let (fit, done) = self.fit()?;
            option.placed.push(Placed::Fit(fit));
            return done;
        }
        if self.at_top_statement() || self.at_word("option") || self.at_word("case") {
            return self.foreign_statement();
        }
        let follows = self.kind_at(1);
        let is_setting =
            self.kind() == TokenKind::Word && matches!(follows, TokenKind::Dot | TokenKind::Equals);
        let help = if is_setting {
            let value = if follows == TokenKind::Dot { ".PROPERTY" } else { "" };
            format!("a setting begins with `set`: write `set {}{value} = …`", shown(self.here_text()))
        } else {
            "options and cases hold parts, `fit` and `set PART.PROPERTY = VALUE`".to_owned()
        };
        Err(self.unexpected("a part or `set`", &help))
    }

    /// Tells that the statement belongs outside, and reads it all the same so that its names are known.
    fn foreign_statement(&mut self) -> Parsed<()> {
        let word = self.here_text().to_owned();
        let mistake =
            Mistake::new("misplaced", self.span(), format!("`{word}` can't stand inside an option or case"))
                .label("options and cases hold parts, `fit` and `set`")
                .help("move it below the block, or close the block before it");
        if word == "include" {
            self.skip_statement();
            let help = "include it outside the block; an assembly of that file can be fitted in here";
            self.misses(mistake.help(help));
            return Ok(());
        }
        self.sink.push(mistake);
        // Axes would nest; they are skipped rather than read.
        if matches!(word.as_str(), "choice" | "condition" | "option" | "case") {
            self.skip_statement();
            return Ok(());
        }
        self.statement()
    }

    /// `set TARGET = VALUE`
    pub(super) fn set(&mut self) -> Parsed<SetNode> {
        let start = self.bump();
        self.assignment(start)
    }

    pub(super) fn assignment(&mut self, start: Span) -> Parsed<SetNode> {
        let (target, property) = self.target()?;
        // `set pack charge = …`
        let joined =
            property.is_none() && self.kind() == TokenKind::Word && self.kind_at(1) == TokenKind::Equals;
        let help = if joined {
            let part = shown(&target.text);
            format!("a dot joins a part and its property: write `{part}.{} = …`", shown(self.here_text()))
        } else {
            "write `PART.PROPERTY = VALUE`, or `NAME = VALUE` for a `let`".to_owned()
        };
        let value = self.expect(TokenKind::Equals, "`=`", &help).and_then(|_| self.value());
        let told = value.as_ref().err().copied();
        let span = start.to(self.previous_span());
        let set = SetNode { target, property, value: value.ok(), span };
        match told {
            None => Ok(set),
            Some(told) => Err(told),
        }
    }

    /// `NAME` or `PART.PROPERTY`.
    pub(super) fn target(&mut self) -> Parsed<(Word, Option<Word>)> {
        let mut target = self.word("a part or a `let`")?;
        let mut property = None;
        while self.take(TokenKind::Dot) {
            // All but the last word is the part, which may lie inside instances.
            if let Some(inner) = property.replace(self.property_word()?) {
                target = target.inner(&inner);
            }
        }
        Ok((target, property))
    }

    fn property_word(&mut self) -> Result<Word, Told> {
        self.word("a property")
    }

    /// Whether a statement begins here that can't stand in an option or case.
    fn at_top_statement(&self) -> bool {
        self.kind() == TokenKind::Word && STATEMENTS.contains(&self.here_text()) && !self.at_word("fit")
    }

    /// Whether something begins here that can't stand directly in a choice or condition.
    fn at_foreign_statement(&self) -> bool {
        self.at_top_statement()
            || self.at_word("fit")
            || (self.kind() == TokenKind::Word && is_reserved(self.here_text()))
    }
}

const BRACES: &str =
    "a block stands in braces: write `{` in place of the `:`, and `}` after its last statement";

fn option_word(kind: AxisKind) -> &'static str {
    match kind {
        AxisKind::Choice => "option",
        AxisKind::Condition | AxisKind::Sweep => "case",
    }
}

fn axis_help(kind: AxisKind) -> &'static str {
    match kind {
        AxisKind::Choice => "write `choice NAME { option NAME { … } … }`",
        AxisKind::Condition | AxisKind::Sweep => "write `condition NAME { case NAME { … } … }`",
    }
}
