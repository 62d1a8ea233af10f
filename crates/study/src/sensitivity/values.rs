//! The values of a harness, and the harness with one of them a little lower or higher.

use super::Stated;
use language::Description;
use language::description::{Harness, Part, Value};
use language::kinds::Shape;
use std::collections::BTreeMap;

/// Departure to either side, as a fraction of the value.
pub(super) const SMALL: f64 = 1e-6;

/// A value that can be varied.
#[derive(Clone, Debug)]
pub(super) struct Variable {
    pub(super) stated: Stated,
    place: Place,
}

#[derive(Clone, Debug)]
enum Place {
    Let,
    /// Index of the part, its property, and which end of a range.
    Property(usize, String, End),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    Whole,
    Lower,
    Upper,
}

/// All numbers that a harness states; what only counts things is left out.
pub(super) fn variables(harness: &Harness) -> Vec<Variable> {
    let stated = |name: String, value| Stated { name, value, excluded: None };
    let lets = harness
        .lets
        .iter()
        .map(|each| Variable { stated: stated(each.name.clone(), each.value), place: Place::Let });
    let mut variables: Vec<Variable> = lets.collect();
    for (index, part) in harness.parts.iter().enumerate() {
        for (property, value) in &part.properties {
            let name = format!("{}.{property}", part.name);
            let mut push = |name: String, value, end| {
                let place = Place::Property(index, property.clone(), end);
                variables.push(Variable { stated: stated(name, value), place });
            };
            match value {
                Value::Number(value, _) if !counts(part, property) => push(name, *value, End::Whole),
                Value::Range(lower, upper) => {
                    push(format!("{name}.lower"), *lower, End::Lower);
                    push(format!("{name}.upper"), *upper, End::Upper);
                }
                Value::Number(..) | Value::Points(_) | Value::Word(_) | Value::Text(_) => {}
            }
        }
    }
    for variable in &mut variables {
        if variable.stated.value.value == 0.0 {
            variable.stated.excluded = Some("it is 0, of which a percentage is nothing".to_owned());
        }
    }
    variables
}

fn counts(part: &Part, property: &str) -> bool {
    part.kind.table().property(property).is_some_and(|property| property.shape == Shape::Count)
}

impl Variable {
    /// By how much it departs to either side, in its own unit.
    pub(super) fn departure(&self) -> f64 {
        SMALL * self.stated.value.value.abs()
    }

    /// The harness with the value departed by so much; `None` where the file then has no such point.
    pub(super) fn departed(
        &self,
        description: &Description,
        at: &[usize],
        harness: &Harness,
        by: f64,
    ) -> Option<Harness> {
        match &self.place {
            Place::Let => {
                let value = self.stated.value.value + by;
                let drawn = BTreeMap::from([(self.stated.name.clone(), value)]);
                description.drawn(at, &drawn).ok()
            }
            Place::Property(index, property, end) => {
                let mut departed = harness.clone();
                let part = departed.parts.get_mut(*index)?;
                let allowed = part.kind.table().property(property)?.allowed;
                match part.properties.get_mut(property)? {
                    Value::Number(value, _) if *end == End::Whole => {
                        value.value += by;
                        if !allowed.takes(value.value) {
                            return None;
                        }
                    }
                    Value::Range(lower, _) if *end == End::Lower => lower.value += by,
                    Value::Range(_, upper) if *end == End::Upper => upper.value += by,
                    _ => return None,
                }
                Some(departed)
            }
        }
    }

    /// Whether it is a `let`, on which arithmetic outside parts may depend too.
    pub(super) fn is_let(&self) -> bool {
        matches!(self.place, Place::Let)
    }
}
