//! The curves of one response as rows: a row for each pick of the builder under each condition that changes the curve.

use crate::options::picks;
use crate::text;
use quantity::Dimension;
use std::collections::HashMap;
use study::result::{Curve, Responses, Run};

/// A pick under a condition, with its curve.
pub(crate) struct Row<'a> {
    /// The pick's label.
    pub(crate) option: String,
    /// Whether it is the baseline.
    pub(crate) baseline: bool,
    /// Names of its cases on the axes that change the curve; empty where none does.
    pub(crate) condition: String,
    /// Why there may be no curve.
    pub(crate) run: &'a Run,
    pub(crate) curve: Option<&'a Curve>,
}

/// Magnitude in decibel.
pub(crate) fn level(magnitude: f64) -> f64 {
    20.0 * magnitude.log10()
}

/// A magnitude as people read it: a ratio in dB, anything else in its unit.
pub(crate) fn shown(magnitude: Option<f64>, dimension: Dimension) -> String {
    match magnitude {
        // Rounded to the decimal that is shown, lest a gain of 1 read as -0.0 dB.
        Some(magnitude) if dimension.is_none() => {
            text::decibel((10.0 * level(magnitude)).round() / 10.0 + 0.0)
        }
        other => text::value_or_missing(other, dimension),
    }
}

/// The rows of a response, and the names of the axes that its conditions stand for.
pub(crate) fn rows(responses: &Responses, response: usize) -> (Vec<Row<'_>>, String) {
    let points = &responses.points;
    let dimension = responses.responses[response].dimension;
    let curve = |index: usize| responses.curves[index].get(response).and_then(Option::as_ref);
    let cells: Vec<Vec<String>> =
        (0..points.runs.len()).map(|index| cells(curve(index), dimension)).collect();
    let conditions = points.axes.iter().enumerate().filter(|(_, axis)| axis.kind.takes_worst_case());
    let telling: Vec<usize> =
        conditions.filter(|(axis, _)| changes(&points.runs, &cells, *axis)).map(|(axis, _)| axis).collect();
    let names = |run: &Run| -> String {
        let name = |axis: &usize| points.axes[*axis].points[run.at[*axis]].clone();
        telling.iter().map(name).collect::<Vec<_>>().join(", ")
    };
    let mut rows: Vec<Row<'_>> = Vec::new();
    for pick in picks(points) {
        let first = rows.len();
        for run in &pick.runs {
            let condition = names(run);
            if rows[first..].iter().any(|row| row.condition == condition) {
                continue;
            }
            let index = points.runs.iter().position(|known| std::ptr::eq(known, *run));
            rows.push(Row {
                option: pick.label.clone(),
                baseline: pick.baseline,
                condition,
                run,
                curve: index.and_then(curve),
            });
        }
    }
    let axes: Vec<&str> = telling.iter().map(|axis| points.axes[*axis].name.as_str()).collect();
    (rows, axes.join(", "))
}

/// What is told of a curve.
fn cells(curve: Option<&Curve>, dimension: Dimension) -> Vec<String> {
    let Some(curve) = curve else { return Vec::new() };
    let decades = curve.decades.iter().map(|(_, magnitude)| *magnitude);
    let lines = curve.at_lines.iter().copied();
    let told = decades.chain(lines).chain([curve.peak.map(|(_, magnitude)| magnitude)]);
    told.map(|magnitude| shown(magnitude, dimension)).collect()
}

/// Whether anything that is told changes along an axis.
fn changes(runs: &[Run], cells: &[Vec<String>], axis: usize) -> bool {
    let mut known: HashMap<Vec<usize>, &Vec<String>> = HashMap::new();
    runs.iter().zip(cells).any(|(run, cells)| {
        let mut rest = run.at.clone();
        rest.remove(axis);
        *known.entry(rest).or_insert(cells) != cells
    })
}
