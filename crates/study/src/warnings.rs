//! Warnings: what a builder should know although nobody asked.

mod drawing;
mod limits;
mod no_value;

pub(crate) use drawing::of_drawing;
pub(crate) use limits::{Watched, of_run, wanted};
pub(crate) use no_value::{ARITHMETIC, NO_TRANSIENT, Offer, no_value, reason};

use network::lowered::Warning;
use quantity::{Dimension, Quantity, engineering};

/// A value with its unit, three digits.
fn show(value: f64, dimension: Dimension) -> String {
    engineering(Quantity { value, dimension }, 3)
}

/// Several drives whose periods have no common multiple that can be waited for.
pub(crate) fn no_common_period(span: f64) -> Warning {
    let span = show(span, Dimension::TIME);
    Warning {
        code: "no_common_period",
        about: String::new(),
        weight: 0.0,
        text: format!(
            "the drives have no common period of at most 1 s: the run settles first and readings then cover {span}; choose frequencies with a common divisor to have them exact"
        ),
    }
}
