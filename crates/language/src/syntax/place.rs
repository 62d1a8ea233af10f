//! A place in a choice where a filter may go.

use super::Word;
use crate::source::Span;

/// `place NODE -> NODE [, return NODE]`
#[derive(Clone, Debug)]
pub(crate) struct PlaceNode {
    pub(crate) statement: Span,
    pub(crate) from: Word,
    pub(crate) to: Word,
    /// Where parts across go; `gnd` where it is not said.
    pub(crate) back: Option<Word>,
    /// The closing brace of the choice; `None` where it is missing and that has been told.
    pub(crate) close: Option<Span>,
}
