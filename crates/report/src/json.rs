//! The result as JSON, schema 1: the form that other programs read.

use crate::options::{self, Outcome, Pick};
use crate::verdict;
use crate::verdict::facts::{Level, facts};
use language::description::{Axis, AxisKind};
use quantity::Dimension;
use serde_json::{Map, Value, json};
use study::result::{
    Comparison, ListedResonance, PartFacts, ReadingResult, RequirementResult, Run, TransientWork, Work,
};

/// The comparison as text, indented, with a line end at its end.
///
/// Values are in SI units at full double precision; what is missing or not finite is `null`, its unit kept.
#[must_use]
pub fn comparison(comparison: &Comparison) -> String {
    format!("{:#}\n", comparison_value(comparison))
}

/// The comparison as a JSON value with its keys in the order of the schema.
#[must_use]
pub fn comparison_value(comparison: &Comparison) -> Value {
    json!({
        "schema": 1,
        "harness": comparison.harness,
        "axes": comparison.axes.iter().map(axis_value).collect::<Vec<_>>(),
        "runs": comparison.runs.iter().map(|one| run(&comparison.axes, one)).collect::<Vec<_>>(),
        "work": counts(options::all_work(comparison)),
        "answer": verdict::answer(comparison),
        "options": options::picks(comparison).iter().map(|one| pick(comparison, one)).collect::<Vec<_>>(),
        "assumptions": comparison.assumptions,
        "cautions": comparison.cautions,
    })
}

/// An option over all conditions, with the figures of its sentence.
fn pick(comparison: &Comparison, pick: &Pick<'_>) -> Value {
    let facts = facts(comparison, pick);
    let met = match facts.outcome {
        Outcome::Meets => Some(true),
        Outcome::Fails => Some(false),
        Outcome::Unknown => None,
    };
    let level = facts.level.as_ref();
    json!({
        "name": facts.label,
        "baseline": facts.baseline,
        "met": met,
        "reduction": {"value": number(level.and_then(Level::reduction)), "unit": "dB"},
        "cost": {"value": number(facts.cost), "unit": "V"},
        "coils": facts.coils.iter().map(|coil| (coil.part.clone(), json!({
            "left": number(Some(coil.inductance_left)),
            "peak_current": number(Some(coil.peak_current)),
        }))).collect::<Map<_, _>>(),
        "sentence": verdict::sentence(comparison, pick),
    })
}

/// An axis with its points.
pub(crate) fn axis_value(axis: &Axis) -> Value {
    let kind = match axis.kind {
        AxisKind::Choice => "choice",
        AxisKind::Condition => "condition",
        AxisKind::Sweep => "sweep",
    };
    let points: Vec<Value> = (0..axis.points.len()).map(|index| point_value(axis, index)).collect();
    json!({"name": axis.name, "kind": kind, "points": points})
}

/// The name of an option or case; `{"value", "unit"}` of a swept value.
pub(crate) fn point_value(axis: &Axis, index: usize) -> Value {
    match axis.values.get(index) {
        Some(quantity) => {
            json!({"value": number(Some(quantity.value)), "unit": quantity::unit_symbol(quantity.dimension)})
        }
        None => axis.points.get(index).map_or(Value::Null, |name| json!(name)),
    }
}

/// A point by its names on the axes.
pub(crate) fn at_value(axes: &[Axis], at: &[usize]) -> Value {
    let point = |(axis, index): (&Axis, &usize)| (axis.name.clone(), point_value(axis, *index));
    Value::Object(axes.iter().zip(at).map(point).collect())
}

fn run(axes: &[Axis], run: &Run) -> Value {
    let readings: Map<String, Value> = run.readings.iter().map(reading_pair).collect();
    let warnings: Vec<Value> =
        run.warnings.iter().map(|warning| json!({"code": warning.code, "text": warning.text})).collect();
    json!({
        "at": at_value(axes, &run.at),
        "readings": readings,
        "requirements": run.requirements.iter().map(requirement_value).collect::<Vec<_>>(),
        "warnings": warnings,
        "error": run.error,
        "work": run.work.iter().map(transient_work).collect::<Vec<_>>(),
        "parts": run.parts.iter().map(|one| (one.name.clone(), part(one))).collect::<Map<_, _>>(),
    })
}

/// What a part comes to: its kind, and each figure with its unit.
pub(crate) fn part(part: &PartFacts) -> Value {
    let facts = part.facts.iter().map(|fact| {
        let unit = quantity::unit_symbol(fact.dimension);
        (fact.name.to_owned(), json!({"value": number(Some(fact.value)), "unit": unit}))
    });
    json!({"kind": part.kind.word(), "facts": facts.collect::<Map<_, _>>()})
}

fn transient_work(one: &TransientWork) -> Value {
    let mut value = json!({"transient": one.transient, "road": options::road(one.road), "settled": number(Some(one.settled))});
    if let (Value::Object(value), Value::Object(counts)) = (&mut value, counts(one.work)) {
        value.extend(counts);
    }
    value
}

fn counts(work: Work) -> Value {
    json!({
        "steps": work.steps,
        "rejections": work.rejections,
        "iterations": work.iterations,
        "factorizations": work.factorizations,
        "solves": work.solves,
    })
}

/// A reading under its name.
pub(crate) fn reading_pair(reading: &ReadingResult) -> (String, Value) {
    let mut value = json!({"value": number(reading.value), "unit": quantity::unit_symbol(reading.dimension)});
    if let (Some(list), Some(value)) = (&reading.list, value.as_object_mut()) {
        value.insert("list".to_owned(), list.iter().map(resonance).collect());
    }
    (reading.name.clone(), value)
}

pub(crate) fn resonance(resonance: &ListedResonance) -> Value {
    json!({
        "frequency": number(Some(resonance.frequency)),
        "height": number(resonance.height),
        "quality": number(Some(resonance.quality)),
        "parts": resonance.parts,
    })
}

/// A requirement with its verdict.
pub(crate) fn requirement_value(requirement: &RequirementResult) -> Value {
    json!({
        "text": requirement.text,
        "why": requirement.why,
        "met": options::met(requirement),
        "value": number(requirement.value),
        "limit": number(Some(requirement.limit)),
    })
}

/// A value with its unit.
pub(crate) fn measured(value: Option<f64>, dimension: Dimension) -> Value {
    json!({"value": number(value), "unit": quantity::unit_symbol(dimension)})
}

/// JSON has no infinities and no not-a-number: they are `null` like a missing value.
pub(crate) fn number(value: Option<f64>) -> Value {
    value.and_then(serde_json::Number::from_f64).map_or(Value::Null, Value::Number)
}
