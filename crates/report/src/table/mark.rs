//! Colours of the marks on a terminal.

pub(super) use crate::words::marks::{
    MET, NOT_APPLICABLE, NOT_JUDGED, NOT_MET, SHORT_MET, SHORT_NOT_JUDGED, SHORT_NOT_MET, verdict,
};

/// Puts ANSI colours around the marks and their words: green, bold red, yellow.
pub(super) fn paint(text: &str) -> String {
    [(MET, "32"), (NOT_MET, "1;31"), (NOT_JUDGED, "33")].iter().fold(text.to_owned(), |text, (mark, code)| {
        text.replace(mark, &format!("\u{1b}[{code}m{mark}\u{1b}[0m"))
    })
}
