//! Parts and their properties.

use super::{Parsed, Parser, STATEMENTS, shown};
use crate::kind::Kind;
use crate::kinds::{KindTable, Shape, is_reserved};
use crate::mistake::{Mistake, nearest};
use crate::other_words;
use crate::syntax::{PartNode, PropertyNode, Word};
use crate::token::TokenKind;

impl Parser<'_> {
    /// `KIND NAME NODE -> NODE PROPERTY VALUE, …`
    pub(super) fn part(&mut self) -> Parsed<PartNode> {
        let word = self.here_text().to_owned();
        let span = self.span();
        let kind = Kind::from_word(&word);
        if kind.is_none() {
            self.tell_unknown_statement(&word, span);
        }
        self.bump();
        let (name, left, right) = self.head(kind)?;
        let second =
            kind.filter(|kind| kind.has_second_pair()).map(|_| Box::new(self.second_pair(kind, &name)));
        let mut part = PartNode { kind, name, left, right, second, properties: Vec::new(), instance: None };
        match kind {
            Some(kind) => self.properties(kind, &mut part),
            None => self.skip_statement(),
        }
        Ok(part)
    }

    /// Name and nodes; a node is `None` where it is missing and that has been told.
    fn head(&mut self, kind: Option<Kind>) -> Parsed<(Word, Option<Word>, Option<Word>)> {
        let name = self.name("the part's name")?;
        if self.kind() == TokenKind::Arrow {
            let span = self.span();
            self.sink.push(
                Mistake::new(
                    "missing_node",
                    span,
                    format!("`{}` has no node on the left of the arrow", name.text),
                )
                .label("expected a node before `->`")
                .help("write `KIND NAME NODE -> NODE`"),
            );
            self.bump();
            let right = self.node(kind, &name);
            return Ok((name, None, right));
        }
        let left = self.node(kind, &name);
        if self.kind() != TokenKind::Arrow {
            if left.is_none() {
                // Where the nodes are is unknown, so nothing behind them can be made out.
                return Ok((name, None, None));
            }
            self.tell_missing_arrow();
            let right = if self.kind() == TokenKind::Word { self.node(kind, &name) } else { None };
            return Ok((name, left, right));
        }
        self.bump();
        let right = self.node(kind, &name);
        self.refuse_chain(kind);
        Ok((name, left, right))
    }

    /// `a -> b -> c`: all but the first two nodes are told and passed over.
    fn refuse_chain(&mut self, kind: Option<Kind>) {
        if self.kind() != TokenKind::Arrow {
            return;
        }
        let span = self.span();
        let word = kind.map_or("KIND", Kind::word);
        self.sink.push(
            Mistake::new("unexpected", span, "a part goes from one node to one other")
                .label("expected a property")
                .help(format!("write a `{word}` for each stretch")),
        );
        while self.kind() == TokenKind::Arrow {
            self.bump();
            if self.kind() == TokenKind::Word {
                self.bump();
            }
        }
    }

    /// `, NODE -> NODE` after the first pair.
    fn second_pair(&mut self, kind: Option<Kind>, part: &Word) -> (Option<Word>, Option<Word>) {
        if !self.take(TokenKind::Comma) {
            let (span, found) = self.found();
            self.sink.push(
                Mistake::new(
                    "missing_node",
                    span,
                    format!(
                        "`{}` lacks its second pair of nodes: expected a comma and two nodes, found {found}",
                        part.text
                    ),
                )
                .label("expected `, NODE -> NODE`")
                .help("write `KIND NAME NODE -> NODE, NODE -> NODE PROPERTY VALUE`"),
            );
            return (None, None);
        }
        let left = self.node(kind, part);
        if self.kind() == TokenKind::Arrow {
            self.bump();
            return (left, self.node(kind, part));
        }
        if left.is_some() {
            self.tell_missing_arrow();
        }
        let right =
            if left.is_some() && self.kind() == TokenKind::Word { self.node(kind, part) } else { None };
        (left, right)
    }

    fn tell_missing_arrow(&mut self) {
        let (span, found) = self.found();
        self.sink.push(
            Mistake::new(
                "missing_arrow",
                span,
                format!("expected `->` between the part's nodes, found {found}"),
            )
            .label("expected `->`")
            .help("write `KIND NAME NODE -> NODE`"),
        );
        // `-`, `>`, `=`, `,` or `to` in the arrow's place
        while matches!(
            self.kind(),
            TokenKind::Minus | TokenKind::Greater | TokenKind::Equals | TokenKind::Unknown | TokenKind::Comma
        ) {
            self.bump();
        }
        let goes_on = self.kind_at(1) == TokenKind::Word && self.kind_at(2) != TokenKind::Comma;
        if self.at_word("to") && goes_on {
            self.bump();
        }
    }

    fn node(&mut self, kind: Option<Kind>, part: &Word) -> Option<Word> {
        if self.kind() == TokenKind::Word && !self.property_in_nodes_place(kind) {
            return self.outer_node().ok();
        }
        let (mut span, found) = self.found();
        let at_property = self.kind() == TokenKind::Word;
        if at_property {
            span = self.previous_span();
        }
        self.sink.push(
            Mistake::new(
                "missing_node",
                span,
                format!("`{}` lacks a node: expected its name, found {found}", part.text),
            )
            .label(if at_property { "expected a node after this" } else { "expected a node" })
            .help(match self.kind() {
                TokenKind::Minus => format!("names have no `-`: join words by `_`, as in `{}_1`", part.text),
                TokenKind::Number if self.here_text() == "0" => {
                    "the reference node is called `gnd`".to_owned()
                }
                _ => "write `KIND NAME NODE -> NODE`; `gnd` is the reference node".to_owned(),
            }),
        );
        if self.kind() == TokenKind::Number {
            self.bump();
        }
        None
    }

    /// A property's word followed by a value stands for a forgotten node; followed by a property it is a node's name.
    fn property_in_nodes_place(&self, kind: Option<Kind>) -> bool {
        let Some(property) = kind.and_then(|kind| kind.table().property(self.here_text())) else {
            return false;
        };
        match self.kind_at(1) {
            TokenKind::Number | TokenKind::Minus | TokenKind::OpenParenthesis | TokenKind::OpenBracket => {
                true
            }
            TokenKind::Word => match property.shape {
                Shape::Words(words) => words.contains(&self.token_at(1).text(self.text)),
                _ => {
                    kind.is_some_and(|kind| kind.table().property(self.token_at(1).text(self.text)).is_none())
                }
            },
            _ => false,
        }
    }

    fn properties(&mut self, kind: Kind, part: &mut PartNode) {
        while !self.at_end() {
            if self.is_forgotten_statement(kind) {
                let mistake = Mistake::new(
                    "comma_before_statement",
                    self.previous_span(),
                    format!("the comma makes `{}` a part of this statement", self.here_text()),
                )
                .label("a line that ends with a comma goes on in the next")
                .help("remove the comma");
                self.sink.push(mistake);
                self.resumes = true;
                return;
            }
            match self.property(kind) {
                Ok(property) => part.properties.push(property),
                Err(_) => self.skip_to_comma(),
            }
            if self.take(TokenKind::Comma) || self.at_end() {
                continue;
            }
            if self.kind() == TokenKind::Word && kind.table().property(self.here_text()).is_some() {
                let (span, word) = (self.previous_span(), self.here_text());
                self.sink.push(
                    Mistake::new("missing_comma", span, format!("expected a comma before `{word}`"))
                        .label("expected `,` after this"),
                );
                continue;
            }
            self.unexpected("`,` or the end of the statement", "properties are separated by commas");
            self.skip_to_comma();
            if !self.take(TokenKind::Comma) {
                return;
            }
        }
    }

    /// Whether a comma at a line's end has drawn in what looks like the next statement.
    fn is_forgotten_statement(&self, kind: Kind) -> bool {
        let word = self.here_text();
        self.kind() == TokenKind::Word
            && self.previous_is_comma()
            && kind.table().property(word).is_none()
            && (is_reserved(word) || STATEMENTS.contains(&word) || matches!(word, "option" | "case" | "set"))
            && self.first_on_line()
    }

    pub(super) fn previous_is_comma(&self) -> bool {
        self.place > 0 && self.tokens[self.place - 1].kind == TokenKind::Comma
    }

    /// `160 mA current`, which is told; the property counts as stated.
    fn property_behind_its_value(&mut self, table: &KindTable) -> Option<Word> {
        let unit = matches!(self.kind_at(1), TokenKind::Word | TokenKind::Percent);
        let at = if unit && table.property(self.token_at(1).text(self.text)).is_none() { 2 } else { 1 };
        let word = self.token_at(at);
        let property = table.property(word.text(self.text))?;
        if self.kind() != TokenKind::Number || word.kind != TokenKind::Word {
            return None;
        }
        let (start, end) = (self.span(), self.token_at(at - 1).span(self.source));
        let value = &self.text[start.start..end.end];
        let name = Word { text: property.name.to_owned(), span: word.span(self.source) };
        self.sink.push(
            Mistake::new(
                "unexpected",
                start.to(end),
                format!("expected a property, found `{}`", shown(value)),
            )
            .label("expected a property before its value")
            .help(format!("write `{} {}`", property.name, shown(value))),
        );
        self.skip_to_comma();
        Some(name)
    }

    fn property(&mut self, kind: Kind) -> Parsed<PropertyNode> {
        let table = kind.table();
        if let Some(name) = self.property_behind_its_value(table) {
            return Ok(PropertyNode { name, value: None });
        }
        if self.kind() != TokenKind::Word {
            let (word, noun) = (table.word, table.noun());
            let help = format!("write `PROPERTY VALUE`; `quietrail explain {word}` lists what {noun} has");
            return Err(self.unexpected("a property", &help));
        }
        let name = self.word("a property")?;
        if table.property(&name.text).is_none() {
            let near = nearest(&name.text, table.properties.iter().map(|property| property.name))
                .or_else(|| other_words::of_property(&name.text, table));
            let mistake = Mistake::new(
                "unknown_property",
                name.span,
                format!("{} has no property `{}`", table.noun(), shown(&name.text)),
            )
            .label("expected one of its properties");
            let Some(meant) = near else {
                let all: Vec<&str> = table.properties.iter().map(|property| property.name).collect();
                return Err(self.sink.push(mistake.help(format!("it has {}", all.join(", ")))));
            };
            self.sink.push(mistake.near(near));
            self.skip_to_comma();
            // Counts as stated, so that the property that was meant isn't missed as well.
            return Ok(PropertyNode { name: Word { text: meant.to_owned(), ..name }, value: None });
        }
        if self.at_end() || self.kind() == TokenKind::Comma {
            let wanted = match table.property(&name.text).map(|property| property.shape) {
                Some(Shape::Words(words)) => format!("`{}`", words.join("` or `")),
                Some(
                    Shape::Number(dimension, _) | Shape::Range(dimension, _) | Shape::Course(dimension, _),
                ) => quantity::unit_name(dimension).unwrap_or("a number").to_owned(),
                _ => "a value".to_owned(),
            };
            self.sink.push(
                Mistake::new("missing_value", name.span, format!("`{}` has no value", name.text))
                    .label(format!("expected {wanted} after this")),
            );
            return Ok(PropertyNode { name, value: None });
        }
        let is_course =
            table.property(&name.text).is_some_and(|property| matches!(property.shape, Shape::Course(..)));
        if is_course && self.at_word("file") && self.kind_at(1) == TokenKind::Text {
            let value = self.trace()?;
            return Ok(PropertyNode { name, value: Some(value) });
        }
        match self.value() {
            Ok(value) => Ok(PropertyNode { name, value: Some(value) }),
            Err(_) => {
                self.skip_to_comma();
                Ok(PropertyNode { name, value: None })
            }
        }
    }
}
