//! What can be told of a harness without running it.

use crate::facts::{Gathered, PartAt};
use crate::options::{Options, count, product};
use language::Description;
use language::description::{Harness, Start};
use network::lowered::Warning;
use std::collections::HashSet;

/// A value that makes a study point impossible.
#[derive(Clone, Debug)]
pub struct PointError {
    /// The point in words: `filter coil, battery_state soft`; empty where every point has it.
    pub at: String,
    /// The part and property at fault: `part pack, cells`; empty where the file's text says it all.
    pub subject: String,
    /// What is wrong.
    pub message: String,
    /// What to try; may be empty.
    pub help: String,
}

/// What an examination found.
#[derive(Clone, Debug, Default)]
pub struct Examination {
    /// Points of the product of axes; `None` where they are too many to be run at once.
    pub points: Option<usize>,
    /// Points that were not looked at.
    pub passed_over: usize,
    /// Values that contradict each other or physics, each told once.
    pub errors: Vec<PointError>,
    /// Assumptions taken, each once.
    pub assumptions: Vec<String>,
    /// What parts come to, each once for all points at which that is the same.
    pub parts: Vec<PartAt>,
    /// Warnings that need no simulation, each once.
    pub warnings: Vec<Warning>,
    /// Why a comparison will take long, in a sentence; nothing where it will not.
    pub takes_long: Option<String>,
}

/// Points looked at at most; more than any choice against conditions a builder writes by hand.
const MOST_POINTS: usize = 10_000;

/// Lowers every study point and collects what is said.
#[must_use]
pub fn examine(description: &Description) -> Examination {
    let axes: Vec<Vec<usize>> =
        description.axes().iter().map(|axis| (0..axis.points.len()).collect()).collect();
    let all = count(&axes).unwrap_or(usize::MAX);
    let mut found = Examination {
        points: Options::default().points(description).is_ok().then_some(all),
        passed_over: all.saturating_sub(MOST_POINTS),
        ..Examination::default()
    };
    let mut told = Told::default();
    for point in product(&axes).take(MOST_POINTS) {
        match description.check_at(&point) {
            Ok(harness) => found.add_point(description, &point, &harness, &mut told),
            Err(mistakes) => mistakes.into_iter().for_each(|mistake| {
                found.add_error(
                    description,
                    &point,
                    [String::new(), mistake.message, mistake.help.unwrap_or_default()],
                );
            }),
        }
    }
    found
}

/// What has been told already; a harness of many thousand parts assumes something of each.
#[derive(Default)]
struct Told {
    assumptions: HashSet<String>,
    warnings: HashSet<String>,
    parts: Gathered,
}

impl Examination {
    fn add_point(&mut self, description: &Description, point: &[usize], harness: &Harness, told: &mut Told) {
        for start in starts(harness) {
            match network::lowering::lower(harness, start) {
                Ok(lowered) => {
                    let first = point.iter().all(|index| *index == 0);
                    let at = || if first { String::new() } else { words(description, point) };
                    told.parts.add(&lowered, at, &mut self.parts);
                    let new =
                        lowered.assumptions.iter().filter(|text| told.assumptions.insert((*text).clone()));
                    self.assumptions.extend(new.cloned());
                    if self.takes_long.is_none() && start == Start::Steady {
                        self.takes_long = crate::point::takes_long(&lowered);
                    }
                    let drawing = crate::warnings::of_drawing(harness, &lowered);
                    let all = lowered.warnings.iter().chain(&drawing);
                    let new = all
                        .filter(|warning| told.warnings.insert(format!("{} {}", warning.code, warning.text)));
                    self.warnings.extend(new.cloned());
                }
                Err(errors) => errors.into_iter().for_each(|error| {
                    let subject = format!("part {}, {}", error.part, error.property);
                    self.add_error(description, point, [subject, error.message, error.help]);
                }),
            }
        }
    }

    fn add_error(
        &mut self,
        description: &Description,
        point: &[usize],
        [subject, message, help]: [String; 3],
    ) {
        if self.errors.iter().any(|known| known.subject == subject && known.message == message) {
            return;
        }
        self.errors.push(PointError { at: words(description, point), subject, message, help });
    }
}

/// A point in words: `filter coil, battery_state soft`.
fn words(description: &Description, point: &[usize]) -> String {
    let axes = description.axes().iter().zip(point);
    let words = axes.map(|(axis, index)| format!("{} {}", axis.name, axis.points[*index]));
    words.collect::<Vec<_>>().join(", ")
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
