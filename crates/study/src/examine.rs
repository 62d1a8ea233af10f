//! What can be told of a harness without running it.

use crate::facts::{self, Gathered, PartAt};
use crate::options::{Options, count, product};
use crate::result::PartFacts;
use language::description::{Harness, Start};
use language::{Description, Finding, Findings, Mistake, Resolved, Span};
use network::lowered::Warning;
use network::lowering::LoweringError;
use rayon::prelude::*;
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
/// Points looked at side by side at most, and the parts that they may have: what is found waits in memory to be told in order.
const MOST_TOGETHER: usize = 64;
const PARTS_TOGETHER: usize = 20_000;

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
    let mut points = product(&axes).take(MOST_POINTS);
    let together = (PARTS_TOGETHER / description.baseline().parts.len().max(1)).clamp(2, MOST_TOGETHER);
    loop {
        let some: Vec<Vec<usize>> = points.by_ref().take(together).collect();
        if some.is_empty() {
            break;
        }
        let looked: Vec<Looked> = some.par_iter().map(|point| Looked::at(description, point)).collect();
        for (point, looked) in some.iter().zip(looked) {
            findings.begin(looked.resolved);
            for seen in looked.seen {
                found.add((description, point), seen, &mut findings, &mut told);
            }
        }
    }
    found.errors = findings.finish();
    found
}

/// A point by itself.
struct Looked {
    resolved: Resolved,
    seen: Vec<Seen>,
}

/// A point with one way to start, or what is wrong with it.
type Seen = Result<Sight, Vec<LoweringError>>;

/// What there is to tell of a point.
struct Sight {
    parts: Vec<PartFacts>,
    assumptions: Vec<String>,
    warnings: Vec<Warning>,
    takes_long: Option<String>,
}

impl Looked {
    fn at(description: &Description, point: &[usize]) -> Self {
        let resolved = Resolved::new(description, point);
        let mut seen = Vec::new();
        if let Some(harness) = &resolved.harness {
            seen.extend(starts(harness).into_iter().map(|start| look(harness, start)));
        }
        Self { resolved, seen }
    }
}

fn look(harness: &Harness, start: Start) -> Seen {
    let mut lowered = network::lowering::lower(harness, start)?;
    let mut assumptions = std::mem::take(&mut lowered.assumptions);
    assumptions.extend(crate::unknown::assumptions(harness));
    let mut warnings = std::mem::take(&mut lowered.warnings);
    warnings.extend(crate::warnings::of_drawing(harness, &lowered));
    // A run tells the voltages of shared returns besides.
    let shared = crate::warnings::shared(&lowered);
    warnings.extend(shared.iter().map(|shared| crate::warnings::shared_return(shared, None)));
    let takes_long = if start == Start::Steady { crate::point::takes_long(&lowered) } else { None };
    Ok(Sight { parts: facts::of_parts(&lowered), assumptions, warnings, takes_long })
}

/// What has been told already; a harness of many thousand parts assumes something of each.
#[derive(Default)]
struct Told {
    assumptions: HashSet<String>,
    warnings: HashSet<String>,
    parts: Gathered,
}

impl Examination {
    fn add(
        &mut self,
        at: (&Description, &[usize]),
        seen: Seen,
        findings: &mut Findings<'_>,
        told: &mut Told,
    ) {
        let sight = match seen {
            Ok(sight) => sight,
            Err(errors) => {
                findings.tell(errors.iter().map(|error| Finding {
                    code: error.code,
                    part: &error.part,
                    property: &error.property,
                    message: &error.message,
                    help: &error.help,
                }));
                return;
            }
        };
        let (description, point) = at;
        let first = point.iter().all(|index| *index == 0);
        let at = || if first { String::new() } else { words(description, point) };
        told.parts.add(sight.parts, at, &mut self.parts);
        let new = |text: &String| told.assumptions.insert(text.clone());
        self.assumptions.extend(sight.assumptions.into_iter().filter(new));
        if self.takes_long.is_none() {
            self.takes_long = sight.takes_long;
        }
        for warning in sight.warnings {
            if told.warnings.insert(format!("{} {}", warning.code, warning.text)) {
                let places = findings.places(&warning.about);
                self.warnings.push(Noted { warning, places });
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
