//! What can be told of a harness without running it.

use crate::options::{Options, product};
use language::Description;
use language::description::{Harness, Start};
use network::lowered::Warning;
use network::lowering::LoweringError;

/// A value that makes a study point impossible.
#[derive(Clone, Debug)]
pub struct PointError {
    /// The point in words: `filter coil, battery_state soft`; empty where every point has it.
    pub at: String,
    /// What is wrong.
    pub error: LoweringError,
}

/// What an examination found.
#[derive(Clone, Debug, Default)]
pub struct Examination {
    /// Points of the product of axes.
    pub points: usize,
    /// Values that contradict each other or physics, each told once.
    pub errors: Vec<PointError>,
    /// Assumptions taken, each once.
    pub assumptions: Vec<String>,
    /// Warnings that need no simulation, each once.
    pub warnings: Vec<Warning>,
}

/// Points looked at at most; more than any choice against conditions a builder writes by hand.
const MOST_POINTS: usize = 10_000;

/// Lowers every study point and collects what is said.
#[must_use]
pub fn examine(description: &Description) -> Examination {
    let points = Options::default().points(description).map(|points| product(&points)).unwrap_or_default();
    let mut found = Examination { points: points.len(), ..Examination::default() };
    for point in points.iter().take(MOST_POINTS) {
        let harness = description.at(point);
        for start in starts(&harness) {
            match network::lowering::lower(&harness, start) {
                Ok(lowered) => {
                    lowered.assumptions.iter().for_each(|text| push_new(&mut found.assumptions, text));
                    lowered.warnings.iter().for_each(|warning| push_new(&mut found.warnings, warning));
                    crate::warnings::of_drawing(&harness, &lowered)
                        .iter()
                        .for_each(|warning| push_new(&mut found.warnings, warning));
                }
                Err(errors) => {
                    errors.into_iter().for_each(|error| found.add_error(description, point, error));
                }
            }
        }
    }
    found
}

impl Examination {
    fn add_error(&mut self, description: &Description, point: &[usize], error: LoweringError) {
        if self.errors.iter().any(|known| known.error == error) {
            return;
        }
        let axes = description.axes().iter().zip(point);
        let words = axes.map(|(axis, index)| format!("{} {}", axis.name, axis.points[*index]));
        self.errors.push(PointError { at: words.collect::<Vec<_>>().join(", "), error });
    }
}

/// The ways in which the harness' transients start, each once.
fn starts(harness: &Harness) -> Vec<Start> {
    let mut starts = Vec::new();
    harness.transients.iter().for_each(|transient| push_new(&mut starts, &transient.start));
    if starts.is_empty() {
        starts.push(Start::Steady);
    }
    starts
}

pub(crate) fn push_new<T: PartialEq + Clone>(list: &mut Vec<T>, item: &T) {
    if !list.contains(item) {
        list.push(item.clone());
    }
}
