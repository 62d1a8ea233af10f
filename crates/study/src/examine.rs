//! What can be told of a harness without running it.

use crate::facts::{Gathered, PartAt};
use crate::options::{Options, count, product};
use language::description::{Harness, Start};
use language::{Description, Finding, Findings, Mistake, Span};
use network::lowered::Warning;
use std::collections::HashSet;

/// A warning with the places in the text that it speaks of.
#[derive(Clone, Debug)]
pub struct Noted {
    /// The warning.
    pub warning: Warning,
    /// Where the part is named, then where the file that it stands in is included; nothing where it speaks of no part.
    pub places: Vec<Span>,
}

/// What an examination found.
#[derive(Clone, Debug, Default)]
pub struct Examination {
    /// Points of the product of axes; `None` where they are too many to be run at once.
    pub points: Option<usize>,
    /// Points that were not looked at.
    pub passed_over: usize,
    /// Values that contradict each other or physics, each told once, at their places.
    pub errors: Vec<Mistake>,
    /// Assumptions taken, each once.
    pub assumptions: Vec<String>,
    /// What parts come to, each once for all points at which that is the same.
    pub parts: Vec<PartAt>,
    /// Warnings that need no simulation, each once.
    pub warnings: Vec<Noted>,
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
    let mut findings = Findings::new(description);
    for point in product(&axes).take(MOST_POINTS) {
        if let Some(harness) = findings.begin(&point) {
            found.add_point((description, &point), &harness, &mut findings, &mut told);
        }
    }
    found.errors = findings.finish();
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
    fn add_point(
        &mut self,
        at: (&Description, &[usize]),
        harness: &Harness,
        findings: &mut Findings<'_>,
        told: &mut Told,
    ) {
        let (description, point) = at;
        for start in starts(harness) {
            let lowered = match network::lowering::lower(harness, start) {
                Ok(lowered) => lowered,
                Err(errors) => {
                    findings.tell(errors.iter().map(|error| Finding {
                        code: error.code,
                        part: &error.part,
                        property: &error.property,
                        message: &error.message,
                        help: &error.help,
                    }));
                    continue;
                }
            };
            let first = point.iter().all(|index| *index == 0);
            let at = || if first { String::new() } else { words(description, point) };
            told.parts.add(&lowered, at, &mut self.parts);
            let assumed = lowered.assumptions.iter().cloned().chain(crate::unknown::assumptions(harness));
            self.assumptions.extend(assumed.filter(|text| told.assumptions.insert(text.clone())));
            if self.takes_long.is_none() && start == Start::Steady {
                self.takes_long = crate::point::takes_long(&lowered);
            }
            let drawing = crate::warnings::of_drawing(harness, &lowered);
            // A run tells the voltages of shared returns besides.
            let shared = crate::warnings::shared(&lowered);
            let shared = shared.iter().map(|shared| crate::warnings::shared_return(shared, None));
            for warning in lowered.warnings.iter().cloned().chain(drawing).chain(shared) {
                if told.warnings.insert(format!("{} {}", warning.code, warning.text)) {
                    let places = findings.places(&warning.about);
                    self.warnings.push(Noted { warning, places });
                }
            }
        }
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
