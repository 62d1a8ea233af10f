//! Rows of a sweep as lines of JSON, and what a sweep is of.

use crate::json::{axis_value, number, point_value, reading_pair, requirement_value};
use language::description::Axis;
use serde_json::{Map, Value, json};
use study::sweep::{Drawing, Law, Plan, Row};

/// What a sweep is of: it stands beside the rows, and a sweep is gone on with only where it is the same.
#[must_use]
pub fn manifest(
    harness: &str,
    axes: &[Axis],
    plan: &Plan,
    share: (usize, usize),
    fingerprint: &str,
) -> String {
    let mut value = head(harness, axes, plan);
    if let Value::Object(map) = &mut value {
        map.insert("points".to_owned(), json!(plan.total()));
        map.insert("share".to_owned(), json!([share.0, share.1]));
        map.insert("fingerprint".to_owned(), json!(fingerprint));
    }
    format!("{value:#}\n")
}

/// The text before the rows of a whole result; `]}` ends it.
#[must_use]
pub fn opening(harness: &str, axes: &[Axis], plan: &Plan) -> String {
    let head = head(harness, axes, plan).to_string();
    format!("{},\"runs\":[", head.strip_suffix('}').unwrap_or(&head))
}

fn head(harness: &str, axes: &[Axis], plan: &Plan) -> Value {
    let mut map = Map::new();
    map.insert("schema".to_owned(), json!(1));
    map.insert("harness".to_owned(), json!(harness));
    map.insert("axes".to_owned(), axes.iter().map(axis_value).collect());
    if let Some(drawing) = plan.drawing() {
        map.insert("draws".to_owned(), draws(drawing, plan));
    }
    Value::Object(map)
}

fn draws(drawing: Drawing, plan: &Plan) -> Value {
    let law = match drawing.law {
        Law::Uniform => "uniform",
        Law::Normal => "normal",
        Law::Corners => "corners",
        Law::SignedCorners => "signed_corners",
    };
    let drawn: Vec<Value> = plan
        .variables()
        .iter()
        .map(|each| json!({"name": each.name, "unit": quantity::unit_symbol(each.dimension)}))
        .collect();
    json!({"count": drawing.draws, "seed": drawing.seed, "law": law, "values": drawn})
}

/// A row as a JSON value: the form of a run, with its number and what was drawn.
#[must_use]
pub fn row_value(axes: &[Axis], plan: &Plan, row: &Row) -> Value {
    let run = &row.run;
    let mut map = Map::new();
    map.insert("point".to_owned(), json!(row.number));
    let at: Map<String, Value> = axes
        .iter()
        .zip(&run.at)
        .map(|(axis, index)| (axis.name.clone(), point_value(axis, *index)))
        .collect();
    map.insert("at".to_owned(), Value::Object(at));
    if plan.drawing().is_some() {
        map.insert("draw".to_owned(), json!(row.draw));
        let drawn = plan.variables().iter().zip(&row.drawn);
        let drawn: Map<String, Value> =
            drawn.map(|(each, value)| (each.name.clone(), number(*value))).collect();
        map.insert("drawn".to_owned(), Value::Object(drawn));
    }
    map.insert("readings".to_owned(), Value::Object(run.readings.iter().map(reading_pair).collect()));
    map.insert("requirements".to_owned(), run.requirements.iter().map(requirement_value).collect());
    let warnings = run.warnings.iter().map(|warning| json!({"code": warning.code, "text": warning.text}));
    map.insert("warnings".to_owned(), warnings.collect());
    map.insert("error".to_owned(), json!(run.error));
    Value::Object(map)
}

/// A row's line.
#[must_use]
pub fn json_line(axes: &[Axis], plan: &Plan, row: &Row) -> String {
    format!("{}\n", row_value(axes, plan, row))
}

/// What the summary needs of a row.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Number of the point.
    pub number: usize,
    /// Values drawn, in the plan's order.
    pub drawn: Vec<Option<f64>>,
    /// Values of the readings, in the file's order.
    pub readings: Vec<Option<f64>>,
    /// Value of each requirement's left side.
    pub values: Vec<Option<f64>>,
    /// Verdict on each.
    pub met: Vec<Option<bool>>,
    /// Whether the point failed.
    pub failed: bool,
}

/// Reads a line of rows; `None` where it is none.
#[must_use]
pub fn parse(line: &str) -> Option<Line> {
    let value: Value = serde_json::from_str(line).ok()?;
    let numbers = |key: &str| -> Vec<Option<f64>> {
        let map = value.get(key).and_then(Value::as_object);
        map.map_or_else(Vec::new, |map| map.values().map(Value::as_f64).collect())
    };
    let readings = value.get("readings")?.as_object()?;
    let requirements = value.get("requirements")?.as_array()?;
    Some(Line {
        number: usize::try_from(value.get("point")?.as_u64()?).ok()?,
        drawn: numbers("drawn"),
        readings: readings.values().map(|one| one.get("value").and_then(Value::as_f64)).collect(),
        values: requirements.iter().map(|one| one.get("value").and_then(Value::as_f64)).collect(),
        met: requirements.iter().map(|one| one.get("met").and_then(Value::as_bool)).collect(),
        failed: !value.get("error")?.is_null(),
    })
}

/// Number and count of the share that a manifest tells of.
#[must_use]
pub fn share_of(manifest: &str) -> Option<(usize, usize)> {
    let value: Value = serde_json::from_str(manifest).ok()?;
    let share = value.get("share")?.as_array()?;
    let number = |index: usize| share.get(index)?.as_u64().and_then(|number| usize::try_from(number).ok());
    Some((number(0)?, number(1)?))
}

/// A manifest with another share.
#[must_use]
pub fn with_share(manifest: &str, number: usize, of: usize) -> Option<String> {
    let mut value: Value = serde_json::from_str(manifest).ok()?;
    *value.get_mut("share")? = json!([number, of]);
    Some(format!("{value:#}\n"))
}
