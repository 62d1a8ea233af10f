//! Every reading of a point against each value, by the chain rule from its measures.

use super::chain::{self, Dual};
use super::neighbours::Neighbours;
use super::values::Variable;
use super::{Differentiated, Slope};
use crate::examine::push_new;
use crate::readings::{Measured, Place, measures, value};
use language::description::{Comparison, Expression, Harness, Measure, Reading};

/// A measure at a place, with its value and its derivative by each value, or why it has none.
pub(super) struct Known {
    pub(super) measure: Measure,
    pub(super) place: Place,
    pub(super) found: Result<(f64, Vec<Result<f64, String>>), String>,
}

/// All that readings and requirements look at of one kind, each once.
pub(super) fn asked(harness: &Harness, of_kind: impl Fn(&Measure, Place) -> bool) -> Vec<(Measure, Place)> {
    let mut asked = Vec::new();
    let requirements = harness.requirements.iter().map(|requirement| &requirement.reading);
    for reading in harness.readings.iter().chain(requirements) {
        measures(harness, reading, &mut |measure, place| {
            if of_kind(measure, place) {
                push_new(&mut asked, &(measure.clone(), place));
            }
        });
    }
    asked
}

fn find<'k>(known: &'k [Known], measure: &Measure, place: Place) -> Option<&'k Known> {
    known.iter().find(|known| known.measure == *measure && known.place == place)
}

/// What is differentiated.
pub(super) struct Wanted<'h> {
    name: String,
    reading: &'h Reading,
    least_is_worst: bool,
    required: bool,
    pub(super) place: Asked,
}

pub(super) enum Asked {
    Reading(usize),
    Requirement(usize),
}

/// Every named reading, then what requirements read besides.
pub(super) fn readings(harness: &Harness) -> Vec<Wanted<'_>> {
    let above =
        |comparison: Comparison| matches!(comparison, Comparison::Greater | Comparison::GreaterOrEqual);
    let of_reading = |name: &str| {
        harness.requirements.iter().filter(|requirement| {
            matches!(&requirement.reading.expression, Expression::Reading(known) if known == name)
        }).collect::<Vec<_>>()
    };
    let named = harness.readings.iter().enumerate().map(|(index, reading)| Wanted {
        name: reading.name.clone(),
        reading,
        least_is_worst: of_reading(&reading.name).iter().any(|requirement| above(requirement.comparison)),
        required: !of_reading(&reading.name).is_empty(),
        place: Asked::Reading(index),
    });
    let others = harness.requirements.iter().enumerate().filter_map(|(index, requirement)| {
        let reading = &requirement.reading;
        let is_named = matches!(reading.expression, Expression::Reading(_)) && reading.window.is_none();
        let name = requirement.text.split(['<', '>']).next()?.trim().to_owned();
        (!is_named).then_some(Wanted {
            name,
            reading,
            least_is_worst: above(requirement.comparison),
            required: true,
            place: Asked::Requirement(index),
        })
    });
    let mut all: Vec<Wanted<'_>> = named.collect();
    for other in others {
        if all.iter().all(|known| known.name != other.name || known.least_is_worst != other.least_is_worst) {
            all.push(other);
        }
    }
    all
}

impl Wanted<'_> {
    pub(super) fn differentiated(
        &self,
        harness: &Harness,
        value: Option<f64>,
        known: &[Known],
        variables: &[Variable],
        neighbours: &[Option<Neighbours>],
    ) -> Differentiated {
        let mut found = Differentiated {
            name: self.name.clone(),
            value,
            dimension: self.reading.dimension,
            least_is_worst: self.least_is_worst,
            required: self.required,
            excluded: None,
            slopes: Vec::new(),
        };
        // A measure without any derivative takes the reading with it.
        measures(harness, self.reading, &mut |measure, place| {
            let reason = match find(known, measure, place).map(|leaf| &leaf.found) {
                Some(Ok(_)) => None,
                Some(Err(reason)) => Some(reason.clone()),
                None => Some("it has no run to be read from".to_owned()),
            };
            found.excluded = found.excluded.take().or(reason);
        });
        if found.excluded.is_some() {
            return found;
        }
        for (index, variable) in variables.iter().enumerate() {
            let leaves = |measure: &Measure, place: Place| {
                let leaf = find(known, measure, place).and_then(|leaf| leaf.found.as_ref().ok());
                let leaf = leaf.ok_or_else(String::new)?;
                Ok(Dual { value: leaf.0, slope: leaf.1[index].clone()? })
            };
            let slope = chain::reading(harness, self.reading, &leaves).and_then(|dual| {
                let directly = match &neighbours[index] {
                    Some(neighbours) if variable.is_let() => self.directly(neighbours, known)?,
                    _ => 0.0,
                };
                Some(dual.slope + directly)
                    .filter(|slope| slope.is_finite())
                    .ok_or_else(|| "the arithmetic has no derivative there".to_owned())
            });
            found.slopes.push(slope.map_or_else(Slope::Unknown, Slope::Known));
        }
        found
    }

    /// What a `let` changes of the arithmetic itself, all measures staying as they are.
    fn directly(&self, neighbours: &Neighbours, known: &[Known]) -> Result<f64, String> {
        let [low, high] = neighbours.harnesses.each_ref().map(|harness| {
            let reading = match self.place {
                Asked::Reading(index) => harness.readings.get(index)?,
                Asked::Requirement(index) => &harness.requirements.get(index)?.reading,
            };
            value(harness, reading, &Standing(known))
        });
        match (low, high) {
            (Some(low), Some(high)) => Ok((high - low) / neighbours.width),
            _ => Err("it moves the times or frequencies at which the reading looks".to_owned()),
        }
    }
}

/// Measures that stay as they are.
struct Standing<'a>(&'a [Known]);

impl Measured for Standing<'_> {
    fn measure(&self, measure: &Measure, place: Place) -> Option<f64> {
        find(self.0, measure, place)?.found.as_ref().ok().map(|(value, _)| *value)
    }
}
