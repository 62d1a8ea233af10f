//! The search itself: filters of few parts first, dropped by bounds, the promising ones run, and compared with those that stand.

use super::candidate::Candidate;
use super::element::Element;
use super::front::{Merits, Scale, front};
use super::judge::{Judge, Judged, Step};
use super::outcome::{Counts, Dropped};
use super::screen::{Bounds, Screen, Verdict};
use super::survey::filled;
use super::task::{DesignError, Progress, Search};
use super::tolerances::Draws;
use super::worst::{Fault, Worst};
use language::Description;
use language::description::Comparison;
use rayon::prelude::*;

/// Filters that are looked at before those that they beat are looked for.
const BLOCK: usize = 1 << 15;
/// Filters that are run at once.
const BATCH: usize = 32;
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
    /// The runs of a filter, and how many filters failed at each: what fails most comes first.
    pub(super) steps: Vec<(Step, usize)>,
    /// The draws of tolerances.
    pub(super) draws: Draws,
    /// Filters that hold at nominal values.
    pub(super) held: Vec<Held>,
    /// Filters that do not, nearest first, as far as is known without looking closely.
    pub(super) near: Vec<(f64, Candidate)>,
}

/// What bounds say of a filter.
enum Looked {
    Beaten,
    Overstressed,
    /// While the load runs a coil keeps too little.
    Saturates,
    /// It can't meet this requirement, by which factor.
    Fails(usize, f64),
    Open(Bounds),
}

/// A filter that is left to be run.
struct Open {
    candidate: Candidate,
    bounds: Bounds,
    /// The best that it may come to.
    least: Merits,
    /// What is good in the sum is looked at first.
    sum: f64,
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
    /// Those of few parts first, and of them the lightest: what they beat is not even looked at closely.
    fn by_size(&self, mut found: Vec<Candidate>) -> Vec<Candidate> {
        found.sort_by_cached_key(|candidate| {
            // Whole picograms order as the numbers do.
            (candidate.chosen().count(), (candidate.mass(self.all).known * 1e15) as u64, *candidate)
        });
        found
    }

    /// What is left to be run, the best sums first: what is beaten by another comes after it.
    fn open(&self, open: Vec<(Candidate, Bounds)>) -> Vec<Open> {
        let of = |(candidate, bounds): (Candidate, Bounds)| {
            let least = self.least(&candidate, &bounds);
            let cost = least.cost.as_ref().map_or(0.0, |cost| cost.known);
            let sum = least.mass.known + cost + least.values.iter().sum::<f64>();
            Open { candidate, bounds, least, sum }
        };
        let mut open: Vec<Open> = open.into_iter().map(of).collect();
        open.sort_by(|one, other| {
            let mass = one.least.tie.0.total_cmp(&other.least.tie.0);
            one.sum.total_cmp(&other.sum).then(mass).then(one.candidate.cmp(&other.candidate))
        });
        open
    }

    /// Takes out those that no other of them beats by its bounds, as many as are run at once: of what they beat much need never be run.
    fn foremost(&self, open: &mut Vec<Open>) -> Vec<Open> {
        if !self.search.prune {
            return open.drain(..BATCH.min(open.len())).collect();
        }
        let mut first: Vec<Open> = Vec::new();
        let mut rest = Vec::with_capacity(open.len());
        for each in open.drain(..) {
            if first.len() < BATCH && !first.iter().any(|other| other.least.beats(&each.least)) {
                first.push(each);
            } else {
                rest.push(each);
            }
        }
        *open = rest;
        first
    }

    fn remember(&mut self, excess: f64, candidate: Candidate) {
        let at = self.near.partition_point(|(known, _)| *known <= excess);
        if at < NEAREST {
            self.near.insert(at, (excess, candidate));
            self.near.truncate(NEAREST);
        }
    }

    fn merits(&self, candidate: &Candidate, drop: f64, noise: Option<f64>, peak: f64) -> Merits {
        let cost = self.has_costs.then(|| Scale::cost(candidate.cost(self.all)));
        let values = self.scale.values(drop, noise.unwrap_or(f64::INFINITY), peak);
        let mass = candidate.mass(self.all);
        let tie = (mass.known, Some(*candidate));
        Merits { mass: Scale::mass(mass), cost, values, tie }
    }

    fn least(&self, candidate: &Candidate, bounds: &Bounds) -> Merits {
        self.merits(candidate, bounds.drop, Some(bounds.noise), bounds.peak)
    }

    /// Merits of those that hold with tolerances: what they beat is not run.
    fn standing(&self) -> Vec<Merits> {
        let stands = self.held.iter().filter(|held| held.drawn.is_some() && !held.intolerant);
        stands.map(|held| held.merits.clone()).collect()
    }

