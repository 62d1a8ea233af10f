//! What pictures of a sweep show: its requirements, or its readings where it requires nothing.

use super::json::Line;
use super::outline::Required;
use language::description::Comparison;
use quantity::Dimension;

/// A value that every point has.
#[derive(Clone, Debug)]
pub(crate) struct Asked {
    /// As the file says it: `noise < 60 mV`, or a reading's name.
    pub(crate) text: String,
    /// For the name of a file: letters, digits and `_` alone, unlike every other's.
    pub(crate) name: String,
    pub(crate) dimension: Dimension,
    /// How it is compared with the limit; nothing for a reading.
    pub(crate) comparison: Option<Comparison>,
    /// In SI units.
    pub(crate) limit: Option<f64>,
    place: Place,
}

/// Where its value stands in a row.
#[derive(Clone, Copy, Debug)]
enum Place {
    Requirement(usize),
    Reading(usize),
}

impl Asked {
    /// The requirements; the readings where nothing is required.
    pub(super) fn of(requirements: &[Required], readings: &[(String, Dimension)]) -> Vec<Self> {
        let mut all: Vec<Self> = Vec::new();
        for (at, requirement) in requirements.iter().enumerate() {
            let text = &requirement.text;
            let subject = text.split(['<', '>']).next().unwrap_or(text);
            all.push(Self {
                name: unlike(&all, subject),
                text: text.clone(),
                dimension: requirement.dimension,
                comparison: Some(requirement.comparison),
                limit: Some(requirement.limit),
                place: Place::Requirement(at),
            });
        }
        if all.is_empty() {
            for (at, (name, dimension)) in readings.iter().enumerate() {
                all.push(Self {
                    name: unlike(&all, name),
                    text: name.clone(),
                    dimension: *dimension,
                    comparison: None,
                    limit: None,
                    place: Place::Reading(at),
                });
            }
        }
        all
    }

    /// Its value at a point.
    pub(crate) fn value(&self, line: &Line) -> Option<f64> {
        let value = match self.place {
            Place::Requirement(at) => line.values.get(at),
            Place::Reading(at) => line.readings.get(at),
        };
        value.copied().flatten().filter(|value| value.is_finite())
    }

    /// Whether one value is worse than another: what must stay above a limit is worst where it is least.
    pub(crate) fn worse(&self, one: f64, other: f64) -> bool {
        if self.least_is_worst() { one < other } else { one > other }
    }

    pub(crate) fn least_is_worst(&self) -> bool {
        matches!(self.comparison, Some(Comparison::Greater | Comparison::GreaterOrEqual))
    }

    /// Whether a value keeps to the limit; nothing where there is none.
    pub(crate) fn holds(&self, value: f64) -> Option<bool> {
        Some(self.comparison?.holds(value, self.limit?))
    }
}

/// A name of letters, digits and `_` that none of the others has: `minimum_rail`.
fn unlike(others: &[Asked], words: &str) -> String {
    let pieces = words.split(|one: char| !one.is_ascii_alphanumeric()).filter(|piece| !piece.is_empty());
    let name: String = pieces.collect::<Vec<_>>().join("_").chars().take(40).collect();
    let taken = |name: &str| others.iter().any(|other| other.name == name);
    let numbered = (2..).map(|number| format!("{name}_{number}"));
    std::iter::once(name.clone()).chain(numbered).find(|name| !taken(name)).unwrap_or(name)
}
