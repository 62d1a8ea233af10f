//! Exit codes, as the language's contract numbers them.

use report::options::{Outcome, picks};
use std::process::ExitCode;
use study::result::Comparison;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Exit {
    /// At least one option meets every requirement under every condition; with `--strict`, all do.
    Met,
    /// None does (with `--strict`: not all do).
    NotMet,
    /// The command line or the file is wrong.
    InputWrong,
    /// A computation failed; the other points are reported.
    ComputationFailed,
    /// Disk or permission.
    MachineFailed,
}

impl Exit {
    /// The code for a result that could be told.
    pub(crate) fn of(comparison: &Comparison, strict: bool) -> Self {
        if comparison.runs.iter().any(|run| run.error.is_some()) {
            return Self::ComputationFailed;
        }
        let mut outcomes = picks(comparison).into_iter().map(|pick| pick.outcome() == Outcome::Meets);
        let met = if strict { outcomes.all(|meets| meets) } else { outcomes.any(|meets| meets) };
        if met { Self::Met } else { Self::NotMet }
    }
}

impl Exit {
    /// The one that goes before the other: 4, 2, 3, 1, then 0.
    pub(crate) fn or_graver(self, other: Self) -> Self {
        let rank = |exit| match exit {
            Self::MachineFailed => 4,
            Self::InputWrong => 3,
            Self::ComputationFailed => 2,
            Self::NotMet => 1,
            Self::Met => 0,
        };
        if rank(other) > rank(self) { other } else { self }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(match exit {
            Exit::Met => 0,
            Exit::NotMet => 1,
            Exit::InputWrong => 2,
            Exit::ComputationFailed => 3,
            Exit::MachineFailed => 4,
        })
    }
}
