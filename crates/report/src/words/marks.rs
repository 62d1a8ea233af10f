//! Met, not met, not judged: marks with their words, the same on the terminal and on the page.

use crate::options::Outcome;

pub(crate) const MET: &str = "✓ met";
pub(crate) const NOT_MET: &str = "✗ not met";
pub(crate) const NOT_JUDGED: &str = "? not judged";
/// For a requirement on a part that is not there.
pub(crate) const NOT_APPLICABLE: &str = "n/a";

/// The marks alone, for where the words have no room.
pub(crate) const SHORT_MET: &str = "✓";
pub(crate) const SHORT_NOT_MET: &str = "✗";
pub(crate) const SHORT_NOT_JUDGED: &str = "?";

/// The mark and word for a requirement's verdict.
pub(crate) fn verdict(met: Option<bool>) -> &'static str {
    match met {
        Some(true) => MET,
        Some(false) => NOT_MET,
        None => NOT_JUDGED,
    }
}

/// The same for an option as a whole.
pub(crate) fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Meets => "✓ meets all",
        Outcome::Fails => "✗ fails",
        Outcome::Unknown => NOT_JUDGED,
    }
}
