//! Which points a sweep has, by number.

use super::corners::{Aim, Known, Signs, aims};
use super::draws::{Drawing, Law, MOST_CORNERED, variables};
use crate::options::{Options, OptionsError};
use language::Description;
use language::description::{AxisKind, Value};
use quantity::Dimension;
use std::collections::HashMap;
use std::sync::Arc;

/// A value that is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Variable {
    /// Name of the `let`, or `PART.PROPERTY`.
    pub name: String,
    /// Its dimension.
    pub dimension: Dimension,
}

/// The points of a sweep: the product of all axes, the last axis fastest, and of the draws, faster still.
#[derive(Clone, Debug)]
pub struct Plan {
    /// For each axis the indices of its points that are run.
    axes: Vec<Vec<usize>>,
    drawing: Option<Drawing>,
    /// All values with a tolerance at some point, in the order in which they are met.
    variables: Vec<Variable>,
    /// Number of each variable by name.
    numbers: HashMap<String, usize>,
    /// What signed corners are aimed at; empty where none are run.
    aims: Vec<Aim>,
    known: Known,
    total: usize,
}

impl Plan {
    /// The points that the options leave, each with all draws.
    ///
    /// # Errors
    /// An option that names an axis or a point that the harness does not have; more points than can be counted.
    pub fn new(
        description: &Description,
        options: &Options,
        drawing: Option<Drawing>,
    ) -> Result<Self, OptionsError> {
        let axes = options.chosen(description)?;
        let mut plan = Self {
            axes,
            drawing,
            variables: Vec::new(),
            numbers: HashMap::new(),
            aims: Vec::new(),
            known: Known::default(),
            total: 0,
        };
        if drawing.is_some() {
            plan.gather(description);
        }
        if let Some(drawing) = plan.drawing.as_mut().filter(|drawing| drawing.law == Law::Corners) {
            if plan.variables.len() <= MOST_CORNERED {
                drawing.draws = 1 << plan.variables.len();
            } else {
                let first: Vec<usize> =
                    plan.axes.iter().map(|axis| axis.first().copied().unwrap_or(0)).collect();
                plan.aims = aims(&description.at(&first));
                *drawing = Drawing { draws: 2 * plan.aims.len().max(1), law: Law::SignedCorners, ..*drawing };
            }
        }
        let draws = plan.drawing.map_or(1, |drawing| drawing.draws);
        let total = crate::options::count(&plan.axes).and_then(|points| points.checked_mul(draws));
        plan.total = total.ok_or(OptionsError::TooManyPoints)?;
        Ok(plan)
    }

    /// Each option and case alone beside the first of all other axes meets every part once.
    fn gather(&mut self, description: &Description) {
        let first: Vec<usize> = self.axes.iter().map(|points| points.first().copied().unwrap_or(0)).collect();
        let mut points = vec![first.clone()];
        for (axis, chosen) in self.axes.iter().enumerate() {
            if description.axes()[axis].kind != AxisKind::Sweep {
                points.extend(chosen.iter().skip(1).map(|index| {
                    let mut point = first.clone();
                    point[axis] = *index;
                    point
                }));
            }
        }
        for point in points {
            let harness = description.at(&point);
            for name in variables(&harness) {
                if self.numbers.contains_key(&name) {
                    continue;
                }
                let of_let =
                    harness.lets.iter().find(|each| each.name == name).map(|each| each.value.dimension);
                let of_property = || {
                    let (part, property) = name.rsplit_once('.')?;
                    let part = harness.parts.iter().find(|each| each.name == part)?;
                    match part.properties.get(property)? {
                        Value::Number(quantity, _) => Some(quantity.dimension),
                        _ => None,
                    }
                };
                let dimension = of_let.or_else(of_property).unwrap_or(Dimension::NONE);
                self.numbers.insert(name.clone(), self.variables.len());
                self.variables.push(Variable { name, dimension });
            }
        }
    }

    /// Number of points, draws counted.
    #[must_use]
    pub fn total(&self) -> usize {
        self.total
    }

    /// For each axis the indices of its points that are run.
    #[must_use]
    pub fn chosen(&self) -> &[Vec<usize>] {
        &self.axes
    }

    /// How tolerances are drawn; `None` where they are not.
    #[must_use]
    pub fn drawing(&self) -> Option<Drawing> {
        self.drawing
    }

    /// The values that are drawn; empty where none are.
    #[must_use]
    pub fn variables(&self) -> &[Variable] {
        &self.variables
    }

    /// What each pair of draws of [`Law::SignedCorners`] is aimed at; empty for other laws.
    #[must_use]
    pub fn aims(&self) -> &[Aim] {
        &self.aims
    }

    /// For the point with this number: the index on each axis, and which draw it is.
    #[must_use]
    pub fn at(&self, number: usize) -> (Vec<usize>, usize) {
        place(&self.axes, self.drawing, number)
    }

    /// Which way each aim moves with each variable at a point.
    pub(super) fn signs(&self, description: &Description, options: &Options, at: &[usize]) -> Arc<Signs> {
        let names: Vec<&str> = self.variables.iter().map(|each| each.name.as_str()).collect();
        self.known.at(description, at, &names, &self.aims, options)
    }

    /// The number of a value among the variables.
    pub(super) fn number(&self, name: &str) -> Option<usize> {
        self.numbers.get(name).copied()
    }

    /// The departure of a value in a draw, as a fraction of its tolerance.
    pub(super) fn departure(&self, drawing: Drawing, draw: usize, name: &str) -> f64 {
        // A value that only a pair of options has is no variable, and stays nominal.
        self.numbers.get(name).map_or(0.0, |number| drawing.departure(draw, *number))
    }
}

/// Where the point with a number lies on axes of which these points are run: the index on each, and which draw it is.
#[must_use]
pub fn place(axes: &[Vec<usize>], drawing: Option<Drawing>, number: usize) -> (Vec<usize>, usize) {
    let draws = drawing.map_or(1, |drawing| drawing.draws);
    let (mut left, draw) = (number / draws, number % draws);
    let mut at: Vec<usize> = Vec::with_capacity(axes.len());
    for axis in axes.iter().rev() {
        at.push(axis[left % axis.len()]);
        left /= axis.len();
    }
    at.reverse();
    (at, draw)
}
