//! What the user asks of a study, beyond what the file says.

use language::Description;
use language::description::Axis;
use std::fmt;

/// Accuracy as a fraction of each waveform's swing, where nothing else is asked for.
const DEFAULT_ACCURACY: f64 = 1e-4;

/// Options of a study.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Only these points: pairs of axis and option (or case). Several of one axis add up.
    pub only: Vec<(String, String)>,
    /// Accuracy as a fraction of each waveform's swing, 1e-8 to 1e-2.
    pub accuracy: f64,
}

impl Default for Options {
    fn default() -> Self {
        Self { only: Vec::new(), accuracy: DEFAULT_ACCURACY }
    }
}

/// An axis or a point of it that the harness does not have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownPoint {
    /// What was asked for: `filter=coli`.
    pub asked: String,
    /// Whether it is the axis that is unknown, not the point.
    pub axis_unknown: bool,
    /// What there is.
    pub known: Vec<String>,
}

impl fmt::Display for UnknownPoint {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = if self.axis_unknown { "axis" } else { "option or case" };
        let wanted =
            if self.axis_unknown { self.asked.split('=').next() } else { self.asked.split('=').nth(1) };
        write!(out, "--only {}: no such {what}", self.asked)?;
        let near = wanted.and_then(|wanted| nearest(wanted, &self.known));
        match near {
            Some(near) => write!(out, "; did you mean {near}?")?,
            None if self.known.is_empty() => write!(out, "; this harness has none")?,
            None => {}
        }
        if !self.known.is_empty() {
            write!(out, " There are {}.", self.known.join(", "))?;
        }
        Ok(())
    }
}

impl std::error::Error for UnknownPoint {}

fn nearest<'k>(wanted: &str, known: &'k [String]) -> Option<&'k String> {
    let distance = |known: &&String| strsim::damerau_levenshtein(wanted, known);
    known.iter().min_by_key(distance).filter(|near| distance(near) <= 1 + wanted.chars().count() / 3)
}

impl Options {
    /// Indices of the points on each axis that the options leave.
    ///
    /// # Errors
    /// The first pair that names nothing.
    pub fn points(&self, description: &Description) -> Result<Vec<Vec<usize>>, UnknownPoint> {
        let axes = description.axes();
        for (axis, point) in &self.only {
            let unknown =
                |axis_unknown, known| UnknownPoint { asked: format!("{axis}={point}"), axis_unknown, known };
            let Some(found) = axes.iter().find(|known| known.name == *axis) else {
                return Err(unknown(true, axes.iter().map(|axis| axis.name.clone()).collect()));
            };
            if !found.points.contains(point) {
                return Err(unknown(false, found.points.clone()));
            }
        }
        Ok(axes.iter().map(|axis| self.points_of(axis)).collect())
    }

    fn points_of(&self, axis: &Axis) -> Vec<usize> {
        let asked: Vec<&String> =
            self.only.iter().filter(|(name, _)| *name == axis.name).map(|(_, point)| point).collect();
        let all = 0..axis.points.len();
        all.filter(|index| asked.is_empty() || asked.contains(&&axis.points[*index])).collect()
    }
}

/// All combinations of one index an axis, the last axis fastest.
pub(crate) fn product(points: &[Vec<usize>]) -> Vec<Vec<usize>> {
    points.iter().fold(vec![Vec::new()], |combinations, axis| {
        let extend = |start: &Vec<usize>| {
            let start = start.clone();
            axis.iter().map(move |index| {
                let mut longer = start.clone();
                longer.push(*index);
                longer
            })
        };
        combinations.iter().flat_map(extend).collect()
    })
}
