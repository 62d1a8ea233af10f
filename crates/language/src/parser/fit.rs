//! Fitting assemblies: nodes, then values of parameters.

use super::{Parsed, Parser, STATEMENTS, shown};
use crate::kinds::is_reserved;
use crate::mistake::{Mistake, Told};
use crate::source::Span;
use crate::syntax::{FitNode, LetNode, Node, Word};
use crate::token::TokenKind;

const HELP: &str = "write `fit ASSEMBLY NAME NODE, NODE  PARAMETER VALUE, …`";

impl Parser<'_> {
    /// `fit ASSEMBLY NAME NODE, NODE  PARAMETER VALUE, …`, and whether all of it could be read.
    pub(super) fn fit(&mut self) -> Parsed<(FitNode, Parsed<()>)> {
        self.bump();
        let names = self.word("the name of an assembly");
        let names = names.and_then(|assembly| Ok((assembly, self.name("a name for what is fitted")?)));
        // What it connects is out of sight from here on, so nothing can be said of it.
        let (assembly, name) = names.inspect_err(|_| self.file.parts_missing = true)?;
        if self.kind() == TokenKind::Comma {
            let help = format!(
                "what is fitted has a name of its own: write `fit {} NAME {}, …`",
                shown(&assembly.text),
                shown(&name.text)
            );
            self.file.parts_missing = true;
            return Err(self.unexpected("a node", &help));
        }
        let mut fit = FitNode {
            assembly,
            name,
            nodes: Vec::new(),
            arguments: Vec::new(),
            complete: false,
            target: None,
            instances: Vec::new(),
            parts: Vec::new(),
        };
        let done = self.fit_rest(&mut fit);
        fit.complete = done.is_ok();
        Ok((fit, done))
    }

    fn fit_rest(&mut self, fit: &mut FitNode) -> Parsed<()> {
        let comma = self.fit_nodes(fit)?;
        let among_nodes = match (comma, self.kind()) {
            (Some(comma), TokenKind::Number | TokenKind::Minus | TokenKind::OpenParenthesis) => {
                self.parameter_among_nodes(fit, comma)
            }
            _ => None,
        };
        self.fit_arguments(fit, among_nodes)
    }

    /// The nodes, and the last comma between them.
    fn fit_nodes(&mut self, fit: &mut FitNode) -> Parsed<Option<Span>> {
        let mut comma = None;
        loop {
            if comma.is_some() && self.at_next_statement() {
                return Err(self.tell_comma_before_statement());
            }
            fit.nodes.push(self.outer_node()?);
            if self.kind() == TokenKind::Arrow {
                let mistake = Mistake::new(
                    "missing_comma",
                    self.span(),
                    "the nodes of a fit stand with commas between",
                )
                .label("expected `,`, not `->`")
                .help("write `fit ASSEMBLY NAME NODE, NODE  PARAMETER VALUE, …`");
                self.sink.push(mistake);
                comma = Some(self.bump());
                continue;
            }
            if self.kind() == TokenKind::Comma {
                comma = Some(self.bump());
            } else if self.at_node_without_comma(fit.nodes.len()) {
                self.sink.push(
                    Mistake::new(
                        "missing_comma",
                        self.previous_span(),
                        format!("expected a comma before `{}`", self.here_text()),
                    )
                    .label("expected `,` after this")
                    .help("a fit's nodes end at the first one without a comma after it"),
                );
            } else {
                return Ok(comma);
            }
        }
    }

    /// `PARAMETER VALUE, …`; the first name has been read where it stood among the nodes.
    fn fit_arguments(&mut self, fit: &mut FitNode, mut first: Option<Word>) -> Parsed<()> {
        while first.is_some() || !self.at_end() {
            if self.at_next_statement() {
                return Err(self.tell_comma_before_statement());
            }
            let name = match first.take() {
                Some(name) => name,
                None => self.word("a parameter")?,
            };
            let value = self.argument(&name);
            if value.is_err() {
                self.skip_to_comma();
            }
            fit.arguments.push(LetNode { name, value: value.ok() });
            if !self.take(TokenKind::Comma) && !self.at_end() {
                return Err(self.unexpected("`,` or the end of the statement", HELP));
            }
        }
        Ok(())
    }

    fn argument(&mut self, parameter: &Word) -> Parsed<(Node, Option<Node>)> {
        if !self.at_end() && self.kind() != TokenKind::Comma {
            return self.let_value();
        }
        Err(self.sink.push(
            Mistake::new("missing_value", parameter.span, format!("`{}` has no value", parameter.text))
                .label("expected a value after this"),
        ))
    }

    /// Whether the name here has no value that would make it a parameter: another one follows with a value, as in `fit f a b gain 3`,
    /// or nothing follows the second node of all.
    fn at_node_without_comma(&self, nodes: usize) -> bool {
        let pair = self.kind_at(1) == TokenKind::Word && self.kind_at(2) == TokenKind::Number;
        let last = matches!(
            self.kind_at(1),
            TokenKind::Comma
                | TokenKind::LineEnd
                | TokenKind::Semicolon
                | TokenKind::CloseBrace
                | TokenKind::End
        );
        self.kind() == TokenKind::Word && (pair || (last && nodes == 1))
    }

    /// `fit f a, b, gain 3`: the last name before a value is no node.
    fn parameter_among_nodes(&mut self, fit: &mut FitNode, comma: Span) -> Option<Word> {
        let name = fit.nodes.pop()?;
        self.sink.push(
            Mistake::new("comma_after_nodes", comma, format!("the comma makes `{}` a node", name.text))
                .label("expected no comma after the last node")
                .help("remove the comma"),
        );
        Some(name)
    }

    /// Whether a comma at a line's end has drawn in what looks like the next statement.
    fn at_next_statement(&self) -> bool {
        let word = self.here_text();
        let known =
            is_reserved(word) || STATEMENTS.contains(&word) || matches!(word, "option" | "case" | "set");
        self.kind() == TokenKind::Word && known && self.previous_is_comma() && self.first_on_line()
    }

    fn tell_comma_before_statement(&mut self) -> Told {
        let told = self.sink.push(
            Mistake::new(
                "comma_before_statement",
                self.previous_span(),
                format!("the comma makes `{}` a part of this statement", self.here_text()),
            )
            .label("a line that ends with a comma goes on in the next")
            .help("remove the comma"),
        );
        self.resumes = true;
        told
    }

    /// A node that a part or an assembly is put on: never one inside an instance.
    pub(super) fn outer_node(&mut self) -> Parsed<Word> {
        let node = self.name("a node")?;
        if self.kind() != TokenKind::Dot {
            return Ok(node);
        }
        let mut span = node.span;
        while self.take(TokenKind::Dot) {
            span = span.to(self.word("a node")?.span);
        }
        Err(self.sink.push(
            Mistake::new(
                "inner_node",
                span,
                "only the parts of an assembly itself can be on its inner nodes",
            )
            .label("expected a node of this place")
            .help("make the inner node a terminal of the assembly"),
        ))
    }
}
