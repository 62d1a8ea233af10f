//! Rows of a sweep as lines of JSON, and what a sweep is of.

use super::outline::Outline;
use crate::json::{at_value, number, reading_pair, requirement_value};
use language::description::Axis;
use serde_json::{Map, Value, json};
use study::sweep::{Plan, Row};

/// What a sweep is of: it stands beside the rows, and a sweep is gone on with only where it is the same.
#[must_use]
pub fn manifest(outline: &Outline, points: usize, share: (usize, usize), fingerprint: &str) -> String {
    let mut map = outline.value();
    map.insert("points".to_owned(), json!(points));
    map.insert("share".to_owned(), json!([share.0, share.1]));
    map.insert("fingerprint".to_owned(), json!(fingerprint));
    format!("{:#}\n", Value::Object(map))
}

/// The text before the rows of a whole result; `]}` ends it.
#[must_use]
pub fn opening(outline: &Outline) -> String {
    let head = Value::Object(outline.head()).to_string();
    format!("{},\"runs\":[", head.strip_suffix('}').unwrap_or(&head))
}

/// A row as a JSON value: the form of a run, with its number and what was drawn.
#[must_use]
pub fn row_value(axes: &[Axis], plan: &Plan, row: &Row) -> Value {
    let run = &row.run;
    let mut map = Map::new();
    map.insert("point".to_owned(), json!(row.number));
    map.insert("at".to_owned(), at_value(axes, &run.at));
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
    line_of(&serde_json::from_str(line).ok()?)
}

/// A row's line, and what the summary needs of it: what [`parse`] reads there.
#[must_use]
pub fn json_line(axes: &[Axis], plan: &Plan, row: &Row) -> (String, Option<Line>) {
    let value = row_value(axes, plan, row);
    let line = line_of(&value);
    (format!("{value}\n"), line)
}

fn line_of(value: &Value) -> Option<Line> {
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
