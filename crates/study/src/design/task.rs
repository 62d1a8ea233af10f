//! What a search is given, and why there may be none.

use super::topology::Topology;
use crate::options::{Options, OptionsError};
use language::stock::Stock;
use language::{Description, Loader, Mistake, Source};
use std::fmt;

/// What filters are sought for, and of what.
pub struct Task<'a> {
    /// The harness, read.
    pub description: &'a Description,
    /// Its texts, as reading gave them.
    pub sources: &'a [Source],
    /// The settings that it was read with.
    pub settings: &'a [String],
    /// Where it was read from.
    pub loader: &'a (dyn Loader + Sync),
    /// What one owns.
    pub stock: &'a Stock,
}

/// How to search.
#[derive(Clone, Debug, PartialEq)]
pub struct Search {
    /// The choice to find filters for; `None` for the only one with a place.
    pub choice: Option<String>,
    /// Forms to look at.
    pub topologies: Vec<Topology>,
    /// Numbers of turns looked at for each ring and wire.
    pub turns: usize,
    /// Draws of tolerances at each study point; 0 for none.
    pub draws: usize,
    /// The same seed gives the same draws.
    pub seed: u32,
    /// Filters that are run at most, the most promising of each number of parts first; `None` for all that bounds leave.
    pub most: Option<usize>,
    /// Whether filters that cannot win are dropped without a run; the answer is the same, but slower to come by.
    pub prune: bool,
    /// What the user asks of the runs.
    pub options: Options,
}

impl Default for Search {
    fn default() -> Self {
        Self {
            choice: None,
            topologies: Topology::ALL.to_vec(),
            turns: 1,
            draws: 8,
            seed: 1,
            most: None,
            prune: true,
            options: Options::default(),
        }
    }
}

/// How far a search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Filters in all.
    pub of: usize,
    /// Of those dropped or run.
    pub done: usize,
    /// Of those run.
    pub run: usize,
    /// That no other beats so far.
    pub holding: usize,
}

/// Why there is no search.
#[derive(Clone, Debug, PartialEq)]
pub enum DesignError {
    /// A sentence or two for the user.
    Plain(String),
    /// A pick of the command line that names nothing.
    Options(OptionsError),
    /// The file with filters written into it is wrong; this should not happen where the file itself is right.
    Text(Vec<Mistake>),
}

impl fmt::Display for DesignError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Plain(text) => out.write_str(text),
            Self::Options(error) => error.fmt(out),
            Self::Text(mistakes) => {
                let all: Vec<&str> = mistakes.iter().map(|mistake| mistake.message.as_str()).collect();
                write!(out, "The file with a filter written into it can't be read: {}", all.join("; "))
            }
        }
    }
}

impl std::error::Error for DesignError {}

pub(super) fn plain<T>(text: impl Into<String>) -> Result<T, DesignError> {
    Err(DesignError::Plain(text.into()))
}
