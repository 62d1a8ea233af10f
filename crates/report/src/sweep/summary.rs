//! What all rows of a sweep come to: for each option how often it holds, between what its readings lie, and what drives them.

use super::asked::Asked;
use super::grid::Grid;
use super::json::Line;
use super::outline::Outline;
use super::statistics::{percentile, rank_correlation, wilson};
use language::description::AxisKind;
use study::sweep::Law;

/// Strongest drivers that are told of a reading.
const MOST_DRIVERS: usize = 3;
/// A rank correlation below this is told from chance only with many draws: common practice, no source.
const LEAST_CORRELATION: f64 = 0.1;

/// The summary while lines come in, in the order of their numbers; memory grows with the draws of one point, not with the points.
#[derive(Clone, Debug)]
pub struct Summary {
    pub(crate) outline: Outline,
    pub(crate) picks: Vec<PickSummary>,
    /// What pictures show.
    pub(crate) asked: Vec<Asked>,
    /// The worst over two axes, where there are two.
    pub(crate) grid: Option<Grid>,
    /// Lines of the point of the axes that is being drawn.
    drawn: Vec<Line>,
}

/// What an option came to.
#[derive(Clone, Debug)]
pub(crate) struct PickSummary {
    /// Indices on the axes of choices.
    key: Vec<usize>,
    pub(crate) label: String,
    pub(crate) rows: usize,
    /// Rows that meet every requirement that applies.
    pub(crate) met: usize,
    pub(crate) failed: usize,
    /// Rows in which each requirement is not met.
    pub(crate) missed: Vec<usize>,
    /// For each reading the least and the greatest value, with the numbers of their points.
    pub(crate) extremes: Vec<Option<[(f64, usize); 2]>>,
    /// Which of the values that are drawn it has.
    has: Vec<bool>,
    /// The point of the axes with the lowest yield; of several the one at which what is asked first comes closest to its
    /// limit, or misses it by most.
    pub(crate) worst: Option<Yield>,
}

/// The draws of one point of the axes.
#[derive(Clone, Debug)]
pub(crate) struct Yield {
    /// Number of its first row.
    pub(crate) number: usize,
    pub(crate) met: usize,
    pub(crate) all: usize,
    /// For each reading the values below which 5, 50 and 95 % of the draws lie.
    pub(crate) percentiles: Vec<Option<[f64; 3]>>,
    /// For each thing asked its values, rising.
    pub(crate) values: Vec<Vec<f64>>,
    /// For each reading the values that drive it, strongest first: number of the variable and rank correlation.
    pub(crate) drivers: Vec<Vec<(usize, f64)>>,
}

impl Yield {
    /// Interval of 95 % confidence.
    pub(crate) fn interval(&self) -> (f64, f64) {
        wilson(self.met, self.all)
    }

    fn share(&self) -> f64 {
        self.met as f64 / self.all as f64
    }

    fn is_worse(&self, other: &Self, asked: &[Asked]) -> bool {
        self.share().total_cmp(&other.share()).then(self.room(asked).total_cmp(&other.room(asked))).is_lt()
    }

    /// The least distance, over all draws, of what is asked first from its limit: as a share of the limit, below 0 where it is missed. A
    /// reading without a limit is worst where it is greatest.
    fn room(&self, asked: &[Asked]) -> f64 {
        let (Some(asked), Some(values)) = (asked.first(), self.values.first()) else { return 0.0 };
        let worst = if asked.least_is_worst() { values.first() } else { values.last() };
        let Some(worst) = worst.copied() else { return f64::INFINITY };
        let Some(limit) = asked.limit else { return -worst };
        let room = if asked.least_is_worst() { worst - limit } else { limit - worst };
        if limit == 0.0 { room } else { room / limit.abs() }
    }
}

impl Summary {
    /// Before any line.
    #[must_use]
    pub fn new(outline: Outline) -> Self {
        let asked = outline.asked();
        Self { grid: Grid::new(&outline, asked.len()), asked, outline, picks: Vec::new(), drawn: Vec::new() }
    }

