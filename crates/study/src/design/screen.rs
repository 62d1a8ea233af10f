//! What can be told of a filter without running it: bounds that hold whatever its waveforms are.
//!
//! With surroundings that are straight, filters of straight parts are solved exactly, line by line. From the amplitudes `a_n` of any
//! lines of a waveform follow lower bounds of its peak-to-peak value:
//!
//! - `pi/2 a_n` for each n: the waveform stays within half of its peak-to-peak value around the middle, and the mean of a cosine's
//!   magnitude is 2/pi, so that `a_n <= 2 (pp/2) (2/pi)`; a square wave attains it.
//! - `sqrt(2 sum a_n^2)`: the rms value about the mean is at most half of the peak-to-peak value (Popoviciu's inequality), and by
//!   Parseval's theorem it is `sqrt(sum a_n^2 / 2)`; lines that are left out only lower it.
//! - the waveform's mean around a moment, of the same kind for all moments, is nowhere above its greatest or below its least value:
//!   with Fejer's kernel that mean is a sum of the lowest lines alone.
//!
//! What bends (a core that saturates, a ceramic) is taken as straight around its mean. Its inductance or capacitance moves by what rides
//! on the mean, so that the bounds are taken again with the least and the greatest that occur. The least of them is lowered by as much as
//! they differ, since what moves within a period does no more, to first order, than what stays moved, but to no less than a share of it
//! (no proof, own choice; a test compares with many filters run in time). A coil that keeps less than it must is no answer anyway, so that cores are looked at up to that current.

use super::candidate::Candidate;
use super::impedance::Lone;
use super::ladder::{Ladder, answer};
use super::placed::Placed;
use super::surroundings::Surroundings;
use super::swings::{Around, Swings};
use engine::Complex;
use language::description::Comparison;

/// Share of a bound that counts: what runs in time may be off by their accuracy.
const STRAIGHT: f64 = 0.99;
/// The same where a part of the filter bends.
const BENT: f64 = 0.98;
/// Share of the least that counts in any case where it does.
const STAYING: f64 = 0.85;
/// Where slopes differ by less than this share, they are taken as one.
const ALIKE: f64 = 1e-3;
/// Share of a mean current that counts, for the same reason.
const SURELY: f64 = 0.999;
/// Volts by which means of a run may be off.
const MEANS: f64 = 5e-4;

/// What a requirement asks of a test point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asked {
    PeakToPeak,
    RmsAc,
    Minimum,
}

/// A requirement that bounds can fail.
#[derive(Clone, Debug)]
pub(super) struct Rule {
    /// Index among the requirements.
    pub(super) requirement: usize,
    pub(super) asked: Asked,
    /// Index among the test points looked at.
    pub(super) seen: usize,
    pub(super) comparison: Comparison,
    pub(super) limit: f64,
}

impl Rule {
    /// How far a bound is beyond the limit, as a ratio above 1; 1 or less where the requirement may hold.
    fn excess(&self, bound: f64) -> f64 {
        let holds = self.comparison.holds(bound, self.limit);
        let ratio = if self.asked == Asked::Minimum { self.limit / bound } else { bound / self.limit };
        if holds { ratio.min(1.0) } else { ratio.max(1.0 + f64::EPSILON) }
    }
}

/// One study point: what is around the place, and what elements are there.
pub(super) struct Point {
    surroundings: Surroundings,
    /// Mean voltage at the load with the baseline.
    baseline: f64,
    elements: Vec<Option<Placed>>,
}

impl Point {
    pub(super) fn new(
        surroundings: Surroundings,
        baseline: f64,
        elements: &[Option<Lone>],
        bears: &[Option<f64>],
    ) -> Result<Self, String> {
        let frequencies: Vec<f64> = surroundings.lines.iter().map(|line| line.frequency).collect();
        let mean = (surroundings.current, surroundings.level);
        let of = |(lone, bears): (&Option<Lone>, &Option<f64>)| {
            lone.as_ref().map(|lone| Placed::new(lone, &frequencies, mean, *bears)).transpose()
        };
        let elements = elements.iter().zip(bears).map(of).collect::<Result<_, _>>()?;
        Ok(Self { surroundings, baseline, elements })
    }
}

