//! What can be told of a filter without running it: bounds that hold whatever its waveforms are.
//!
//! With surroundings that are straight, filters of straight parts are solved exactly, line by line. From the amplitudes `a_n` of any
//! lines of a waveform follow two lower bounds of its peak-to-peak value:
//!
//! - `pi/2 a_n` for each n: the waveform stays within half of its peak-to-peak value around the middle, and the mean of a cosine's
//!   magnitude is 2/pi, so that `a_n <= 2 (pp/2) (2/pi)`; a square wave attains it.
//! - `sqrt(2 sum a_n^2)`: the rms value about the mean is at most half of the peak-to-peak value (Popoviciu's inequality), and by
//!   Parseval's theorem it is `sqrt(sum a_n^2 / 2)`; lines that are left out only lower it.
//!
//! Where a core saturates, its inductance lies between all and what is left in the end. A transfer behind a series branch falls with the
//! magnitude of a sum that is linear in that branch's inductance, whose square is convex: its least value is at one of both ends. That
//! the inductance moves within a period is not covered by this, so that such bounds stand with a margin, [`BENT`] (own choice; no
//! proof).

use super::candidate::Candidate;
use super::impedance::Lone;
use super::surroundings::{Line, Matrix, Surroundings, TIE};
use super::topology::Node;
use engine::Complex;
use language::description::Comparison;
use std::f64::consts::FRAC_PI_2;

/// Share of a bound that counts where a part of the filter bends.
const BENT: f64 = 0.7;
/// Share where none does: what runs in time may be off by their accuracy.
const STRAIGHT: f64 = 0.998;
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
    /// For each element and each end of its inductance the admittance at each line.
    admittances: Vec<Option<Vec<Vec<Complex<f64>>>>>,
}

