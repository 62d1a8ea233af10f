//! Values and expressions, by precedence climbing.

use super::{Parsed, Parser, STATEMENTS, shown};
use crate::description::BinaryOperator;
use crate::kinds::{TABLES, is_reserved};
use crate::mistake::Mistake;
use crate::source::Span;
use crate::syntax::{Literal, Node, NodeKind, ValueKind, ValueNode, Word};
use crate::token::TokenKind;
use quantity::parse_unit;

/// Deepest nesting, and most operators in one row: beyond any formula a person writes, and shallow enough that
/// functions which walk an expression may recurse.
const DEEPEST: usize = 100;
const MOST_IN_ROW: usize = 200;

/// Binding powers; `^` binds above unary minus and to the right.
const UNARY: u8 = 5;

fn binary(kind: TokenKind) -> Option<(BinaryOperator, u8, u8)> {
    match kind {
        TokenKind::Plus => Some((BinaryOperator::Add, 1, 2)),
        TokenKind::Minus => Some((BinaryOperator::Subtract, 1, 2)),
        TokenKind::Star => Some((BinaryOperator::Multiply, 3, 4)),
        TokenKind::Slash => Some((BinaryOperator::Divide, 3, 4)),
        TokenKind::Caret => Some((BinaryOperator::Power, 8, 7)),
        _ => None,
    }
}

