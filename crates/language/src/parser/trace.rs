//! Points over time that stand in a file of their own.

use super::{Parsed, Parser, shown};
use crate::include::MOST_TEXT;
use crate::mistake::Mistake;
use crate::syntax::{ValueKind, ValueNode};
use crate::trace;
use std::sync::Arc;

impl Parser<'_> {
    /// `file "trace.csv"`. The value has no points where they can't be read, which is told.
    pub(super) fn trace(&mut self) -> Parsed<ValueNode> {
        let start = self.span();
        self.bump();
        let path = self.quoted("the file's path in quotes", "write `file \"trace.csv\"`")?;
        let span = start.to(path.span);
        let without_points = ValueNode { kind: ValueKind::Trace(None), span };
        // Where only this text is looked at, nothing is loaded.
        let Some((from, _)) = self.includes.open.last() else { return Ok(without_points) };
        let name = self.loader.name(&path.text, from);
        let text = match self.loader.load(&name) {
            Ok(text) => text,
            Err(reason) => {
                let message = format!("`{}` can't be read: {reason}", shown(&path.text));
                self.sink.push(
                    Mistake::new("unreadable_file", path.span, message)
                        .label("expected a file that can be read")
                        .help(format!(
                            "looked for `{name}`: a path starts at the folder of the file that it stands in"
                        )),
                );
                return Ok(without_points);
            }
        };
        self.includes.bytes += text.len();
        let points = if self.includes.bytes > MOST_TEXT {
            Err(trace::Wrong {
                message: format!("with it this file takes in more than {} MiB", MOST_TEXT >> 20),
                help: "keep the stretch of the trace that matters",
            })
        } else {
            trace::read(&text)
        };
        match points {
            Ok(points) => Ok(ValueNode { kind: ValueKind::Trace(Some(Arc::new(points))), span }),
            Err(wrong) => {
                let message = format!("`{}` is no trace: {}", shown(&path.text), wrong.message);
                self.sink.push(
                    Mistake::new("wrong_trace", path.span, message)
                        .label("expected lines of time and value")
                        .help(wrong.help),
                );
                Ok(without_points)
            }
        }
    }
}
