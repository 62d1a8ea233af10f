//! Laying out a text evenly.
//!
//! The layout itself is the language's affair. It has no formatter yet, so the server does not offer one; once it has,
//! [`formatted`] is the only place to change.

use crate::document::Document;
use lsp_types::TextEdit;

/// Whether there is a formatter.
pub(crate) const AVAILABLE: bool = false;

/// What changes; `None` where the text can't be laid out.
pub(crate) fn format(document: &Document) -> Option<Vec<TextEdit>> {
    let text = formatted(document)?;
    if text == document.text() {
        return Some(Vec::new());
    }
    let whole = document.lines.range(document.text(), 0, document.text().len());
    Some(vec![TextEdit::new(whole, text)])
}

/// The text laid out evenly.
fn formatted(_document: &Document) -> Option<String> {
    None
}
