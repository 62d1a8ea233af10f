//! Sweeps: `sweep NAME over TARGET A .. B step S`.

use super::{Parsed, Parser};
use crate::description::AxisKind;
use crate::mistake::{Mistake, nearest};
use crate::syntax::{AxisNode, Division, Item, SetNode, SweepNode, SweepPoints};
use crate::token::TokenKind;
use crate::words::DIVISIONS;

const HELP: &str = "write `sweep NAME over PART.PROPERTY A .. B step S`, or `steps N`, `log N` (N a decade) or `series E6` in place of the step, or a list `[A, B]` in place of the range";

impl Parser<'_> {
    pub(super) fn sweep(&mut self) -> Parsed<()> {
        self.bump();
        let name = self.word("a name for the axis")?;
        if !self.take_word("over") {
            return Err(self.unexpected("`over` and what is swept", HELP));
        }
        let (target, property) = self.target()?;
        let span = property.as_ref().map_or(target.span, |property| target.span.to(property.span));
        let target = SetNode { target, property, value: None, span };
        let points = self.sweep_points();
        let told = points.as_ref().err().copied();
        let sweep = Some(Box::new(SweepNode { target, points: points.ok() }));
        self.file.items.push(Item::Axis(AxisNode {
            kind: AxisKind::Sweep,
            name,
            options: Vec::new(),
            sweep,
            place: None,
        }));
        told.map_or(Ok(()), Err)
    }

    fn sweep_points(&mut self) -> Parsed<SweepPoints> {
        if self.kind() == TokenKind::OpenBracket {
            let start = self.span();
            let entries = self.list()?;
            let span = start.to(self.previous_span());
            if let Some(second) = entries.iter().find_map(|(_, second)| second.as_ref()) {
                let mistake = Mistake::new("wrong_shape", second.span, "a list of swept values has no `:`")
                    .label("expected `,` before this")
                    .help("write `[A, B]`");
                return Err(self.sink.push(mistake));
            }
            return Ok(SweepPoints::List(entries.into_iter().map(|(first, _)| first).collect(), span));
        }
        if self.at_word("from") && self.kind_at(1) == TokenKind::Number {
            return Err(
                self.unexpected("a range", "leave `from` out and write `..` for `to`: `A .. B step S`")
            );
        }
        let low = self.expression()?;
        let help = if self.at_word("to") { "write `..` in place of `to`" } else { HELP };
        self.expect(TokenKind::DotDot, "`..`", help)?;
        let high = self.expression()?;
        let division = self.division()?;
        Ok(SweepPoints::Range(Box::new((low, high)), division))
    }

    fn division(&mut self) -> Parsed<Division> {
        if self.kind() != TokenKind::Word {
            return Err(self.unexpected("`step`, `steps`, `log` or `series`", HELP));
        }
        let word = self.word("how the range is divided")?;
        Ok(match word.text.as_str() {
            "step" => Division::Step(self.expression()?),
            "steps" => Division::Steps(self.expression()?),
            "log" => Division::Log(self.expression()?),
            "series" => Division::Series(self.word("a series such as `E12`")?),
            other => {
                let message = format!("a range is not divided by `{}`", super::shown(other));
                let near = nearest(other, DIVISIONS.iter().copied());
                let mistake = Mistake::new("unknown_division", word.span, message)
                    .label("expected `step`, `steps`, `log` or `series`");
                let mistake = if near.is_some() { mistake.near(near) } else { mistake.help(HELP) };
                return Err(self.sink.push(mistake));
            }
        })
    }
}
