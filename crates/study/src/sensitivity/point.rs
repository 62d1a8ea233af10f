//! One point: its measures against each value, and its readings.

use super::Point;
use super::frequency::of_frequency;
use super::neighbours::{Neighbours, lowered, neighbours as neighbours_of};
use super::transient::of_transient;
use super::values::variables;
use super::wanted::{Asked, readings};
use crate::options::Options;
use crate::point::run_point;
use language::Description;

pub(super) fn differentiate(
    description: &Description,
    at: &[usize],
    options: &Options,
) -> Result<Point, String> {
    let harness = description.check_at(at).map_err(|mistakes| {
        mistakes.into_iter().map(|mistake| mistake.message).collect::<Vec<_>>().join("; ")
    })?;
    let run = run_point(description, at, &Options { pictures: false, ..options.clone() });
    if let Some(error) = run.error {
        return Err(error);
    }
    let base = lowered(&harness)?;
    let mut variables = variables(&harness);
    let neighbours: Vec<Option<Neighbours>> = variables
        .iter_mut()
        .map(|variable| {
            let found = variable
                .stated
                .excluded
                .is_none()
                .then(|| neighbours_of(description, at, &harness, &base, variable));
            let found = found.flatten();
            if found.is_none() && variable.stated.excluded.is_none() {
                variable.stated.excluded = Some("its part takes no value near it".to_owned());
            }
            found
        })
        .collect();
    let mut known = Vec::new();
    for (index, transient) in harness.transients.iter().enumerate() {
        known.extend(of_transient(&harness, index, transient, &base, &variables, &neighbours));
    }
    known.extend(of_frequency(&harness, &base, &variables, &neighbours));
    let all = readings(&harness);
    let values = run.readings.iter().map(|reading| reading.value).collect::<Vec<_>>();
    let required = run.requirements.iter().map(|requirement| requirement.value);
    let readings = all.iter().map(|asked| {
        let value = match asked.place {
            Asked::Reading(index) => values[index],
            Asked::Requirement(index) => required.clone().nth(index).flatten(),
        };
        asked.differentiated(&harness, value, &known, &variables, &neighbours)
    });
    let readings = readings.collect();
    let values = variables.into_iter().map(|variable| variable.stated).collect();
    Ok(Point { at: at.to_vec(), values, readings, error: None })
}
