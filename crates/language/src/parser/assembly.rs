//! Assemblies: terminals, parameters and what they hold.

use super::{Parsed, Parser, STATEMENTS};
use crate::kinds::is_reserved;
use crate::mistake::Mistake;
use crate::source::Span;
use crate::syntax::{AssemblyNode, Inner, Placed};
use crate::token::TokenKind;

const ASSEMBLY_HELP: &str = "write `assembly NAME(PARAMETER, …) NODE, NODE { … }`";
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
            let help = match self.kind() {
                TokenKind::Equals => "a parameter has no value here: each `fit` gives it one",
                _ => ASSEMBLY_HELP,
            };
            self.expect(TokenKind::CloseParenthesis, "`,` or `)`", help)?;
        }
        loop {
            assembly.terminals.push(self.name("a terminal: the name of a node")?);
            if !self.take(TokenKind::Comma) {
                break;
            }
        }
        let help = match self.kind() {
            TokenKind::Arrow => "terminals are a list: write `,` in place of `->`",
            _ => ASSEMBLY_HELP,
        };
        let open = self.block_start(help)?;
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
                    "testpoint" | "reading" | "require" | "response" | "set" | "sweep" => {
                        "move it out: the part `x` of an instance `f` is `f.x` there"
                    }
                    "include" => {
                        "include it outside the block; an assembly of that file can be fitted in here"
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
            "include" => {
                self.skip_statement();
                self.file.parts_missing = true;
                self.file.names_missing = true;
                Ok(())
            }
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
}