impl Parser<'_> {
    /// A property's value: an expression with or without tolerance, a range, a list, a word or a text.
    pub(super) fn value(&mut self) -> Parsed<ValueNode> {
        let start = self.span();
        // `points [ … ]` reads better than the list alone; both are the same.
        if self.here_text() == "points" && self.kind_at(1) == TokenKind::OpenBracket {
            self.bump();
        }
        let kind = match self.kind() {
            TokenKind::Text => {
                self.bump();
                ValueKind::Text
            }
            TokenKind::OpenBracket => ValueKind::List(self.list()?),
            TokenKind::Word if self.at_unknown() => ValueKind::Expression(self.unknown_value()?, None),
            _ => {
                let first = self.expression()?;
                if self.take(TokenKind::DotDot) {
                    ValueKind::Range(first, self.expression()?)
                } else if self.take(TokenKind::PlusMinus) {
                    ValueKind::Expression(first, Some(self.expression()?))
                } else {
                    ValueKind::Expression(first, None)
                }
            }
        };
        Ok(ValueNode { kind, span: start.to(self.previous_span()) })
    }

    /// Whether `unknown` stands here and an end of it follows: a `let` may bear the name.
    pub(super) fn at_unknown(&self) -> bool {
        let value = [TokenKind::Number, TokenKind::Word, TokenKind::OpenParenthesis, TokenKind::Minus];
        self.here_text() == "unknown" && value.contains(&self.kind_at(1))
    }

    /// `unknown A .. B`.
    pub(super) fn unknown_value(&mut self) -> Parsed<Node> {
        let start = self.bump();
        let (low, high) = self.range()?;
        let span = start.to(high.span);
        Ok(Node { kind: NodeKind::Unknown(Box::new(low), Box::new(high)), span })
    }

    pub(super) fn list(&mut self) -> Parsed<Vec<(Node, Option<Node>)>> {
        self.bump();
        let mut entries = Vec::new();
        while self.kind() != TokenKind::CloseBracket {
            let first = self.expression()?;
            let second = if self.take(TokenKind::Colon) { Some(self.expression()?) } else { None };
            entries.push((first, second));
            if !self.take(TokenKind::Comma) {
                break;
            }
        }
        self.expect(TokenKind::CloseBracket, "`]`", "a list is `[A: B, C: D]`")?;
        Ok(entries)
    }

    pub(super) fn expression(&mut self) -> Parsed<Node> {
        self.climb(0, 0)
    }

    /// `A .. B`, both with the same dimension.
    pub(super) fn range(&mut self) -> Parsed<(Node, Node)> {
        let low = self.expression()?;
        self.expect(TokenKind::DotDot, "`..`", "a range is `A .. B`")?;
        Ok((low, self.expression()?))
    }

    fn climb(&mut self, least: u8, depth: usize) -> Parsed<Node> {
        if depth > DEEPEST {
            return Err(self.too_deep());
        }
        let mut left = self.operand(depth)?;
        let mut row = 0;
        while let Some((operator, binds_left, binds_right)) = binary(self.kind()) {
            if binds_left < least {
                break;
            }
            row += 1;
            if row > MOST_IN_ROW {
                return Err(self.too_deep());
            }
            let sign = self.bump();
            let right = self.climb(binds_right, depth + 1)?;
            let span = left.span.to(right.span);
            if operator == BinaryOperator::Power {
                self.refuse_power_of_unit(&left, sign, &right)?;
            }
            left = Node { kind: NodeKind::Binary(operator, Box::new(left), Box::new(right)), span };
        }
        Ok(left)
    }

    /// `2.5 mm^2` would be the square of 2.5 mm, which is 6.25 mm2 and hardly meant.
    fn refuse_power_of_unit(&mut self, base: &Node, sign: Span, exponent: &Node) -> Parsed<()> {
        let NodeKind::Number(Literal { digits, unit: Some(unit), .. }) = &base.kind else { return Ok(()) };
        if unit.span.end != sign.start || unit.text == "%" {
            return Ok(());
        }
        let power = &self.text[exponent.span.start..exponent.span.end];
        let square = format!("{}{power}", unit.text);
        let help = if parse_unit(&square).is_ok() {
            format!("write `{digits} {square}`, or `({digits} {}) ^ {power}` for the power of all", unit.text)
        } else {
            format!("write `({digits} {}) ^ {power}` for the power of all", unit.text)
        };
        let mistake = Mistake::new(
            "power_of_unit",
            base.span.to(exponent.span),
            format!("is `{}` alone to the power of {power}, or the whole value?", unit.text),
        )
        .label("this can be read in two ways")
        .help(help);
        Err(self.sink.push(mistake))
    }

    fn too_deep(&mut self) -> crate::mistake::Told {
        let mistake =
            Mistake::new("too_deep", self.span(), "this expression is nested too deeply or too long")
                .label(format!("at most {DEEPEST} levels and {MOST_IN_ROW} operators in a row"))
                .help("name parts of it with `let`");
        self.sink.push(mistake)
    }

    fn operand(&mut self, depth: usize) -> Parsed<Node> {
        let span = self.span();
        match self.kind() {
            TokenKind::Number => self.number(),
            TokenKind::Minus => {
                self.bump();
                let inner = self.climb(UNARY, depth + 1)?;
                let span = span.to(inner.span);
                Ok(Node { kind: NodeKind::Negate(Box::new(inner)), span })
            }
            TokenKind::Plus => {
                self.bump();
                self.climb(UNARY, depth + 1)
            }
            TokenKind::OpenParenthesis => {
                self.bump();
                let inner = self.climb(0, depth + 1)?;
                let help = match self.kind() {
                    TokenKind::Colon => "a list of points stands in `[ ]`",
                    _ => "close the parenthesis",
                };
                self.expect(TokenKind::CloseParenthesis, "`)`", help)?;
                Ok(inner)
            }
            TokenKind::Word if self.here_text() == "points" && self.kind_at(1) == TokenKind::Number => {
                self.bump();
                Err(self.unexpected("`[`", "a list of points stands in brackets: `points [A: B, C: D]`"))
            }
            TokenKind::Word => {
                let word = self.path("a name")?;
                if self.kind() == TokenKind::OpenParenthesis {
                    return self.call(word, depth);
                }
                Ok(Node { span: word.span, kind: NodeKind::Name(word.text) })
            }
            TokenKind::Equals => {
                Err(self.unexpected("a value", "leave the `=` out: a property's value follows its word"))
            }
            TokenKind::Colon => {
                Err(self.unexpected("a value", "leave the `:` out: a property's value follows its word"))
            }
            TokenKind::Slash if self.kind_at(1) == TokenKind::Minus => {
                Err(self.unexpected("a value", "a tolerance is written `+- 20 %`"))
            }
            _ => Err(self.unexpected(
                "a value",
                "a value is a number with its unit, the name of a `let`, or a formula of those",
            )),
        }
    }

    fn call(&mut self, function: Word, depth: usize) -> Parsed<Node> {
        self.bump();
        let mut arguments = Vec::new();
        while self.kind() != TokenKind::CloseParenthesis {
            let first = self.climb(0, depth + 1)?;
            let argument = if self.take(TokenKind::DotDot) {
                let second = self.climb(0, depth + 1)?;
                let span = first.span.to(second.span);
                Node { kind: NodeKind::Range(Box::new(first), Box::new(second)), span }
            } else {
                first
            };
            arguments.push(argument);
            if !self.take(TokenKind::Comma) {
                break;
            }
        }
        let close = self.expect(
            TokenKind::CloseParenthesis,
            "`,` or `)`",
            "arguments stand in parentheses, separated by commas",
        )?;
        let span = function.span.to(close);
        Ok(Node { kind: NodeKind::Call(function, arguments), span })
    }

    /// A word right after a number is its unit; but where a comma or a line's end has been forgotten, a word of the
    /// language that is no unit says more about what is missing.
    fn begins_something_else(&self) -> bool {
        let word = self.here_text();
        let glued = self.token_at(0).span(self.source).start == self.previous_span().end;
        // Most are units, which are found sooner than among the words of all kinds.
        if glued || parse_unit(word).is_ok() {
            return false;
        }
        is_reserved(word)
            || STATEMENTS.contains(&word)
            || matches!(word, "set" | "over" | "step" | "steps" | "log" | "series")
            // `in TRANSIENT`; without a name after it, it is meant for inches, which the unit's mistake explains.
            || word == "in" && self.kind_at(1) == TokenKind::Word
            || TABLES.iter().any(|table| table.property(word).is_some())
    }

    /// `6,4`, told as a mistake and read on as if it had a point. Between brackets it may be two values.
    fn decimal_comma(&mut self, digits: &str, span: Span) -> Option<(String, Span)> {
        let (comma, fraction) = (self.token_at(0), self.token_at(1));
        let (comma_span, end) = (comma.span(self.source), fraction.span(self.source));
        let glued = comma_span.start == span.end && end.start == comma_span.end;
        if (comma.kind, fraction.kind) != (TokenKind::Comma, TokenKind::Number)
            || !glued
            || self.is_within_brackets()
        {
            return None;
        }
        let after = fraction.text(self.text);
        let whole = span.to(end);
        let text = format!("{digits}.{after}");
        let help = if after.len() == 3 && digits != "0" {
            format!("write `{text}`, or `{digits}{after}` where thousands are meant")
        } else {
            format!("write `{text}`")
        };
        self.sink.push(
            Mistake::new("decimal_comma", whole, "a number's fraction begins with a point, not with a comma")
                .label("a comma separates properties")
                .help(help),
        );
        self.bump();
        self.bump();
        Some((text, whole))
    }

    /// Whether a round or square bracket of this statement is open here.
    fn is_within_brackets(&self) -> bool {
        let mut depth = 0_usize;
        for token in self.tokens[..self.place].iter().rev() {
            match token.kind {
                TokenKind::CloseParenthesis | TokenKind::CloseBracket => depth += 1,
                TokenKind::OpenParenthesis | TokenKind::OpenBracket if depth == 0 => return true,
                TokenKind::OpenParenthesis | TokenKind::OpenBracket => depth -= 1,
                TokenKind::LineEnd | TokenKind::Semicolon | TokenKind::OpenBrace | TokenKind::CloseBrace => {
                    return false;
                }
                _ => {}
            }
        }
        false
    }

    fn number(&mut self) -> Parsed<Node> {
        let mut digits = self.here_text();
        let mut span = self.bump();
        let pointed = self.decimal_comma(digits, span);
        if let Some((text, whole)) = &pointed {
            (digits, span) = (text.as_str(), *whole);
        }
        let number: f64 = digits.parse().unwrap_or(f64::INFINITY);
        if !number.is_finite() {
            return Err(self.sink.push(
                Mistake::new(
                    "number_too_large",
                    span,
                    format!("`{}` is too large for a number", shown(digits)),
                )
                .label("at most about 1e308"),
            ));
        }
        let unit = match self.kind() {
            TokenKind::Word | TokenKind::Percent if !self.begins_something_else() => {
                let text = self.here_text().to_owned();
                Some(Word { text, span: self.bump() })
            }
            _ => None,
        };
        let glued = unit.as_ref().is_some_and(|unit| unit.span.start == span.end);
        let whole = unit.as_ref().map_or(span, |unit| span.to(unit.span));
        // A million digits are a number all the same, but no text to keep.
        let digits = shown(digits);
        Ok(Node { kind: NodeKind::Number(Literal { number, digits, unit, glued }), span: whole })
    }
}
