//! What the user should know of a part that is no mistake.

/// A value that has no effect, lies outside a model's range, or made a model guess.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// Stable code, words joined by `_`.
    pub code: &'static str,
    /// What, how much, and what to try.
    pub text: String,
}

impl Remark {
    pub(crate) fn new(code: &'static str, text: impl Into<String>) -> Self {
        Self { code, text: text.into() }
    }
}