/// All that bounds are taken from.
pub(super) struct Screen {
    pub(super) points: Vec<Point>,
    pub(super) rules: Vec<Rule>,
    /// Index of the rule of the noise that winners are compared by.
    pub(super) noise: Option<usize>,
    /// For each element the voltage that it withstands, where one is stated.
    pub(super) rated: Vec<Option<f64>>,
    /// For each element the current in ampere that its core bears in the mean at most, where that is judged.
    pub(super) bears: Vec<Option<f64>>,
}

/// What is known of a filter.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Verdict {
    /// It can't meet the requirement with this index; by which factor its bound is beyond the limit.
    Fails { requirement: usize, excess: f64 },
    /// A coil of it keeps less than it must while the load runs.
    Saturates,
    /// Lower bounds of what filters are compared by.
    Open(Bounds),
}

/// Lower bounds; what is not known is minus infinity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bounds {
    pub(super) drop: f64,
    pub(super) noise: f64,
    pub(super) peak: f64,
}

impl Bounds {
    pub(super) const NONE: Self =
        Self { drop: f64::NEG_INFINITY, noise: f64::NEG_INFINITY, peak: f64::NEG_INFINITY };
}

impl Screen {
    /// Looks at a filter at every study point; at the first that fails it stops.
    pub(super) fn look(&self, candidate: &Candidate) -> Verdict {
        let mut bounds = Bounds::NONE;
        for point in &self.points {
            let Some(found) = self.at(point, candidate) else { return Verdict::Open(Bounds::NONE) };
            let excess = self.rules.iter().zip(&found.rules).map(|(rule, bound)| (rule, rule.excess(*bound)));
            let worst = excess.max_by(|one, other| one.1.total_cmp(&other.1));
            if let Some((rule, excess)) = worst.filter(|(_, excess)| *excess > 1.0) {
                return Verdict::Fails { requirement: rule.requirement, excess };
            }
            if found.saturates {
                return Verdict::Saturates;
            }
            bounds.drop = bounds.drop.max(point.baseline - found.highest - MEANS);
            bounds.peak = bounds.peak.max(found.lowest - MEANS);
            if let Some(noise) = self.noise {
                bounds.noise = bounds.noise.max(found.rules[noise]);
            }
        }
        Verdict::Open(bounds)
    }

    /// Whether a capacitor of it is rated below the voltage that the load has in the mean somewhere: across it there is as much or more.
    pub(super) fn overstresses(&self, candidate: &Candidate, bounds: &Bounds) -> bool {
        candidate.chosen().any(|index| self.rated[index].is_some_and(|rated| rated < bounds.peak))
    }

    /// Bounds by direct voltages alone; whether the mean current saturates a coil.
    pub(super) fn direct(&self, candidate: &Candidate) -> (Bounds, bool) {
        let mut bounds = Bounds::NONE;
        let mut saturates = false;
        for point in &self.points {
            let Some(direct) = Direct::new(point, candidate) else { return (Bounds::NONE, false) };
            // A load that draws all of its current leaves no doubt about the mean.
            if direct.lowest >= point.surroundings.knee {
                saturates |= candidate.chosen().zip(direct.means).any(|(index, (current, _))| {
                    self.bears[index].is_some_and(|bears| SURELY * current > bears)
                });
            }
            bounds.drop = bounds.drop.max(point.baseline - direct.highest - MEANS);
            bounds.peak = bounds.peak.max(direct.lowest - MEANS);
        }
        (bounds, saturates)
    }

