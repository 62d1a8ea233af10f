//! Choices against conditions: every point run, in parallel, results in the order of the product.

use crate::cautions::Present;
use crate::examine::examine;
use crate::options::{Options, OptionsError, product};
use crate::point::{OWN_FAULT, failed, run_point};
use crate::result::{Comparison, Run, TestpointInfo};
use language::Description;
use language::description::{Signal, Testpoint};
use rayon::prelude::*;
use std::panic::AssertUnwindSafe;

/// Runs every point that the options leave.
///
/// A point that fails carries its error; the others are not touched by it. What the options leave out is not run, the baseline
/// neither: verdicts then stand without a comparison.
///
/// # Errors
/// An option that names an axis or a point that the harness does not have; too many points.
pub fn compare(description: &Description, options: &Options) -> Result<Comparison, OptionsError> {
    compare_telling(description, options, &|| {})
}

/// The same, calling `done` after each point, from whichever thread ran it.
///
/// # Errors
/// As [`compare`].
pub fn compare_telling(
    description: &Description,
    options: &Options,
    done: &(dyn Fn() + Sync),
) -> Result<Comparison, OptionsError> {
    let points: Vec<Vec<usize>> = product(&options.points(description)?).collect();
    let run = |point: &Vec<usize>| {
        let run = guarded(description, point, options);
        done();
        run
    };
    let first = description.at(&vec![0; description.axes().len()]);
    let remarks = || {
        let mut present = Present::default();
        points
            .iter()
            .for_each(|point| description.at(point).parts.iter().for_each(|part| present.note(part)));
        (present.cautions(), examine(description).assumptions)
    };
    let (runs, (cautions, assumptions)) = rayon::join(|| points.par_iter().map(run).collect(), remarks);
    Ok(Comparison {
        harness: description.title().to_owned(),
        axes: description.axes().to_vec(),
        runs,
        testpoints: first.testpoints.iter().map(info).collect(),
        start: first.transients.first().map(|transient| transient.start),
        assumptions,
        cautions,
    })
}

/// Runs a point; a fault of the program in one point does not take the others' results away.
fn guarded(description: &Description, point: &[usize], options: &Options) -> Run {
    let run = || run_point(description, point, options);
    std::panic::catch_unwind(AssertUnwindSafe(run))
        .unwrap_or_else(|_| failed(&description.at(point), point, OWN_FAULT.to_owned()))
}

fn info(testpoint: &Testpoint) -> TestpointInfo {
    let signal = match &testpoint.signal {
        Signal::NodeVoltage(plus, None) => format!("voltage({plus})"),
        Signal::NodeVoltage(plus, Some(minus)) => format!("voltage({plus}, {minus})"),
        Signal::PartVoltage(part) => format!("voltage({part})"),
        Signal::PartCurrent(part) => format!("current({part})"),
        Signal::PartPower(part) => format!("power({part})"),
        Signal::Picture(part) => format!("picture({part})"),
        Signal::PartFlux(part) => format!("flux({part})"),
    };
    TestpointInfo {
        name: testpoint.name.clone(),
        signal,
        dimension: testpoint.dimension(),
        bandwidth: testpoint.bandwidth,
    }
}
