//! The search itself: filters from the lightest on, dropped by bounds, run, and compared with those that stand.

use super::candidate::Candidate;
use super::element::Element;
use super::front::{Merits, Scale, front};
use super::judge::{Judge, Worst};
use super::outcome::{Counts, Dropped};
use super::screen::{Bounds, Screen, Verdict};
use super::survey::filled;
use super::task::{DesignError, Progress, Search};
use super::tolerances::tolerances;
use language::Description;
use language::description::Comparison;
use rayon::prelude::*;

/// Filters that are looked at before those that they beat are looked for.
const BLOCK: usize = 512;
/// Filters that are run before those that they beat are looked for.
const BATCH: usize = 16;
/// Filters that are looked at more closely where none holds.
const NEAREST: usize = 8;

/// A search under way.
pub(super) struct State<'a> {
    pub(super) judge: &'a Judge<'a>,
    pub(super) comparisons: &'a [Comparison],
    pub(super) all: &'a [Element],
    pub(super) search: &'a Search,
    pub(super) progress: &'a (dyn Fn(Progress) + Sync),
    pub(super) counts: Counts,
    pub(super) scale: Scale,
    /// Whether the stock says what anything costs.
    pub(super) has_costs: bool,
    /// Filters dropped since their bounds are beaten.
    pub(super) beaten: usize,
    /// Filters that hold at nominal values.
    pub(super) held: Vec<Held>,
    /// Filters that do not, nearest first, as far as is known without looking closely.
    pub(super) near: Vec<(f64, Candidate)>,
}

/// What bounds say of a filter.
enum Looked {
    Beaten,
    Overstressed,
    /// It can't meet this requirement, by which factor.
    Fails(usize, f64),
    Open(Bounds),
}

/// A filter that holds at nominal values.
pub(super) struct Held {
    pub(super) candidate: Candidate,
    pub(super) merits: Merits,
    pub(super) nominal: Worst,
    /// Worst values with tolerances, once they are asked for.
    pub(super) drawn: Option<Worst>,
    /// Whether it does not hold with tolerances.
    pub(super) intolerant: bool,
}

impl<'a> State<'a> {
    /// The lightest first: what comes later can't be lighter than what stands.
    fn by_mass(&self, mut found: Vec<Candidate>) -> Vec<Candidate> {
        found.sort_by_cached_key(|candidate| {
            // Whole picograms order as the numbers do.
            ((candidate.mass(self.all).known * 1e15) as u64, *candidate)
        });
        found
    }

    fn remember(&mut self, excess: f64, candidate: Candidate) {
        let at = self.near.partition_point(|(known, _)| *known <= excess);
        if at < NEAREST {
            self.near.insert(at, (excess, candidate));
            self.near.truncate(NEAREST);
        }
    }

    fn merits(&self, candidate: &Candidate, drop: f64, noise: Option<f64>, peak: f64) -> Merits {
        let cost = self.has_costs.then(|| candidate.cost(self.all));
        let values = self.scale.values(drop, noise.unwrap_or(f64::INFINITY), peak);
        Merits { mass: candidate.mass(self.all), cost, values }
    }

    fn least(&self, candidate: &Candidate, bounds: &Bounds) -> Merits {
        self.merits(candidate, bounds.drop, Some(bounds.noise), bounds.peak)
    }

    /// Merits of those that hold with tolerances: what they beat is not run.
    fn standing(&self) -> Vec<Merits> {
        let stands = self.held.iter().filter(|held| held.drawn.is_some() && !held.intolerant);
        stands.map(|held| held.merits.clone()).collect()
    }

    /// Looks at all filters, the lightest first, until each is dropped or run.
    pub(super) fn run(&mut self, found: Vec<Candidate>, screen: Option<&Screen>) -> Result<(), DesignError> {
        let found = self.by_mass(found);
        let mut by_rule = vec![0; self.comparisons.len()];
        let mut overstressed = 0;
        for (number, block) in found.chunks(BLOCK).enumerate() {
            let standing = self.standing();
            let this: &Self = self;
            let look = |candidate: &Candidate| {
                let Some(screen) = screen else { return Looked::Open(Bounds::NONE) };
                let beaten = |bounds: &Bounds| {
                    let least = this.least(candidate, bounds);
                    standing.iter().any(|held| held.beats(&least))
                };
                // Direct voltages are had at once; the lines take longer.
                let direct = screen.direct(candidate);
                if screen.overstresses(candidate, &direct) {
                    return Looked::Overstressed;
                }
                if beaten(&direct) {
                    return Looked::Beaten;
                }
                match screen.look(candidate) {
                    Verdict::Fails { requirement, excess } => Looked::Fails(requirement, excess),
                    Verdict::Open(bounds) if beaten(&bounds) => Looked::Beaten,
                    Verdict::Open(bounds) => Looked::Open(bounds),
                }
            };
            let looked: Vec<Looked> = block.par_iter().map(look).collect();
            let mut open = Vec::new();
            for (candidate, looked) in block.iter().zip(looked) {
                match looked {
                    Looked::Beaten => self.beaten += 1,
                    Looked::Overstressed => overstressed += 1,
                    Looked::Fails(requirement, excess) => {
                        by_rule[requirement] += 1;
                        self.remember(excess, *candidate);
                    }
                    Looked::Open(bounds) => open.push((*candidate, bounds)),
                }
            }
            for batch in open.chunks(BATCH) {
                self.batch(batch)?;
                self.settle()?;
            }
            let done = (number * BLOCK + block.len()).min(found.len());
            (self.progress)(Progress {
                of: found.len(),
                done,
                run: self.counts.run,
                holding: self.leading().len(),
            });
        }
        let first = self.judge.task.description.baseline();
        for (requirement, filters) in
            first.requirements.iter().zip(by_rule).filter(|(_, filters)| *filters > 0)
        {
            let rule = format!("by a bound beyond {}", requirement.text);
            self.counts.dropped.push(Dropped { rule, filters });
        }
        if overstressed > 0 {
            let rule = "a capacitor rated below the voltage at the load".to_owned();
            self.counts.dropped.push(Dropped { rule, filters: overstressed });
        }
        if self.beaten > 0 {
            let rule = "by bounds beaten in everything by a filter that holds".to_owned();
            self.counts.dropped.push(Dropped { rule, filters: self.beaten });
        }
        Ok(())
    }

