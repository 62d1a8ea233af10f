//! One sentence per pick of the builder: what it changes, what it costs, whether its coils hold, and whether every
//! requirement is met. [`facts`] finds the numbers, `wording` alone turns them into words.

pub mod facts;
mod wording;

use crate::options::{Pick, picks};
use study::result::Comparison;

/// One sentence for each pick, in the file's order.
#[must_use]
pub fn sentences(comparison: &Comparison) -> Vec<String> {
    picks(comparison).iter().map(|pick| sentence(comparison, pick)).collect()
}

/// The sentence for one pick.
#[must_use]
pub fn sentence(comparison: &Comparison, pick: &Pick<'_>) -> String {
    wording::sentence(&facts::facts(comparison, pick))
}

/// The answer in a sentence: which picks meet every requirement under every condition, or which one comes closest.
#[must_use]
pub fn answer(comparison: &Comparison) -> String {
    let all: Vec<facts::Facts> =
        picks(comparison).iter().map(|pick| facts::facts(comparison, pick)).collect();
    wording::answer(&all)
}
