//! What a sweep is of: all that its rows must be read with. It stands beside the rows, so that they can be read without the harness.

use super::asked::Asked;
use crate::json::{axis_value, number};
use language::description::{Axis, AxisKind, Comparison, Harness};
use quantity::{Dimension, Quantity, dimension_of_symbol, unit_symbol};
use serde_json::{Map, Value, json};
use study::sweep::{Drawing, Law, Plan, Variable};

/// Axes, draws, readings and requirements of a sweep.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Title of the harness.
    pub title: String,
    pub(crate) axes: Vec<Axis>,
    /// For each axis the indices of its points that are run.
    pub(crate) chosen: Vec<Vec<usize>>,
    pub(crate) drawing: Option<Drawing>,
    pub(crate) variables: Vec<Variable>,
    /// What corners were aimed at; empty where all corners, or none, were run.
    pub(crate) aims: Vec<String>,
    /// Name and dimension of each reading.
    pub(crate) readings: Vec<(String, Dimension)>,
    pub(crate) requirements: Vec<Required>,
}

/// A requirement.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Required {
    /// As the file says it.
    pub(crate) text: String,
    pub(crate) comparison: Comparison,
    /// In SI units.
    pub(crate) limit: f64,
    pub(crate) dimension: Dimension,
}

impl Outline {
    /// Of a plan. `harness` is one point of the study: readings and requirements are the same at all.
    #[must_use]
    pub fn of(title: &str, axes: &[Axis], plan: &Plan, harness: &Harness) -> Self {
        let required = harness.requirements.iter().map(|one| Required {
            text: one.text.clone(),
            comparison: one.comparison,
            limit: one.limit.value,
            dimension: one.reading.dimension,
        });
        Self {
            title: title.to_owned(),
            axes: axes.to_vec(),
            chosen: plan.chosen().to_vec(),
            drawing: plan.drawing(),
            variables: plan.variables().to_vec(),
            aims: plan.aims().iter().map(|aim| aim.text().to_owned()).collect(),
            readings: harness.readings.iter().map(|one| (one.name.clone(), one.dimension)).collect(),
            requirements: required.collect(),
        }
    }

    /// What pictures show.
    pub(crate) fn asked(&self) -> Vec<Asked> {
        Asked::of(&self.requirements, &self.readings)
    }

    /// For the point with this number: the index on each axis, and which draw it is.
    pub(crate) fn at(&self, number: usize) -> (Vec<usize>, usize) {
        study::sweep::place(&self.chosen, self.drawing, number)
    }

    /// What opens a result: schema, harness, axes, draws.
    pub(super) fn head(&self) -> Map<String, Value> {
        let mut map = Map::new();
        map.insert("schema".to_owned(), json!(1));
        map.insert("harness".to_owned(), json!(self.title));
        map.insert("axes".to_owned(), self.axes.iter().map(axis_value).collect());
        if let Some(drawing) = self.drawing {
            let drawn: Vec<Value> = self
                .variables
                .iter()
                .map(|each| json!({"name": each.name, "unit": unit_symbol(each.dimension)}))
                .collect();
            let draws = json!({"count": drawing.draws, "seed": drawing.seed, "law": law(drawing.law), "values": drawn});
            map.insert("draws".to_owned(), draws);
        }
        map
    }

    /// All of it.
    pub(super) fn value(&self) -> Map<String, Value> {
        let mut map = self.head();
        let reading =
            |(name, dimension): &(String, Dimension)| json!({"name": name, "unit": unit_symbol(*dimension)});
        let requirement = |one: &Required| {
            json!({
                "text": one.text,
                "comparison": sign(one.comparison),
                "limit": number(Some(one.limit)),
                "unit": unit_symbol(one.dimension),
            })
        };
        let axis = |axis: &Axis| json!({"names": axis.points, "baseline": axis.baseline});
        map.insert("readings".to_owned(), self.readings.iter().map(reading).collect());
        map.insert("requirements".to_owned(), self.requirements.iter().map(requirement).collect());
        map.insert("aims".to_owned(), json!(self.aims));
        map.insert("names".to_owned(), self.axes.iter().map(axis).collect());
        map.insert("run".to_owned(), json!(self.chosen));
        map
    }