    /// Runs filters; each only as long as nothing shows that it is no answer.
    fn batch(&mut self, batch: &[(Candidate, Bounds)]) -> Result<(), DesignError> {
        let standing = if self.search.prune { self.standing() } else { Vec::new() };
        let left: Vec<(Candidate, Bounds)> = batch
            .iter()
            .filter(|(candidate, bounds)| {
                let least = self.least(candidate, bounds);
                !standing.iter().any(|held| held.beats(&least))
            })
            .copied()
            .collect();
        self.beaten += batch.len() - left.len();
        if left.is_empty() {
            return Ok(());
        }
        let candidates: Vec<Candidate> = left.iter().map(|(candidate, _)| *candidate).collect();
        let (description, first) = self.description(&candidates)?;
        let this: &Self = self;
        let judged: Vec<(Worst, usize, bool)> = left
            .par_iter()
            .enumerate()
            .map(|(index, (candidate, bounds))| {
                let is_beaten = |so_far: &Worst| {
                    let noise =
                        so_far.noise(this.judge.noise).map_or(bounds.noise, |noise| noise.max(bounds.noise));
                    let least = this.merits(
                        candidate,
                        so_far.drop.max(bounds.drop),
                        Some(noise),
                        so_far.peak.max(bounds.peak),
                    );
                    standing.iter().any(|held| held.beats(&least))
                };
                this.judge.nominal(&description, first + index, this.comparisons, &is_beaten)
            })
            .collect();
        for ((candidate, _), (worst, runs, beaten)) in left.iter().zip(judged) {
            self.counts.run += 1;
            self.counts.runs += runs;
            if let Some(fail) = worst.fail() {
                self.counts.failing += 1;
                self.remember(fail.excess, *candidate);
                continue;
            }
            if beaten {
                self.counts.outrun += 1;
                continue;
            }
            let merits = self.merits(candidate, worst.drop, worst.noise(self.judge.noise), worst.peak);
            self.held.push(Held {
                candidate: *candidate,
                merits,
                nominal: worst,
                drawn: None,
                intolerant: false,
            });
        }
        Ok(())
    }

    /// The file with these filters in it, and the number of the first one's option.
    pub(super) fn description(&self, batch: &[Candidate]) -> Result<(Description, usize), DesignError> {
        let names = &self.judge.names;
        let place = &self.judge.place;
        let option = |(index, candidate): (usize, &Candidate)| {
            candidate.option(&option_name(index), self.all, place, names)
        };
        let text: String = batch.iter().enumerate().map(option).collect();
        let more = Judge::statements(place, self.judge.span);
        let description = filled(self.judge.task, place, &text, &more)?;
        let first = description.axes()[place.axis].points.len() - batch.len();
        Ok((description, first))
    }

    /// Runs with tolerances what no other beats, until that stands.
    fn settle(&mut self) -> Result<(), DesignError> {
        loop {
            let waiting: Vec<usize> =
                self.leading().into_iter().filter(|index| self.held[*index].drawn.is_none()).collect();
            if waiting.is_empty() {
                return Ok(());
            }
            let batch: Vec<Candidate> = waiting.iter().map(|index| self.held[*index].candidate).collect();
            let (description, first) = self.description(&batch)?;
            for (offset, index) in waiting.into_iter().enumerate() {
                let found =
                    tolerances(self.judge, &description, first + offset, self.comparisons, self.search)
                        .map_err(DesignError::Options)?;
                self.counts.runs += found.1;
                let fail = found.0.fail();
                if let Some(fail) = &fail {
                    self.counts.intolerant += 1;
                    self.remember(fail.excess, self.held[index].candidate);
                }
                self.held[index].intolerant = fail.is_some();
                self.held[index].drawn = Some(found.0);
            }
        }
    }

    /// Those that hold and that no other beats that holds.
    pub(super) fn leading(&self) -> Vec<usize> {
        let standing: Vec<usize> =
            (0..self.held.len()).filter(|index| !self.held[*index].intolerant).collect();
        let merits: Vec<Merits> = standing.iter().map(|index| self.held[*index].merits.clone()).collect();
        front(&merits).into_iter().map(|index| standing[index]).collect()
    }
}

fn option_name(index: usize) -> String {
    format!("quietrail_{}", index + 1)
}
