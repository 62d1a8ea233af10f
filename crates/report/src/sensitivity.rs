//! Sensitivities, shown: a table of what counts most for each option, and everything as JSON and as columns.

mod csv;
mod json;
mod table;

pub use csv::csv;
pub use json::json;
pub use table::{Extent, table};

use language::description::Axis;
use quantity::Dimension;
use study::sensitivity::{Differentiated, Slope, Stated};

/// What a little more of a value does to a reading, in the reading's unit.
fn change(stated: &Stated, slope: &Slope) -> Option<f64> {
    slope.known().map(|slope| slope * stated.little())
}

/// The same as a fraction of the reading; nothing where that is 0 or a level in decibel, of which fractions say nothing.
fn relative(reading: &Differentiated, change: f64) -> Option<f64> {
    let value = reading.value.filter(|value| *value != 0.0)?;
    (reading.dimension != Dimension::LEVEL).then(|| change / value.abs())
}

/// Names of a point on some axes, in their order.
fn names<'a>(axes: &'a [Axis], at: &[usize], wanted: impl Fn(&Axis) -> bool) -> Vec<(&'a str, &'a str)> {
    axes.iter()
        .zip(at)
        .filter(|(axis, _)| wanted(axis))
        .map(|(axis, index)| (axis.name.as_str(), axis.points[*index].as_str()))
        .collect()
}
