//! Assemblies, and fitting them.

use super::{Parsed, Parser, STATEMENTS};
use crate::kinds::is_reserved;
use crate::mistake::Mistake;
use crate::source::Span;
use crate::syntax::{AssemblyNode, FitNode, Inner, LetNode, Placed, Word};
use crate::token::TokenKind;

const ASSEMBLY_HELP: &str = "write `assembly NAME(PARAMETER, …) NODE, NODE { … }`";
const FIT_HELP: &str = "write `fit ASSEMBLY NAME NODE, NODE  PARAMETER VALUE, …`";
const BODY_HELP: &str = "an assembly holds parts, `let` and `fit`";

impl Parser<'_> {
    /// `assembly NAME(PARAMETER, …) TERMINAL, … { … }`
    pub(super) fn assembly(&mut self) -> Parsed<()> {
        self.bump();
        let name = self.name("the assembly's name")?;
        let mut assembly = AssemblyNode { complete: true, ..AssemblyNode::unread(name) };
        let done = self.assembly_rest(&mut assembly);
        assembly.complete &= done.is_ok();
        assembly.span = assembly.span.to(self.previous_span());
        self.file.assemblies.push(assembly);
        done
    }

    fn assembly_rest(&mut self, assembly: &mut AssemblyNode) -> Parsed<()> {
        if self.take(TokenKind::OpenParenthesis) {
            while self.kind() != TokenKind::CloseParenthesis {
                assembly.parameters.push(self.name("a parameter's name")?);
                if !self.take(TokenKind::Comma) {
                    break;
                }
            }
            self.expect(TokenKind::CloseParenthesis, "`,` or `)`", ASSEMBLY_HELP)?;
        }
        loop {
            assembly.terminals.push(self.name("a terminal: the name of a node")?);
            if !self.take(TokenKind::Comma) {
                break;
            }
        }
        let open = self.block_start(ASSEMBLY_HELP)?;
        self.assembly_body(assembly, open);
        Ok(())
    }

    fn assembly_body(&mut self, assembly: &mut AssemblyNode, open: Span) {
        while !self.sink.full() {
            self.skip_separators();
            if self.take(TokenKind::CloseBrace) {
                self.resumes = true;
                return;
            }
            let outside = self.at_foreign_to_assemblies() || self.at_fit_of(&assembly.name.text);
            if self.kind() == TokenKind::End || (self.unclosed > 0 && outside) {
                self.tell_unclosed(open, &format!("`{}`", assembly.name.text));
                // Parts from further down may have been drawn in.
                assembly.complete = false;
                return;
            }
            let done = self.assembly_statement(assembly);
            assembly.complete &= done.is_ok();
            self.end_statement(done);
        }
    }

    fn assembly_statement(&mut self, assembly: &mut AssemblyNode) -> Parsed<()> {
        if self.at_word("let") {
            let (node, done) = self.let_node()?;
            assembly.body.push(Inner::Let(node));
            return done;
        }
        if self.at_word("fit") {
            let (fit, done) = self.fit()?;
            assembly.body.push(Inner::Placed(Placed::Fit(fit)));
            return done;
        }
        if self.at_foreign_to_assemblies() {
            return self.statement_foreign_to_assemblies();
        }
        if self.kind() == TokenKind::Word && (is_reserved(self.here_text()) || self.looks_like_part()) {
            let part = self.part()?;
            assembly.body.push(Inner::Placed(Placed::Part(part)));
            return Ok(());
        }
        Err(self.unexpected("a part, `let` or `fit`", BODY_HELP))
    }

    /// Whether a statement begins here that can't stand in an assembly.
    fn at_foreign_to_assemblies(&self) -> bool {
        let word = self.here_text();
        let other = matches!(word, "option" | "case" | "set");
        let known = STATEMENTS.contains(&word) && !matches!(word, "let" | "fit");
        self.kind() == TokenKind::Word && (other || known)
    }

    /// Whether the assembly is fitted here, which can't be inside itself.
    fn at_fit_of(&self, assembly: &str) -> bool {
        self.at_word("fit") && self.token_at(1).text(self.text) == assembly
    }

    /// Tells that the statement belongs outside. What bears a name is known all the same, so that its users stay silent;
    /// what it says of inner nodes and parts would be wrong outside, and is passed over.
    fn statement_foreign_to_assemblies(&mut self) -> Parsed<()> {
        let word = self.here_text().to_owned();
        self.sink.push(
            Mistake::new("misplaced", self.span(), format!("`{word}` can't stand inside an assembly"))
                .label("an assembly holds parts, `let` and `fit`")
                .help(match word.as_str() {
                    "testpoint" | "reading" | "require" | "response" | "set" => {
                        "move it out: the part `x` of an instance `f` is `f.x` there"
                    }
                    _ => "move it out of the block",
                }),
        );
        match word.as_str() {
            "testpoint" => {
                let done = self.testpoint();
                self.file.testpoints.iter_mut().last().into_iter().for_each(|last| last.signal = None);
                done
            }
            "reading" => {
                let done = self.reading();
                self.file.readings.iter_mut().last().into_iter().for_each(|last| last.expression = None);
                done
            }
            "response" => {
                let done = self.response();
                self.file.responses.iter_mut().last().into_iter().for_each(|last| last.expression = None);
                done
            }
            "transient" | "frequency" => self.statement(),
            // They would nest; the name is known, the rest passed over.
            "assembly" => {
                self.bump();
                let name = self.name("the assembly's name")?;
                self.skip_statement();
                self.file.assemblies.push(AssemblyNode::unread(name));
                Ok(())
            }
            _ => {
                self.skip_statement();
                Ok(())
            }
        }
    }

    /// `fit ASSEMBLY NAME NODE, NODE  PARAMETER VALUE, …`, and whether all of it could be read.
    pub(super) fn fit(&mut self) -> Parsed<(FitNode, Parsed<()>)> {
        self.bump();
        let names = self.word("the name of an assembly");
        let names = names.and_then(|assembly| Ok((assembly, self.name("a name for what is fitted")?)));
        // What it connects is out of sight from here on, so nothing can be said of it.
        let (assembly, name) = names.inspect_err(|_| self.file.parts_missing = true)?;
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
        let mut comma = None;
        loop {
            if comma.is_some() && self.at_next_statement() {
                return Err(self.tell_comma_before_statement());
            }
            fit.nodes.push(self.outer_node()?);
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
                break;
            }
        }
        let mut name = match (comma, self.kind()) {
            (Some(comma), TokenKind::Number | TokenKind::Minus | TokenKind::OpenParenthesis) => {
                self.parameter_among_nodes(fit, comma)
            }
            _ => None,
        };
        while name.is_some() || !self.at_end() {
            if self.at_next_statement() {
                return Err(self.tell_comma_before_statement());
            }
            let name = match name.take() {
                Some(name) => name,
                None => self.word("a parameter")?,
            };
            if self.at_end() || self.kind() == TokenKind::Comma {
                self.sink.push(
                    Mistake::new("missing_value", name.span, format!("`{}` has no value", name.text))
                        .label("expected a value after this"),
                );
                fit.arguments.push(LetNode { name, value: None });
            } else {
                let value = self.let_value();
                let told = value.as_ref().err().copied();
                fit.arguments.push(LetNode { name, value: value.ok() });
                told.map_or(Ok(()), Err)?;
            }
            if !self.take(TokenKind::Comma) && !self.at_end() {
                return Err(self.unexpected("`,` or the end of the statement", FIT_HELP));
            }
        }
        Ok(())
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

    fn tell_comma_before_statement(&mut self) -> crate::mistake::Told {
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
