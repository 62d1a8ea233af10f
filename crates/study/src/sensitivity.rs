//! Sensitivities: by how much each reading changes with each value of the harness, at every point.
//!
//! The readings' derivatives are those of the equations' solution (see [`engine::sensitivity`]), not differences of runs. Two
//! differences remain, both of closed forms: how the parts' formulas turn a value into resistances, inductances and edges, and how
//! arithmetic of a file turns a `let` into values. They are central, a millionth of the value to either side, so that their error
//! is a millionth of a millionth of the third derivative.

mod chain;
mod frequency;
mod leaf;
mod neighbours;
mod point;
mod probes;
mod transient;
mod values;
mod wanted;

use crate::options::{Options, OptionsError, product};
use language::Description;
use language::description::Axis;
use quantity::{Dimension, Quantity};
use rayon::prelude::*;
use std::panic::AssertUnwindSafe;

/// What all points of a study came to.
#[derive(Clone, Debug)]
pub struct Sensitivities {
    /// Title of the harness.
    pub harness: String,
    /// Axes in the file's order.
    pub axes: Vec<Axis>,
    /// Points in the order of the product of axes, the last axis fastest.
    pub points: Vec<Point>,
}

/// One point.
#[derive(Clone, Debug)]
pub struct Point {
    /// Index of the option or case on each axis.
    pub at: Vec<usize>,
    /// The values that the file states, `let`s first, then those of parts.
    pub values: Vec<Stated>,
    /// Every reading, then what requirements read besides.
    pub readings: Vec<Differentiated>,
    /// Why there is nothing, in a sentence or two.
    pub error: Option<String>,
}

/// A value of the harness.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated {
    /// `PART.PROPERTY`, or the name of a `let`; of a range `PART.PROPERTY.lower` and `PART.PROPERTY.upper`.
    pub name: String,
    /// The value.
    pub value: Quantity,
    /// Why no reading has a derivative by it.
    pub excluded: Option<String>,
}

impl Stated {
    /// What counts as a little more of it, in its own unit: 1 % of the value, 1 K of a temperature.
    #[must_use]
    pub fn little(&self) -> f64 {
        if self.is_temperature() { 1.0 } else { 0.01 * self.value.value }
    }

    /// Whether it is a temperature, whose percentages mean nothing.
    #[must_use]
    pub fn is_temperature(&self) -> bool {
        self.value.dimension == Dimension::TEMPERATURE
    }
}

/// A reading with its derivatives.
#[derive(Clone, Debug)]
pub struct Differentiated {
    /// Name of the reading, or the left side of a requirement as written.
    pub name: String,
    /// Its value in SI units.
    pub value: Option<f64>,
    /// Its dimension.
    pub dimension: Dimension,
    /// Whether its least value is the worst one: a requirement asks for more than a limit.
    pub least_is_worst: bool,
    /// Whether a requirement limits it; of another one the greatest value is shown, which need not be a bad one.
    pub required: bool,
    /// Why it has no derivatives.
    pub excluded: Option<String>,
    /// One a value, in the order of the point's values; empty where it is excluded.
    pub slopes: Vec<Slope>,
}

/// The derivative of a reading by a value.
#[derive(Clone, Debug, PartialEq)]
pub enum Slope {
    /// In SI units of the reading for one of the value.
    Known(f64),
    /// None, for the reason given: a kink, or a value that has none at all.
    Unknown(String),
}

impl Slope {
    /// The derivative, where there is one.
    #[must_use]
    pub fn known(&self) -> Option<f64> {
        match self {
            Self::Known(slope) => Some(*slope),
            Self::Unknown(_) => None,
        }
    }
}

/// Differentiates every point that the options leave.
///
/// # Errors
/// An option that names an axis or a point that the harness does not have; too many points.
pub fn sensitivities(description: &Description, options: &Options) -> Result<Sensitivities, OptionsError> {
    let points: Vec<Vec<usize>> = product(&options.points(description)?).collect();
    let guarded = |at: &Vec<usize>| {
        let found =
            std::panic::catch_unwind(AssertUnwindSafe(|| point::differentiate(description, at, options)));
        found.unwrap_or_else(|_| Err(crate::point::OWN_FAULT.to_owned())).unwrap_or_else(|error| Point {
            at: at.clone(),
            values: Vec::new(),
            readings: Vec::new(),
            error: Some(error),
        })
    };
    Ok(Sensitivities {
        harness: description.title().to_owned(),
        axes: description.axes().to_vec(),
        points: points.par_iter().map(guarded).collect(),
    })
}