    /// Takes the next line.
    pub fn add(&mut self, line: Line) {
        let pick = self.pick(line.number);
        if let Some(grid) = &mut self.grid {
            grid.add(pick, &self.outline.at(line.number).0, &line, &self.asked);
        }
        let (readings, requirements) = (self.outline.readings.len(), self.outline.requirements.len());
        let pick = &mut self.picks[pick];
        pick.rows += 1;
        pick.failed += usize::from(line.failed);
        pick.met += usize::from(meets(&line));
        pick.missed.resize(requirements, 0);
        pick.extremes.resize(readings, None);
        for (has, drawn) in pick.has.iter_mut().zip(&line.drawn) {
            *has |= drawn.is_some();
        }
        for (missed, met) in pick.missed.iter_mut().zip(&line.met) {
            *missed += usize::from(*met == Some(false));
        }
        for (extremes, value) in pick.extremes.iter_mut().zip(&line.readings) {
            let Some(value) = *value else { continue };
            let here = (value, line.number);
            let [least, greatest] = extremes.get_or_insert([here; 2]);
            if value < least.0 {
                *least = here;
            }
            if value > greatest.0 {
                *greatest = here;
            }
        }
        if let Some(drawing) = self.outline.drawing {
            // A share of a sweep may begin and end within the draws of a point, which then have no yield there.
            let draw = line.number % drawing.draws;
            if draw == 0 {
                self.drawn.clear();
            }
            self.drawn.push(line);
            if draw + 1 == drawing.draws && self.drawn.len() == drawing.draws {
                self.close();
            }
        }
    }

    /// Takes a line where there is one.
    pub fn extend(&mut self, line: Option<Line>) {
        line.into_iter().for_each(|line| self.add(line));
    }

    /// All draws of a point of the axes are there.
    fn close(&mut self) {
        let lines = std::mem::take(&mut self.drawn);
        let Some(number) = lines.first().map(|line| line.number) else { return };
        let found = Yield {
            number,
            met: lines.iter().filter(|line| meets(line)).count(),
            all: lines.len(),
            percentiles: (0..self.outline.readings.len()).map(|index| spread(&lines, index)).collect(),
            values: self.asked.iter().map(|asked| rising(&lines, asked)).collect(),
            drivers: (0..self.outline.readings.len()).map(|index| self.drivers(&lines, index)).collect(),
        };
        let pick = self.pick(number);
        let worst = &mut self.picks[pick].worst;
        if worst.as_ref().is_none_or(|known| found.is_worse(known, &self.asked)) {
            *worst = Some(found);
        }
    }

    fn drivers(&self, lines: &[Line], reading: usize) -> Vec<(usize, f64)> {
        let mut found: Vec<(usize, f64)> = (0..self.outline.variables.len())
            .filter_map(|variable| {
                let pairs = lines.iter().filter_map(|line| {
                    Some((
                        line.drawn.get(variable).copied().flatten()?,
                        line.readings.get(reading).copied().flatten()?,
                    ))
                });
                let (drawn, values): (Vec<f64>, Vec<f64>) = pairs.unzip();
                Some((variable, rank_correlation(&drawn, &values)?))
            })
            .filter(|(_, correlation)| correlation.abs() >= LEAST_CORRELATION)
            .collect();
        found.sort_by(|one, other| other.1.abs().total_cmp(&one.1.abs()).then(one.0.cmp(&other.0)));
        found.truncate(MOST_DRIVERS);
        found
    }

    /// Indices on the axes of choices.
    fn key(&self, at: &[usize]) -> Vec<usize> {
        let choices = self.outline.axes.iter().zip(at).filter(|(axis, _)| axis.kind == AxisKind::Choice);
        choices.map(|(_, index)| *index).collect()
    }

