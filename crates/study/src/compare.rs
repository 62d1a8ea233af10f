//! Choices against conditions: every point run, in parallel, results in the order of the product.

use crate::cautions::cautions;
use crate::examine::{examine, push_new};
use crate::options::{Options, UnknownPoint, product};
use crate::point::run_point;
use crate::result::{Comparison, TestpointInfo};
use language::Description;
use language::description::{Signal, Testpoint};
use rayon::prelude::*;

/// Runs every point that the options leave.
///
/// A point that fails carries its error; the others are not touched by it. What the options leave out is not run, the baseline
/// neither: verdicts then stand without a comparison.
///
/// # Errors
/// An option that names an axis or a point that the harness does not have.
pub fn compare(description: &Description, options: &Options) -> Result<Comparison, UnknownPoint> {
    let points = product(&options.points(description)?);
    let runs = points.par_iter().map(|point| run_point(description, point, options)).collect();
    let first = description.at(&vec![0; description.axes().len()]);
    let mut parts = Vec::new();
    for point in &points {
        description.at(point).parts.into_iter().for_each(|part| push_new(&mut parts, &part.kind));
    }
    Ok(Comparison {
        harness: description.title().to_owned(),
        axes: description.axes().to_vec(),
        runs,
        testpoints: first.testpoints.iter().map(info).collect(),
        start: first.transients.first().map(|transient| transient.start),
        assumptions: examine(description).assumptions,
        cautions: cautions(&parts),
    })
}

fn info(testpoint: &Testpoint) -> TestpointInfo {
    let signal = match &testpoint.signal {
        Signal::NodeVoltage(plus, None) => format!("voltage({plus})"),
        Signal::NodeVoltage(plus, Some(minus)) => format!("voltage({plus}, {minus})"),
        Signal::PartVoltage(part) => format!("voltage({part})"),
        Signal::PartCurrent(part) => format!("current({part})"),
        Signal::PartPower(part) => format!("power({part})"),
        Signal::PartFlux(part) => format!("flux({part})"),
    };
    TestpointInfo {
        name: testpoint.name.clone(),
        signal,
        dimension: testpoint.dimension(),
        bandwidth: testpoint.bandwidth,
    }
}