    fn at(&self, point: &Point, candidate: &Candidate) -> Option<Found> {
        let direct = Direct::new(point, candidate)?;
        let around = Around {
            surroundings: &point.surroundings,
            rules: &self.rules,
            candidate,
            placed: &direct.placed,
        };
        let count = direct.placed.len();
        let mut scales = [1.0; 4];
        for (scale, (placed, mean)) in scales.iter_mut().zip(direct.placed.iter().zip(&direct.means)) {
            *scale = placed.scale(mean.0, mean.1);
        }
        let mut all = vec![around.swings(&scales)];
        if direct.placed.iter().any(|placed| placed.bends()) {
            let (mut least, mut most) = (scales, scales);
            for slot in 0..count {
                (least[slot], most[slot]) =
                    direct.placed[slot].reach(direct.means[slot], all[0].ripples[slot]);
            }
            if (0..count).any(|slot| most[slot] > (1.0 + ALIKE) * least[slot]) {
                all.extend([&least, &most].map(|scales| around.swings(scales)));
            }
        }
        // What holds wherever between its ends the bend is, and less what it may do by moving.
        let surely = |of: &dyn Fn(&Swings) -> f64| {
            let (low, high) =
                all.iter().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                    (low.min(value), high.max(value))
                });
            let margin = if all.len() > 1 { BENT } else { STRAIGHT };
            (margin * (low - (high - low))).max(STAYING * low)
        };
        let rules = self.rules.iter().enumerate().map(|(index, rule)| match rule.asked {
            Asked::PeakToPeak | Asked::RmsAc => surely(&|swings| swings.rules[index]),
            // What the load draws less of, the test point may gain at most.
            Asked::Minimum => direct.seen[rule.seen] + (direct.highest - direct.lowest).max(0.0) + MEANS,
        });
        // A load that draws all of its current leaves no doubt about the mean.
        let saturates = direct.lowest >= point.surroundings.knee
            && (0..count).any(|slot| {
                let current = SURELY * direct.means[slot].0 + surely(&|swings| swings.above[slot]);
                direct.placed[slot].bears().is_some_and(|bears| current > bears)
            });
        Some(Found { rules: rules.collect(), highest: direct.highest, lowest: direct.lowest, saturates })
    }
}

/// At one study point: the bound of each rule, between what the mean at the load lies, and whether a coil saturates.
struct Found {
    rules: Vec<f64>,
    highest: f64,
    lowest: f64,
    saturates: bool,
}

/// A filter's mean voltages and currents at a point.
struct Direct<'s> {
    placed: Vec<&'s Placed>,
    /// For each slot the size of its mean current, and its mean voltage.
    means: [(f64, f64); 4],
    seen: Vec<f64>,
    /// Between these lies the mean at the load.
    lowest: f64,
    highest: f64,
}

impl<'s> Direct<'s> {
    fn new(point: &'s Point, candidate: &Candidate) -> Option<Self> {
        let line = point.surroundings.lines.first()?;
        let placed: Vec<&Placed> =
            candidate.chosen().map(|index| point.elements[index].as_ref()).collect::<Option<_>>()?;
        let mut chosen = [Complex::new(0.0, 0.0); 4];
        for (slot, placed) in chosen.iter_mut().zip(&placed) {
            *slot = placed.admittance(0, 1.0);
        }
        let ladder = Ladder::new(candidate, &chosen);
        let answer = answer(line, &ladder.ports);
        let drops = ladder.drops(candidate, &answer.ports);
        let mut means = [(0.0, 0.0); 4];
        for ((mean, drop), admittance) in means.iter_mut().zip(drops).zip(chosen) {
            *mean = ((admittance * drop).norm(), drop.re);
        }
        let lowest = answer.ports[1].re;
        Some(Self {
            placed,
            means,
            seen: (0..line.seen.len()).map(|index| answer.seen(line, index).re).collect(),
            lowest,
            highest: upper(lowest, line.ports[1].re, point.surroundings.knee),
        })
    }
}

/// The greatest mean at the load where its current may fall with its voltage: `I min(1, v/V)` under V gives `v = v0 / (1 + d / V)`
/// with d the drop that the whole current would make.
fn upper(linear: f64, before: f64, knee: f64) -> f64 {
    if knee <= 0.0 || linear >= knee {
        return linear;
    }
    linear.max(before / (1.0 + (before - linear).max(0.0) / knee))
}
