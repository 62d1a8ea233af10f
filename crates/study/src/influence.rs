//! What moves a verdict: every value that a builder rarely knows well is taken lower and higher, alone, and the point is run again.

mod doubt;

use crate::options::Options;
use crate::point::run_harness;
use crate::result::Run;
use doubt::doubt;
use language::description::Start;
use language::description::{Harness, Value};
use language::{Description, Kind};
use network::lowering::lower;
use quantity::{Dimension, Quantity};
use rayon::prelude::*;
use std::panic::AssertUnwindSafe;

/// The accuracy that is enough to see what moves a verdict, as a fraction of a waveform's swing.
const ENOUGH: f64 = 1e-3;

/// A value, how far it is taken, and what becomes of the requirements of one point.
#[derive(Clone, Debug, PartialEq)]
pub struct Influence {
    /// Index on each axis of the point.
    pub at: Vec<usize>,
    /// The part.
    pub part: String,
    /// What it is.
    pub kind: Kind,
    /// The property.
    pub property: String,
    /// Its dimension.
    pub dimension: Dimension,
    /// Its value at the point, in SI units.
    pub value: f64,
    /// How low and how high it is taken.
    pub ends: (f64, f64),
    /// Whether the ends follow from a tolerance in the file; otherwise they are how far such values usually lie off.
    pub stated: bool,
    /// Whether the value itself is assumed, because the file does not say it.
    pub assumed: bool,
    /// For each requirement of the point its value with the lower and the higher end; `None` where there is none.
    pub requirements: Vec<(Option<f64>, Option<f64>)>,
}

/// The influence of each doubtful value on the requirements of each of these points, in the order of points, parts and properties.
///
/// The other values stay as they are at the point. A run that fails gives no values.
#[must_use]
pub fn influences(description: &Description, points: &[Vec<usize>], options: &Options) -> Vec<Influence> {
    let accuracy = options.accuracy.max(ENOUGH);
    let options = Options { pictures: false, accuracy, ..options.clone() };
    let asked: Vec<(Harness, Influence)> = points
        .iter()
        .flat_map(|at| {
            let harness = description.at(at);
            doubtful(&harness, at).into_iter().map(move |influence| (harness.clone(), influence))
        })
        .collect();
    asked.into_par_iter().map(|(harness, influence)| influence.found(&harness, &options)).collect()
}

/// The doubtful values of a harness, without their effects.
fn doubtful(harness: &Harness, at: &[usize]) -> Vec<Influence> {
    let mut found = Vec::new();
    for part in &harness.parts {
        for (property, value) in &part.properties {
            let Value::Number(quantity, tolerance) = value else { continue };
            let ends = match tolerance {
                Some(tolerance) => {
                    Some([-1.0, 1.0].map(|departure| tolerance.departed(quantity.value, departure)))
                }
                None => doubt(part.kind, property)
                    .map(|factor| [quantity.value / factor, quantity.value * factor]),
            };
            let Some([low, high]) = ends.filter(|[low, high]| low < high) else { continue };
            found.push(Influence {
                at: at.to_vec(),
                part: part.name.clone(),
                kind: part.kind,
                property: property.clone(),
                dimension: quantity.dimension,
                value: quantity.value,
                ends: (low, high),
                stated: tolerance.is_some(),
                assumed: false,
                requirements: Vec::new(),
            });
        }
    }
    found.extend(assumed(harness, at));
    found
}

/// Values that the file leaves to what is usual, where the part tells what it took: the inductance of packs.
fn assumed(harness: &Harness, at: &[usize]) -> Vec<Influence> {
    let packs = || harness.parts.iter().filter(|part| part.kind == Kind::Battery);
    if packs().all(|part| part.properties.contains_key("inductance")) {
        return Vec::new();
    }
    let start = harness.transients.first().map_or(Start::Steady, |transient| transient.start);
    let Ok(lowered) = lower(harness, start) else { return Vec::new() };
    let taken = |part: &language::description::Part| {
        let facts = &lowered.parts.iter().find(|known| known.name == part.name)?.facts;
        let fact = facts.iter().find(|fact| fact.name == "inductance" && fact.value > 0.0)?;
        let factor = doubt(part.kind, fact.name)?;
        Some(Influence {
            at: at.to_vec(),
            part: part.name.clone(),
            kind: part.kind,
            property: fact.name.to_owned(),
            dimension: fact.dimension,
            value: fact.value,
            ends: (fact.value / factor, fact.value * factor),
            stated: false,
            assumed: true,
            requirements: Vec::new(),
        })
    };
    packs().filter(|part| !part.properties.contains_key("inductance")).filter_map(taken).collect()
}

impl Influence {
    /// The same with its effects.
    fn found(mut self, harness: &Harness, options: &Options) -> Self {
        let [low, high] = [self.ends.0, self.ends.1].map(|value| self.run(harness, value, options));
        let value = |run: &Option<Run>, at: usize| {
            let requirement = run.as_ref().filter(|run| run.error.is_none())?.requirements.get(at)?;
            requirement.value.filter(|value| value.is_finite())
        };
        self.requirements =
            (0..harness.requirements.len()).map(|at| (value(&low, at), value(&high, at))).collect();
        self
    }

    /// The point with another value; nothing where the program itself fails at it.
    fn run(&self, harness: &Harness, value: f64, options: &Options) -> Option<Run> {
        let mut moved = harness.clone();
        let part = moved.parts.iter_mut().find(|part| part.name == self.part)?;
        match part.properties.get_mut(&self.property) {
            Some(Value::Number(quantity, _)) => quantity.value = value,
            Some(_) => {}
            None => {
                let stated = Value::Number(Quantity::new(value, self.dimension), None);
                part.properties.insert(self.property.clone(), stated);
            }
        }
        std::panic::catch_unwind(AssertUnwindSafe(|| run_harness(&moved, &self.at, options))).ok()
    }
}
