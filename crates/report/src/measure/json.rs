//! What to measure next, for programs.

use super::{Row, rows};
use crate::json::{at_value, measured, number};
use serde_json::{Value, json};
use study::influence::Influence;
use study::result::Comparison;

/// A list, the gravest first.
pub(crate) fn value(comparison: &Comparison, influences: &[Influence]) -> Value {
    rows(comparison, influences).iter().map(|row| one(comparison, row)).collect()
}

fn one(comparison: &Comparison, row: &Row<'_>) -> Value {
    let (influence, requirement) = (row.influence, row.requirement);
    let of_value = |value: f64| measured(Some(value), influence.dimension);
    let of_requirement = |value: f64| measured(Some(value), requirement.dimension);
    json!({
        "part": influence.part,
        "property": influence.property,
        "in_file": of_value(influence.value),
        "low": of_value(influence.ends.0),
        "high": of_value(influence.ends.1),
        "stated": influence.stated,
        "assumed": influence.assumed,
        "at": at_value(&comparison.axes, &row.run.at),
        "requirement": requirement.text,
        "value": number(requirement.value),
        "limit": number(Some(requirement.limit)),
        "with_low": of_requirement(row.values.0),
        "with_high": of_requirement(row.values.1),
        "turns": row.turns,
        "how": row.how,
    })
}