    /// The pick that a point belongs to.
    fn pick(&mut self, number: usize) -> usize {
        let (at, _) = self.outline.at(number);
        let key = self.key(&at);
        let choices = self.outline.axes.iter().filter(|axis| axis.kind == AxisKind::Choice);
        let names: Vec<&str> = choices.zip(&key).map(|(axis, index)| axis.points[*index].as_str()).collect();
        if let Some(found) = self.picks.iter().position(|pick| pick.key == key) {
            return found;
        }
        let label = if names.is_empty() { crate::options::AS_DRAWN.to_owned() } else { names.join(" + ") };
        self.picks.push(PickSummary {
            key,
            label,
            rows: 0,
            met: 0,
            failed: 0,
            missed: Vec::new(),
            extremes: Vec::new(),
            has: vec![false; self.outline.variables.len()],
            worst: None,
        });
        self.picks.len() - 1
    }

    /// The conditions and swept values of a point, and the draw: `soft, esr 80 mohm, draw 17`.
    pub(crate) fn place(&self, number: usize, with_draw: bool) -> String {
        let (at, draw) = self.outline.at(number);
        let conditions = self.outline.axes.iter().zip(&at).filter(|(axis, _)| axis.kind != AxisKind::Choice);
        let mut words: Vec<String> = conditions
            .map(|(axis, index)| match axis.kind {
                AxisKind::Sweep => format!("{} {}", axis.name, axis.points[*index]),
                _ => axis.points[*index].clone(),
            })
            .collect();
        if with_draw && self.outline.drawing.is_some_and(|drawing| drawing.law == Law::Corners) {
            let key = self.key(&at);
            let pick = self.picks.iter().find(|pick| pick.key == key);
            let has = |index: &usize| pick.is_none_or(|pick| pick.has[*index]);
            words.extend((0..self.outline.variables.len()).filter(has).map(|index| {
                format!("{} {}", self.variable(index), if draw >> index & 1 == 1 { "high" } else { "low" })
            }));
        } else if let Some(aim) = self.outline.aims.get(draw / 2).filter(|_| with_draw) {
            let end = if draw.is_multiple_of(2) { "highest" } else { "lowest" };
            words.push(format!("tolerances at the ends that make `{aim}` {end}"));
        } else if with_draw && self.outline.drawing.is_some() {
            words.push(format!("draw {draw}"));
        }
        words.join(", ")
    }

    /// Whether all combinations of the ends of tolerances were run, which is no sample of anything.
    pub(crate) fn corners(&self) -> bool {
        self.outline.drawing.is_some_and(|drawing| matches!(drawing.law, Law::Corners | Law::SignedCorners))
    }

    /// Number of values with a tolerance.
    pub(crate) fn variables(&self) -> usize {
        self.outline.variables.len()
    }

    /// Requirements and readings that corners were aimed at; 0 where all corners, or none, were run.
    pub(crate) fn aims(&self) -> usize {
        self.outline.aims.len()
    }

    pub(crate) fn variable(&self, number: usize) -> &str {
        &self.outline.variables[number].name
    }

    /// Points that failed.
    #[must_use]
    pub fn failed(&self) -> usize {
        self.picks.iter().map(|pick| pick.failed).sum()
    }

    /// Whether at least one option (with `all`: every one) meets every requirement at every point.
    #[must_use]
    pub fn is_met(&self, all: bool) -> bool {
        let mut met = self.picks.iter().map(|pick| pick.met == pick.rows);
        if all { met.all(|met| met) } else { met.any(|met| met) }
    }
}

/// A row without any verdict has shown nothing to be met, where something is required.
fn meets(line: &Line) -> bool {
    let judged = line.met.iter().flatten().count();
    !line.failed && line.met.iter().flatten().all(|met| *met) && (judged > 0 || line.met.is_empty())
}

/// Values of what is asked, rising.
fn rising(lines: &[Line], asked: &Asked) -> Vec<f64> {
    let mut values: Vec<f64> = lines.iter().filter_map(|line| asked.value(line)).collect();
    values.sort_by(f64::total_cmp);
    values
}

fn spread(lines: &[Line], reading: usize) -> Option<[f64; 3]> {
    let mut values: Vec<f64> =
        lines.iter().filter_map(|line| line.readings.get(reading).copied().flatten()).collect();
    values.sort_by(f64::total_cmp);
    Some([percentile(&values, 0.05)?, percentile(&values, 0.5)?, percentile(&values, 0.95)?])
}
