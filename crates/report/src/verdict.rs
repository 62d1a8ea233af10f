//! One sentence per pick of the builder: what it changes, what it costs, whether its coils hold, and whether every
//! requirement is met. [`facts`] finds the numbers, `words` alone turns them into words.

pub mod facts;

use crate::options::{Pick, picks};
use crate::words::verdict;
use quantity::Dimension;
use study::result::Comparison;

/// One sentence for each pick, in the file's order.
#[must_use]
pub fn sentences(comparison: &Comparison) -> Vec<String> {
    picks(comparison).iter().map(|pick| sentence(comparison, pick)).collect()
}

/// The sentence for one pick.
#[must_use]
pub fn sentence(comparison: &Comparison, pick: &Pick<'_>) -> String {
    verdict::sentence(&facts::facts(comparison, pick))
}

/// A heading for the sentences that says what they measure; nothing where no level is told.
#[must_use]
pub fn heading(comparison: &Comparison) -> Option<&'static str> {
    verdict::heading(&all(comparison))
}

/// The verdict in a few words, for beside a picture drawn under the condition `drawn`; empty where nothing is required.
#[must_use]
pub fn short(facts: &facts::Facts, drawn: &str) -> String {
    verdict::short(facts, drawn)
}

/// The figures beside a waveform that comes and goes: its peak-to-peak `span`, that of the baseline, and its mean.
#[must_use]
pub fn figures(span: f64, before: Option<f64>, mean: f64, dimension: Dimension) -> String {
    verdict::figures(span, before, mean, dimension)
}

/// The figures beside a waveform that starts from rest: its extremes (least, greatest) and those of the baseline.
#[must_use]
pub fn figures_from_rest(extremes: (f64, f64), before: Option<(f64, f64)>, dimension: Dimension) -> String {
    verdict::figures_from_rest(extremes, before, dimension)
}

/// The answer in a sentence: which picks meet every requirement under every condition, or which one comes closest; of
/// several that do, which one is the quietest.
#[must_use]
pub fn answer(comparison: &Comparison) -> String {
    verdict::answer(&all(comparison))
}

fn all(comparison: &Comparison) -> Vec<facts::Facts> {
    picks(comparison).iter().map(|pick| facts::facts(comparison, pick)).collect()
}
