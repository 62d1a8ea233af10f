//! Sweeps: a value that goes through a range or a list, point by point.

use super::{Node, SetNode, Word};
use crate::source::Span;

/// `over TARGET …`
#[derive(Clone, Debug)]
pub(crate) struct SweepNode {
    /// What is swept, as a setting without its value.
    pub(crate) target: SetNode,
    /// `None` where they could not be read and that has been told.
    pub(crate) points: Option<SweepPoints>,
}

#[derive(Clone, Debug)]
pub(crate) enum SweepPoints {
    /// `A .. B`, and how it is divided.
    Range(Box<(Node, Node)>, Division),
    /// `[A, B]`, with its place.
    List(Vec<Node>, Span),
}

/// How a range is divided.
#[derive(Clone, Debug)]
pub(crate) enum Division {
    /// From point to point.
    Step(Node),
    /// So many steps.
    Steps(Node),
    /// So many points a decade.
    Log(Node),
    /// Preferred numbers.
    Series(Word),
}

impl SweepPoints {
    /// Its ends, or each of the list: what is written with the unit of the values.
    pub(crate) fn values(&self) -> Vec<&Node> {
        match self {
            Self::Range(ends, _) => vec![&ends.0, &ends.1],
            Self::List(entries, _) => entries.iter().collect(),
        }
    }

    /// Where the value of one of the points stands.
    pub(crate) fn span(&self, point: usize) -> Span {
        match self {
            Self::Range(ends, _) => ends.0.span.to(ends.1.span),
            Self::List(entries, whole) => entries.get(point).map_or(*whole, |entry| entry.span),
        }
    }
}
