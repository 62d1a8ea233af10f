//! Laying out a file's text in columns, without changing what it says.
//!
//! [`format`] works on tokens, not on statements: a statement that this module knows nothing of keeps its words and gets the
//! common spacing. The way of a text: tokens with their comments, a tree of blocks, rows of cells, lines.

mod columns;
mod layout;
mod lines;
mod pieces;
mod same;
mod spacing;
mod tree;
mod wrap;

use crate::mistake::{Mistake, Sink};
use crate::parser::parse_alone;
use crate::source::{Source, Span};

/// Longest line in characters, comments aside. A wider line is broken after a comma, or its block is opened.
const WIDTH: usize = 120;
/// Columns by which the inside of a block is moved in.
const STEP: usize = 4;

/// The text laid out: columns aligned over adjacent parts, one space elsewhere, blocks moved in by four columns, comments
/// where they were, at most one blank line in a row. Laying out the result once more changes nothing.
///
/// # Errors
/// The mistakes of syntax, with which nobody can tell what a text means. Spans speak of the text.
pub fn format(source: &Source) -> Result<String, Vec<Mistake>> {
    check(source)?;
    let laid_out = tree::read(&source.text).map(|items| lines::text(&layout::lines(items)));
    // A safety net: what comes out must say the same in the same order.
    let safe = laid_out.filter(|text| {
        same::same(&source.text, text)
            && check(&Source { name: source.name.clone(), text: text.clone() }).is_ok()
    });
    safe.ok_or_else(|| vec![not_formatted()])
}

fn check(source: &Source) -> Result<(), Vec<Mistake>> {
    let mut sink = Sink::default();
    let file = parse_alone(source, &mut sink);
    let (mistakes, _) = sink.finish(&[], &file);
    if mistakes.is_empty() { Ok(()) } else { Err(mistakes) }
}

fn not_formatted() -> Mistake {
    Mistake::new("not_formatted", Span::default(), "this file can't be laid out without changing its meaning")
        .label("the file is left as it is")
        .help("look for blocks inside blocks, or comments inside a statement, and simplify them")
}

#[cfg(test)]
mod tests;