    /// What a manifest tells of; nothing where it tells too little.
    #[must_use]
    pub fn read(manifest: &str) -> Option<Self> {
        let value: Value = serde_json::from_str(manifest).ok()?;
        let list = |key: &str| value.get(key)?.as_array();
        let axes = list("axes")?.iter().zip(list("names")?).map(|(axis, names)| read_axis(axis, names));
        let axes = axes.collect::<Option<Vec<Axis>>>()?;
        let chosen = list("run")?.iter().map(|one| one.as_array()?.iter().map(index).collect());
        let chosen = chosen.collect::<Option<Vec<Vec<usize>>>>()?;
        let in_range = |(axis, points): (&Axis, &Vec<usize>)| {
            !points.is_empty() && points.iter().all(|point| *point < axis.points.len())
        };
        if chosen.len() != axes.len() || !axes.iter().zip(&chosen).all(in_range) {
            return None;
        }
        let draws = value.get("draws");
        let variables = draws.map_or(Some(Vec::new()), |draws| {
            draws.get("values")?.as_array()?.iter().map(read_named).collect()
        })?;
        Some(Self {
            title: text(&value, "harness")?,
            axes,
            chosen,
            drawing: match draws {
                Some(draws) => Some(read_drawing(draws)?),
                None => None,
            },
            variables: variables.into_iter().map(|(name, dimension)| Variable { name, dimension }).collect(),
            aims: list("aims")?.iter().map(|aim| aim.as_str().map(str::to_owned)).collect::<Option<_>>()?,
            readings: list("readings")?.iter().map(read_named).collect::<Option<_>>()?,
            requirements: list("requirements")?.iter().map(read_requirement).collect::<Option<_>>()?,
        })
    }
}

fn text(value: &Value, key: &str) -> Option<String> {
    value.get(key)?.as_str().map(str::to_owned)
}

fn dimension(value: &Value) -> Option<Dimension> {
    dimension_of_symbol(value.get("unit")?.as_str()?)
}

fn index(value: &Value) -> Option<usize> {
    usize::try_from(value.as_u64()?).ok()
}

fn read_named(value: &Value) -> Option<(String, Dimension)> {
    Some((text(value, "name")?, dimension(value)?))
}

fn read_requirement(value: &Value) -> Option<Required> {
    let signs = [Comparison::Less, Comparison::LessOrEqual, Comparison::Greater, Comparison::GreaterOrEqual];
    let written = text(value, "comparison")?;
    Some(Required {
        text: text(value, "text")?,
        comparison: signs.into_iter().find(|known| sign(*known) == written)?,
        limit: value.get("limit")?.as_f64()?,
        dimension: dimension(value)?,
    })
}

fn read_drawing(value: &Value) -> Option<Drawing> {
    let laws = [Law::Uniform, Law::Normal, Law::Corners, Law::SignedCorners];
    let written = text(value, "law")?;
    Some(Drawing {
        draws: index(value.get("count")?).filter(|draws| *draws > 0)?,
        seed: u32::try_from(value.get("seed")?.as_u64()?).ok()?,
        law: laws.into_iter().find(|known| law(*known) == written)?,
    })
}

fn read_axis(axis: &Value, names: &Value) -> Option<Axis> {
    let kind = match axis.get("kind")?.as_str()? {
        "choice" => AxisKind::Choice,
        "condition" => AxisKind::Condition,
        "sweep" => AxisKind::Sweep,
        _ => return None,
    };
    let quantity =
        |point: &Value| Some(Quantity { value: point.get("value")?.as_f64()?, dimension: dimension(point)? });
    let points = names.get("names")?.as_array()?;
    let values = if kind == AxisKind::Sweep {
        axis.get("points")?.as_array()?.iter().map(quantity).collect::<Option<_>>()?
    } else {
        Vec::new()
    };
    Some(Axis {
        name: text(axis, "name")?,
        kind,
        points: points.iter().map(|name| name.as_str().map(str::to_owned)).collect::<Option<_>>()?,
        values,
        baseline: names.get("baseline").and_then(index),
    })
}

fn law(law: Law) -> &'static str {
    match law {
        Law::Uniform => "uniform",
        Law::Normal => "normal",
        Law::Corners => "corners",
        Law::SignedCorners => "signed_corners",
    }
}

fn sign(comparison: Comparison) -> &'static str {
    match comparison {
        Comparison::Less => "<",
        Comparison::LessOrEqual => "<=",
        Comparison::Greater => ">",
        Comparison::GreaterOrEqual => ">=",
    }
}
