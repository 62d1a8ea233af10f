//! Met, not met, not judged: a mark with its word.

/// The mark and word for a requirement's verdict.
pub(super) fn verdict(met: Option<bool>) -> &'static str {
    match met {
        Some(true) => MET,
        Some(false) => NOT_MET,
        None => NOT_JUDGED,
    }
}

pub(super) const MET: &str = "✓ met";
pub(super) const NOT_MET: &str = "✗ not met";
/// For a requirement on a part that is not there.
pub(super) const NOT_APPLICABLE: &str = "n/a";
pub(super) const NOT_JUDGED: &str = "? not judged";

/// The marks alone, for where the words have no room.
pub(super) const SHORT_MET: &str = "✓";
pub(super) const SHORT_NOT_MET: &str = "✗";
pub(super) const SHORT_NOT_JUDGED: &str = "?";

/// Puts ANSI colours around the marks and their words: green, bold red, yellow.
pub(super) fn paint(text: &str) -> String {
    [(MET, "32"), (NOT_MET, "1;31"), (NOT_JUDGED, "33")].iter().fold(text.to_owned(), |text, (mark, code)| {
        text.replace(mark, &format!("\u{1b}[{code}m{mark}\u{1b}[0m"))
    })
}
