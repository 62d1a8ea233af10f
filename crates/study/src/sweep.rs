//! Sweeps: every point of all axes, with draws of tolerances as one more axis, some of which run at a time.
//!
//! Points have numbers, so that a study can be stopped and gone on with, and shared among machines: what a point gives depends on
//! its number alone, never on what ran before it or beside it.

mod corners;
mod draws;
mod normal;
mod plan;
mod row;
mod stream;

pub use corners::Aim;
pub use draws::{Drawing, Law, MOST_CORNERED};
pub use plan::{Plan, Variable, place};
pub use row::Row;
pub(crate) use row::harness as drawn_harness;
pub use stream::{Stretch, stream};

use crate::options::Options;
use language::Description;
use rayon::prelude::*;
use std::ops::Range;

/// Runs the points with these numbers, in parallel; the rows come in the order of the numbers, all at once. [`stream()`] needs no room for all of
/// them.
///
/// A point that fails carries its error; the others are not touched by it.
#[must_use]
pub fn rows(description: &Description, plan: &Plan, options: &Options, numbers: Range<usize>) -> Vec<Row> {
    let options = Options { pictures: false, ..options.clone() };
    // Points of signed corners share what each value does there; a thread that waits for that would not work meanwhile.
    if !plan.aims().is_empty() {
        return numbers
            .flat_map(|number| {
                let point = plan.at(number);
                plan.signs(description, &options, &point.0);
                Some(row::run(description, plan, &options, number))
            })
            .collect();
    }
    numbers.into_par_iter().map(|number| row::run(description, plan, &options, number)).collect()
}