impl Point {
    pub(super) fn new(
        surroundings: Surroundings,
        baseline: f64,
        elements: &[Option<Lone>],
    ) -> Result<Self, String> {
        let frequencies: Vec<f64> = surroundings.lines.iter().map(|line| line.frequency).collect();
        let volts = surroundings.level;
        let of =
            |lone: &Option<Lone>| lone.as_ref().map(|lone| lone.admittances(&frequencies, volts)).transpose();
        let admittances = elements.iter().map(of).collect::<Result<_, _>>()?;
        Ok(Self { surroundings, baseline, admittances })
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
    /// For each element whether a part of it bends.
    pub(super) bends: Vec<bool>,
}

/// What is known of a filter.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Verdict {
    /// It can't meet the requirement with this index; by which factor its bound is beyond the limit.
    Fails { requirement: usize, excess: f64 },
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
        let bends = candidate.chosen().any(|index| self.bends[index]);
        let margin = if bends { BENT } else { STRAIGHT };
        for point in &self.points {
            let Some(found) = self.at(point, candidate, margin) else { return Verdict::Open(Bounds::NONE) };
            let excess = self.rules.iter().zip(&found.rules).map(|(rule, bound)| (rule, rule.excess(*bound)));
            let worst = excess.max_by(|one, other| one.1.total_cmp(&other.1));
            if let Some((rule, excess)) = worst.filter(|(_, excess)| *excess > 1.0) {
                return Verdict::Fails { requirement: rule.requirement, excess };
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

    /// Bounds by direct voltages alone.
    pub(super) fn direct(&self, candidate: &Candidate) -> Bounds {
        let mut bounds = Bounds::NONE;
        for point in &self.points {
            let Some(line) = point.surroundings.lines.first() else { continue };
            let mut chosen = [Complex::new(0.0, 0.0); 4];
            for (slot, index) in chosen.iter_mut().zip(candidate.chosen()) {
                let Some(set) = &point.admittances[index] else { return Bounds::NONE };
                *slot = set[0][0];
            }
            let linear = answer(line, &ladder(candidate, &chosen)).ports[1].re;
            let highest = upper(linear, line.ports[1].re, point.surroundings.knee);
            bounds.drop = bounds.drop.max(point.baseline - highest - MEANS);
            bounds.peak = bounds.peak.max(linear - MEANS);
        }
        bounds
    }

    fn at(&self, point: &Point, candidate: &Candidate, margin: f64) -> Option<Found> {
        let sets: Vec<&Vec<Vec<Complex<f64>>>> =
            candidate.chosen().map(|index| point.admittances[index].as_ref()).collect::<Option<_>>()?;
        let corners: usize = sets.iter().map(|set| set.len()).product();
        let count = point.surroundings.lines.first().map_or(0, |line| line.seen.len());
        let (mut greatest, mut squares) = (vec![0.0_f64; count], vec![0.0_f64; count]);
        let (mut highest, mut lowest, mut means) = (0.0, 0.0, vec![0.0; count]);
        let mut least = vec![0.0_f64; count];
        for (index, line) in point.surroundings.lines.iter().enumerate() {
            let is_direct = index == 0;
            least.fill(f64::INFINITY);
            for corner in 0..if is_direct { 1 } else { corners } {
                let mut left = corner;
                let mut chosen = [Complex::new(0.0, 0.0); 4];
                for (slot, set) in sets.iter().enumerate() {
                    chosen[slot] = set[left % set.len()][index];
                    left /= set.len();
                }
                let answer = answer(line, &ladder(candidate, &chosen));
                if is_direct {
                    let linear = answer.ports[1].re;
                    lowest = linear;
                    highest = upper(linear, line.ports[1].re, point.surroundings.knee);
                    for (mean, seen) in means.iter_mut().zip(&answer.seen) {
                        // What the load draws less of, the test point may gain at most.
                        *mean = seen.re + (highest - linear).max(0.0);
                    }
                } else {
                    for (least, seen) in least.iter_mut().zip(&answer.seen) {
                        *least = least.min(seen.norm());
                    }
                }
            }
            if !is_direct {
                for ((greatest, square), amplitude) in greatest.iter_mut().zip(&mut squares).zip(&least) {
                    *greatest = greatest.max(*amplitude);
                    *square += amplitude * amplitude;
                }
            }
        }
        let rules = self.rules.iter().map(|rule| match rule.asked {
            Asked::PeakToPeak => {
                margin * (FRAC_PI_2 * greatest[rule.seen]).max((2.0 * squares[rule.seen]).sqrt())
            }
            Asked::RmsAc => margin * (0.5 * squares[rule.seen]).sqrt(),
            Asked::Minimum => means[rule.seen] + MEANS,
        });
        Some(Found { rules: rules.collect(), highest, lowest })
    }
}

/// At one study point: the bound of each rule, and between what the mean at the load lies.
struct Found {
    rules: Vec<f64>,
    highest: f64,
    lowest: f64,
}

/// The greatest mean at the load where its current may fall with its voltage: `I min(1, v/V)` under V gives `v = v0 / (1 + d / V)`
/// with d the drop that the whole current would make.
fn upper(linear: f64, before: f64, knee: f64) -> f64 {
    if knee <= 0.0 || linear >= knee {
        return linear;
    }
    linear.max(before / (1.0 + (before - linear).max(0.0) / knee))
}

/// The filter as a two-port: admittances between the place's nodes against its return, with the node inside taken out (Kron).
fn ladder(candidate: &Candidate, chosen: &[Complex<f64>; 4]) -> Matrix {
    let zero = Complex::new(0.0, 0.0);
    let mut full = [[zero; 3]; 3];
    let row = |node: Node| match node {
        Node::From => Some(0),
        Node::To => Some(1),
        Node::Inside(_) => Some(2),
        Node::Back => None,
    };
    for (slot, admittance) in candidate.topology.slots().iter().zip(chosen) {
        match (row(slot.left), row(slot.right)) {
            (Some(left), Some(right)) => {
                full[left][left] += admittance;
                full[right][right] += admittance;
                full[left][right] -= admittance;
                full[right][left] -= admittance;
            }
            (Some(node), None) | (None, Some(node)) => full[node][node] += admittance,
            (None, None) => {}
        }
    }
    let inside = full[2][2];
    let mut ports = [[zero; 2]; 2];
    for (row, entries) in ports.iter_mut().enumerate() {
        for (column, entry) in entries.iter_mut().enumerate() {
            *entry = full[row][column];
            if inside != zero {
                *entry -= full[row][2] * full[2][column] / inside;
            }
        }
    }
    ports
}

struct Answer {
    ports: [Complex<f64>; 2],
    seen: Vec<Complex<f64>>,
}

/// Voltages with the filter in the place of the tie: its further currents `-(Y - Y_tie) v` act on the surroundings,
/// `v = v0 - Z (Y - Y_tie) v`.
fn answer(line: &Line, filter: &Matrix) -> Answer {
    let tie = 1.0 / TIE;
    let more = |row: usize, column: usize| filter[row][column] - if row == column { tie } else { -tie };
    let product = |row: usize, column: usize| {
        let own = if row == column { 1.0 } else { 0.0 };
        line.impedance[row][0] * more(0, column) + line.impedance[row][1] * more(1, column) + own
    };
    let [a, b, c, d] = [product(0, 0), product(0, 1), product(1, 0), product(1, 1)];
    let determinant = a * d - b * c;
    let [u, v] = line.ports;
    let ports = [(u * d - b * v) / determinant, (a * v - c * u) / determinant];
    let drawn = [0, 1].map(|row| more(row, 0) * ports[0] + more(row, 1) * ports[1]);
    let seen = line.seen.iter().map(|(own, by)| *own - by[0] * drawn[0] - by[1] * drawn[1]);
    Answer { ports, seen: seen.collect() }
}
