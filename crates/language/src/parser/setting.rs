//! Settings of the command line: `NAME=VALUE` or `PART.PROPERTY=VALUE`.

use super::Parser;
use crate::mistake::Sink;
use crate::syntax::SetNode;

/// Reads the `number`-th setting (from 1: the text that spans speak of); `None` where it can't be read.
pub(crate) fn setting(text: &str, number: usize, sink: &mut Sink) -> Option<SetNode> {
    let mut parser = Parser::new(text, number, sink);
    let start = parser.span();
    let set = parser.assignment(start);
    let done = set.as_ref().map(|_| ()).map_err(|told| *told);
    parser.end_statement(done);
    set.ok()
}
