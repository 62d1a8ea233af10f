//! What is wrong with a part, in plain words.

use std::fmt;

/// A value of a part with which no network can be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoweringError {
    /// Stable code, words joined by `_`.
    pub code: &'static str,
    /// The part's name.
    pub part: String,
    /// The property at fault, as the file names it.
    pub property: String,
    /// What is wrong, with the numbers.
    pub message: String,
    /// What to try.
    pub help: String,
}

impl fmt::Display for LoweringError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}: {}; {}", self.part, self.message, self.help)
    }
}

impl std::error::Error for LoweringError {}