    /// Looks at all filters until each is dropped or run.
    pub(super) fn run(&mut self, found: Vec<Candidate>, screen: Option<&Screen>) -> Result<(), DesignError> {
        let found = self.by_size(found);
        let mut by_rule = vec![0; self.comparisons.len()];
        let (mut overstressed, mut saturating) = (0, 0);
        let mut done = 0;
        // A block has filters of the same number of parts.
        let sizes = found.chunk_by(|one, other| one.chosen().count() == other.chosen().count());
        for block in sizes.flat_map(|alike| alike.chunks(BLOCK)) {
            if self.is_enough() {
                break;
            }
            let standing = self.standing();
            let this: &Self = self;
            let look = |candidate: &Candidate| {
                let Some(screen) = screen else { return Looked::Open(Bounds::NONE) };
                let beaten = |bounds: &Bounds| {
                    let least = this.least(candidate, bounds);
                    standing.iter().any(|held| held.beats(&least))
                };
                // Direct voltages are had at once; the lines take longer.
                let (direct, saturates) = screen.direct(candidate);
                if saturates {
                    return Looked::Saturates;
                }
                if screen.overstresses(candidate, &direct) {
                    return Looked::Overstressed;
                }
                if beaten(&direct) {
                    return Looked::Beaten;
                }
                match screen.look(candidate) {
                    Verdict::Fails { requirement, excess } => Looked::Fails(requirement, excess),
                    Verdict::Saturates => Looked::Saturates,
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
                    Looked::Saturates => saturating += 1,
                    Looked::Fails(requirement, excess) => {
                        by_rule[requirement] += 1;
                        self.remember(excess, *candidate);
                    }
                    Looked::Open(bounds) => open.push((*candidate, bounds)),
                }
            }
            done += block.len() - open.len();
            let mut open = self.open(open);
            while !open.is_empty() && !self.is_enough() {
                let before = open.len();
                self.leave_beaten(&mut open);
                self.beaten += before - open.len();
                let batch = self.foremost(&mut open);
                done += before - open.len();
                self.batch(&batch)?;
                self.settle(&open)?;
                (self.progress)(Progress {
                    of: found.len(),
                    done,
                    run: self.counts.run,
                    holding: self.leading().len(),
                });
            }
            self.settle(&[])?;
        }
        self.counts.unseen = found.len() - done;
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
        if saturating > 0 {
            let rule = "by a bound of what a coil keeps while the load runs".to_owned();
            self.counts.dropped.push(Dropped { rule, filters: saturating });
        }
        if self.beaten > 0 {
            let rule = "by bounds beaten in everything by a filter that holds".to_owned();
            self.counts.dropped.push(Dropped { rule, filters: self.beaten });
        }
        Ok(())
    }

    fn is_enough(&self) -> bool {
        self.search.most.is_some_and(|most| self.counts.run >= most)
    }

    /// Leaves out those whose bounds something beats that stands.
    fn leave_beaten(&self, open: &mut Vec<Open>) {
        if self.search.prune {
            let standing = self.standing();
            open.retain(|each| !standing.iter().any(|held| held.beats(&each.least)));
        }
    }

    /// Runs filters; each only as long as nothing shows that it is no answer.
    fn batch(&mut self, left: &[Open]) -> Result<(), DesignError> {
        if left.is_empty() {
            return Ok(());
        }
        let standing = if self.search.prune { self.standing() } else { Vec::new() };
        let steps: Vec<Step> = self.steps.iter().map(|(step, _)| *step).collect();
        let candidates: Vec<Candidate> = left.iter().map(|open| open.candidate).collect();
        let (description, first) = self.description(&candidates)?;
        let this: &Self = self;
        let judged: Vec<Judged> = left
            .par_iter()
            .enumerate()
            .map(|(index, Open { candidate, bounds, .. })| {
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
                this.judge.nominal(&description, first + index, this.comparisons, &steps, &is_beaten)
            })
            .collect();
        for (Open { candidate, .. }, Judged { worst, runs, beaten, last }) in left.iter().zip(judged) {
            self.counts.run += 1;
            self.counts.runs += runs;
            if let Some(fail) = worst.fail() {
                self.steps[last].1 += 1;
                match fail.fault {
                    Fault::OverSupply => self.counts.over_supply += 1,
                    Fault::Saturated => self.counts.saturating += 1,
                    _ => self.counts.failing += 1,
                }
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
        self.steps.sort_by_key(|(_, failed)| std::cmp::Reverse(*failed));
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

    /// Runs with tolerances what no other beats, until that stands. What something `open` may beat waits for it.
    fn settle(&mut self, open: &[Open]) -> Result<(), DesignError> {
        loop {
            let waits = |index: &usize| {
                let held = &self.held[*index];
                held.drawn.is_none() && !open.iter().any(|each| each.least.beats(&held.merits))
            };
            let waiting: Vec<usize> = self.leading().into_iter().filter(waits).collect();
            if waiting.is_empty() {
                return Ok(());
            }
            let batch: Vec<Candidate> = waiting.iter().map(|index| self.held[*index].candidate).collect();
            let (description, first) = self.description(&batch)?;
            for (offset, index) in waiting.into_iter().enumerate() {
                let found = self
                    .draws
                    .run(self.judge, &description, first + offset, self.comparisons, self.search)
                    .map_err(DesignError::Options)?;
                self.counts.runs += found.1;
                let mut fail = found.0.fail();
                if fail.is_none() {
                    // What stands is run again as accurately as any run of the file.
                    let (nominal, runs) = self.judge.whole(&description, first + offset, self.comparisons);
                    self.counts.runs += runs;
                    fail = nominal.fail();
                    self.held[index].nominal = nominal;
                }
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
