//! Laying out a text evenly; the layout itself is the language's affair.

use crate::document::Document;
use lsp_types::TextEdit;

/// What changes, as one edit without the lines that are alike at the beginning and the end, so that the cursor stays.
///
/// # Errors
/// The first mistake, in a sentence, where the text can't be laid out.
pub(crate) fn format(document: &Document) -> Result<Vec<TextEdit>, String> {
    let told = |mistakes: Vec<language::Mistake>| {
        let first = mistakes.into_iter().next().map_or_else(String::new, |mistake| mistake.message);
        format!("The text can't be laid out while it has mistakes: {first}")
    };
    let (old, new) = (document.text(), language::format(&document.source).map_err(told)?);
    if old == new {
        return Ok(Vec::new());
    }
    let start = alike(old.split_inclusive('\n'), new.split_inclusive('\n'));
    let (old_rest, new_rest) = (&old[start..], &new[start..]);
    let tail = alike(old_rest.split_inclusive('\n').rev(), new_rest.split_inclusive('\n').rev());
    let range = document.lines.range(old, start, old.len() - tail);
    Ok(vec![TextEdit::new(range, new_rest[..new_rest.len() - tail].to_owned())])
}

/// Bytes of the first pieces that are the same in both.
fn alike<'a>(old: impl Iterator<Item = &'a str>, new: impl Iterator<Item = &'a str>) -> usize {
    old.zip(new).take_while(|(one, other)| one == other).map(|(piece, _)| piece.len()).sum()
}
