//! What the user asks of a study, beyond what the file says.

use language::Description;
use language::description::{Axis, AxisKind};
use std::fmt;

/// Accuracy as a fraction of each waveform's swing, where nothing else is asked for.
const DEFAULT_ACCURACY: f64 = 1e-4;
/// Points that one comparison may have: what fits into memory and a night.
const MOST_POINTS: usize = 100_000;

/// Points of an axis that a message lists.
const MOST_LISTED: usize = 20;

/// Options of a study.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Only these points: pairs of axis and option, case or value of a sweep. Several of one axis add up.
    pub only: Vec<(String, String)>,
    /// Accuracy as a fraction of each waveform's swing, 1e-8 to 1e-2.
    pub accuracy: f64,
    /// Whether runs keep waveforms to draw and what parts come to; a sweep of thousands keeps neither.
    pub pictures: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self { only: Vec::new(), accuracy: DEFAULT_ACCURACY, pictures: true }
    }
}

/// An axis or a point of it that the harness does not have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownPoint {
    /// What was asked for: `filter=coli`.
    pub asked: String,
    /// Whether it is the axis that is unknown, not the point.
    pub axis_unknown: bool,
    /// Whether the axis is a sweep, whose points are values.
    pub sweep: bool,
    /// What there is.
    pub known: Vec<String>,
}

/// Options that cannot be followed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OptionsError {
    /// A pair of `only` names nothing.
    Unknown(UnknownPoint),
    /// The product of the axes has too many points to be run.
    TooManyPoints,
}

impl fmt::Display for OptionsError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown(unknown) => unknown.fmt(out),
            Self::TooManyPoints => write!(
                out,
                "the options, cases and swept values make more than {MOST_POINTS} combinations; pick some with --only AXIS=OPTION, or drop an axis"
            ),
        }
    }
}

impl std::error::Error for OptionsError {}

impl fmt::Display for UnknownPoint {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = match (self.axis_unknown, self.sweep) {
            (true, _) => "axis",
            (false, true) => "value",
            (false, false) => "option or case",
        };
        let wanted =
            if self.axis_unknown { self.asked.split('=').next() } else { self.asked.split('=').nth(1) };
        write!(out, "--only {}: no such {what}", self.asked)?;
        // A value that is near in letters is not what was meant.
        let near = wanted.filter(|_| !self.sweep).and_then(|wanted| nearest(wanted, &self.known));
        if let Some(near) = near {
            write!(out, "; did you mean {near}?")?;
        } else {
            write!(out, ".")?;
        }
        match self.known.as_slice() {
            [] => write!(out, " This harness has none."),
            [one] => write!(out, " There is {one} alone."),
            [first, second, .., last] if self.known.len() > MOST_LISTED => {
                write!(out, " There are {first}, {second} and so on to {last}.")
            }
            several => write!(out, " There are {}.", several.join(", ")),
        }
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
    /// The first pair that names nothing; too many points.
    pub fn points(&self, description: &Description) -> Result<Vec<Vec<usize>>, OptionsError> {
        let points = self.chosen(description)?;
        match count(&points) {
            Some(count) if count <= MOST_POINTS => Ok(points),
            _ => Err(OptionsError::TooManyPoints),
        }
    }

    /// The same without a limit to their number.
    pub(crate) fn chosen(&self, description: &Description) -> Result<Vec<Vec<usize>>, OptionsError> {
        let axes = description.axes();
        for (axis, point) in &self.only {
            let unknown = |axis_unknown, sweep, known| UnknownPoint {
                asked: format!("{axis}={point}"),
                axis_unknown,
                sweep,
                known,
            };
            let Some(found) = axes.iter().find(|known| known.name == *axis) else {
                return Err(OptionsError::Unknown(unknown(
                    true,
                    false,
                    axes.iter().map(|axis| axis.name.clone()).collect(),
                )));
            };
            if found.position(point).is_none() {
                let sweep = found.kind == AxisKind::Sweep;
                return Err(OptionsError::Unknown(unknown(false, sweep, found.points.clone())));
            }
        }
        Ok(axes.iter().map(|axis| self.points_of(axis)).collect())
    }

    fn points_of(&self, axis: &Axis) -> Vec<usize> {
        let asked = self.only.iter().filter(|(name, _)| *name == axis.name);
        let asked: Vec<Option<usize>> = asked.map(|(_, point)| axis.position(point)).collect();
        let all = 0..axis.points.len();
        all.filter(|index| asked.is_empty() || asked.contains(&Some(*index))).collect()
    }
}

/// Number of combinations of one index an axis; `None` beyond what can be counted.
pub(crate) fn count(points: &[Vec<usize>]) -> Option<usize> {
    points.iter().try_fold(1, |count: usize, axis| count.checked_mul(axis.len()))
}

/// All combinations of one index an axis, the last axis fastest, one at a time.
pub(crate) fn product(points: &[Vec<usize>]) -> impl Iterator<Item = Vec<usize>> + '_ {
    (0..count(points).unwrap_or(usize::MAX)).map(|number| {
        let mut left = number;
        let mut point: Vec<usize> = points
            .iter()
            .rev()
            .map(|axis| {
                let index = axis[left % axis.len()];
                left /= axis.len();
                index
            })
            .collect();
        point.reverse();
        point
    })
}
