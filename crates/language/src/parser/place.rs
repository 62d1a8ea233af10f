//! `place NODE -> NODE [, return NODE]`: between which nodes of a choice a filter may go.

use super::{Parsed, Parser};
use crate::description::AxisKind;
use crate::mistake::Mistake;
use crate::syntax::{AxisNode, PlaceNode};
use crate::token::TokenKind;

const HELP: &str = "write `place NODE -> NODE`, from the source's side to the load's";

impl Parser<'_> {
    pub(super) fn place(&mut self, axis: &mut AxisNode) -> Parsed<()> {
        let statement = self.bump();
        if axis.kind == AxisKind::Condition {
            let mistake = Mistake::new("misplaced", statement, "a condition has no place for a filter")
                .label("belongs inside a choice")
                .help("the builder picks the filter: put it into `choice NAME { … }`");
            self.skip_statement();
            return Err(self.sink.push(mistake));
        }
        if let Some(first) = &axis.place {
            let mistake = Mistake::new("stated_twice", statement, "this choice has a place already")
                .label("one choice has one place")
                .help("write a second choice for another filter")
                .also(first.statement, "the first one");
            self.skip_statement();
            return Err(self.sink.push(mistake));
        }
        let from = self.word("a node")?;
        self.expect(TokenKind::Arrow, "`->`", HELP)?;
        let to = self.word("a node")?;
        let back = if self.take(TokenKind::Comma) {
            if !self.take_word("return") {
                return Err(self.unexpected("`return` and a node", "write `place NODE -> NODE, return NODE`"));
            }
            Some(self.word("a node")?)
        } else {
            None
        };
        axis.place = Some(Box::new(PlaceNode { statement, from, to, back, close: None }));
        Ok(())
    }
}
