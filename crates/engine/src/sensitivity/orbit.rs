//! The periodic state on its own mesh, and what is read from it as weights of its stages.

use super::mesh::{self, Leg, Mesher, Step};
use super::polynomial::Polynomial;
use super::radau::{Radau, charge_product};
use super::system::System;
use crate::equations::across;
use crate::failure::Failure;
use crate::observe::{Observer, Stretch};
use crate::run::{Method, Request, Start, run};
use crate::structure::Groups;
use nalgebra::{DMatrix, DVector};
use network::primitive::{Network, Probe, Signal, Term};

/// Most inductors and capacitors of a network whose sensitivities are sought: the period's derivative grows with their number.
pub const MOST_STATES: usize = 150;
/// Accuracy of the run that the orbit begins from.
const FIRST_ACCURACY: f64 = 1e-3;
/// Newton's method on the periodic state.
const MOST_PASSES: usize = 12;
/// It ends where a charge or flux would move by less than this fraction of its swing.
const CLOSED: f64 = 1e-8;
/// An unknown's scale is at least this fraction of its greatest value, …
const LEAST_OF_VALUE: f64 = 1e-4;
/// … of the greatest swing of all unknowns of its kind, and of their greatest value.
const LEAST_OF_KIND: [f64; 2] = [1e-6, 1e-5];
/// Five-point Gauss-Legendre quadrature on -1 .. 1 (Abramowitz and Stegun, table 25.4).
const GAUSS: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

/// A periodic steady state with what the derivatives of readings need.
pub struct Orbit<'n> {
    pub(super) system: System<'n>,
    pub(super) period: f64,
    pub(super) legs: Vec<Leg>,
    pub(super) steps: Vec<Step>,
    /// Unknowns at the three stages of all steps.
    pub(super) stages: Vec<f64>,
    /// Independent directions in which charges and fluxes can differ, one a column.
    basis: DMatrix<f64>,
    /// What a period makes of them.
    monodromy: DMatrix<f64>,
    /// Scale of each unknown.
    pub(super) scales: Vec<f64>,
}

/// A number that is, to first order, a weighted sum of a probe's values at all stages.
#[derive(Clone, Debug)]
pub struct Weights {
    pub(super) probe: usize,
    /// Three a step.
    pub(super) of_stages: Vec<f64>,
    /// Whether the place that is looked at rides with the corners of sources that move.
    pub(super) rides: bool,
}

impl Weights {
    /// Adds so many times another's weights.
    pub fn add(&mut self, factor: f64, other: &Self) {
        self.of_stages.iter_mut().zip(&other.of_stages).for_each(|(sum, weight)| *sum += factor * weight);
    }
}

impl<'n> Orbit<'n> {
    /// Computes the periodic steady state of a network's probes. `tolerance` is the error allowed to a step as a fraction of each
    /// waveform's swing, 1e-9 to 1e-3.
    ///
    /// # Errors
    /// Those of a run from the steady state, where the steps do not converge, and beyond [`MOST_STATES`].
    pub fn new(network: &'n Network, period: f64, tolerance: f64) -> Result<Self, Failure> {
        let system = System::new(network)?;
        let basis = basis(&system);
        if basis.ncols() > MOST_STATES {
            return Err(Failure::TooManyStates { states: basis.ncols(), most: MOST_STATES });
        }
        let legs = mesh::legs(&system, period);
        let first = look(&system, period)?;
        let (scales, x) = (scales(&system, &first), first.start);
        let mut charges = vec![0.0; x.len()];
        system.charges(&x, &mut charges);
        let mut radau = Radau::new(system.size());
        let mesher = Mesher {
            system: &system,
            scales: &scales,
            tolerance,
            radau: &mut radau,
            charges: charges.clone(),
            x,
            stages: Vec::new(),
        };
        let (steps, stages) = mesher.steps(&legs)?;
        let monodromy = DMatrix::zeros(basis.ncols(), basis.ncols());
        let mut orbit = Self { system, period, legs, steps, stages, basis, monodromy, scales };
        orbit.close(&mut radau, charges)?;
        Ok(orbit)
    }

    /// Newton's method on the charges and fluxes at t = 0.
    fn close(&mut self, radau: &mut Radau, mut charges: Vec<f64>) -> Result<(), Failure> {
        let inverse = self.left_inverse();
        let mut worst = (0, f64::INFINITY);
        for _ in 0..MOST_PASSES {
            let (end, swings) = self.walk(radau, &charges, &inverse)?;
            if self.basis.ncols() == 0 {
                return Ok(());
            }
            let moved =
                DVector::from_iterator(end.len(), end.iter().zip(&charges).map(|(end, start)| end - start));
            let identity = DMatrix::<f64>::identity(self.monodromy.nrows(), self.monodromy.nrows());
            let correction = (identity - &self.monodromy).lu().solve(&(&inverse * &moved));
            let Some(correction) = correction.filter(|it| it.iter().all(|value| value.is_finite())) else {
                return Err(Failure::NoSteadyState { nodes: Vec::new(), parts: self.states() });
            };
            let ratios = correction.iter().zip(swings.iter()).map(|(value, swing)| value.abs() / swing);
            worst = ratios.enumerate().fold((0, 0.0), |worst, it| if it.1 > worst.1 { it } else { worst });
            if worst.1 <= CLOSED {
                return Ok(());
            }
            let correction = &self.basis * correction;
            charges.iter_mut().zip(correction.iter()).for_each(|(charge, more)| *charge += more);
        }
        let part = self.states().get(worst.0).cloned().unwrap_or_default();
        Err(Failure::NotSettled { periods: MOST_PASSES, part, change: worst.1 })
    }

    /// One period from given charges, with its derivative; the charges at its end, and the swing of each independent one.
    fn walk(
        &mut self,
        radau: &mut Radau,
        charges: &[f64],
        inverse: &DMatrix<f64>,
    ) -> Result<(Vec<f64>, DVector<f64>), Failure> {
        let size = self.system.size();
        let mut tangents = self.basis.clone();
        let mut before = charges.to_vec();
        let start = inverse * DVector::from_column_slice(charges);
        let (mut least, mut greatest) = (start.clone(), start);
        let mut work = vec![0.0; 3 * size];
        let mut last = self.stages[self.stages.len() - size..].to_vec();
        for index in 0..self.steps.len() {
            let drive = self.drive(index);
            let stages = &mut self.stages[3 * size * index..3 * size * (index + 1)];
            let time = self.legs[self.steps[index].leg].start + self.steps[index].from;
            let mut solved = radau.solve(&self.system, &drive, &before, &self.scales, stages);
            if solved.is_err() {
                // Where the state has moved far from the last pass, the end of the step before is nearer.
                stages.copy_from_slice(&last.repeat(3));
                solved = radau.solve(&self.system, &drive, &before, &self.scales, stages);
            }
            solved.map_err(|trouble| mesh::failure(&self.system, trouble, time))?;
            last.copy_from_slice(&stages[2 * size..]);
            for mut tangent in tangents.column_iter_mut() {
                radau.tangent(&drive, tangent.as_slice(), &mut work);
                tangent.fill(0.0);
                charge_product(
                    &self.system,
                    &stages[2 * size..],
                    &work[2 * size..],
                    false,
                    tangent.as_mut_slice(),
                );
            }
            self.system.charges(&stages[2 * size..], &mut before);
            let now = inverse * DVector::from_column_slice(&before);
            least = least.inf(&now);
            greatest = greatest.sup(&now);
        }
        self.monodromy = inverse * tangents;
        // What does not move keeps to a small part of its value.
        let swings = least.zip_map(&greatest, |least, greatest| {
            (greatest - least).max(1e-3 * least.abs().max(greatest.abs())).max(f64::MIN_POSITIVE)
        });
        Ok((before, swings))
    }

    pub(super) fn drive(&self, step: usize) -> super::radau::Drive {
        let step = self.steps[step];
        mesh::drive(&self.legs[step.leg], step.from, step.length)
    }

    /// What brings charges to the coordinates of the basis.
    fn left_inverse(&self) -> DMatrix<f64> {
        if self.basis.ncols() == 0 {
            return DMatrix::zeros(0, self.basis.nrows());
        }
        let transposed = self.basis.transpose();
        // Columns of a basis are independent; the fallback is never met.
        (&transposed * &self.basis).try_inverse().unwrap_or_else(|| DMatrix::zeros(0, 0)) * transposed
    }

    /// The multipliers of the charges at the end of a period, given those that one walk back from nothing came to.
    pub(super) fn periodic(&self, walked: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
        let states = self.monodromy.nrows();
        if states == 0 {
            return Some(vec![vec![0.0; self.system.size()]; walked.len()]);
        }
        let transposed = DMatrix::<f64>::identity(states, states) - self.monodromy.transpose();
        let factors = transposed.lu();
        let lift = self.left_inverse().transpose();
        let close = |walked: &Vec<f64>| {
            let seen = self.basis.transpose() * DVector::from_column_slice(walked);
            Some((&lift * factors.solve(&seen)?).as_slice().to_vec())
        };
        walked.iter().map(close).collect()
    }

    fn states(&self) -> Vec<String> {
        let equations = &self.system.equations;
        let inductors = equations.inductors.iter().map(|(ends, _)| equations.part_of(*ends));
        equations.capacitors.iter().map(|(ends, _)| equations.part_of(*ends)).chain(inductors).collect()
    }

    /// Number of steps.
    #[must_use]
    pub fn steps(&self) -> usize {
        self.steps.len()
    }

    /// The common period in seconds.
    #[must_use]
    pub fn period(&self) -> f64 {
        self.period
    }

    /// Whether a step is the first behind a corner.
    pub(super) fn begins_leg(&self, step: usize) -> bool {
        self.steps[step].from == 0.0
    }

    /// A probe's waveform over a step.
    #[must_use]
    pub fn polynomial(&self, step: usize, probe: usize) -> Polynomial {
        let size = self.system.size();
        let unknown = self.system.probe(probe);
        let stage = |step: usize, stage: usize| self.stages[(3 * step + stage) * size + unknown];
        let Step { leg, from, length } = self.steps[step];
        Polynomial {
            start: self.legs[leg].start + from,
            length,
            values: [stage(self.before(step), 2), stage(step, 0), stage(step, 1), stage(step, 2)],
            // A low-pass lets nothing jump; the rest may jump where a source bends.
            continuous: !self.begins_leg(step) || self.system.lags[probe] > 0.0,
        }
    }

    fn before(&self, step: usize) -> usize {
        step.checked_sub(1).unwrap_or(self.steps.len() - 1)
    }

    /// Nothing of a probe.
    #[must_use]
    pub fn nothing(&self, probe: usize) -> Weights {
        Weights { probe, of_stages: vec![0.0; 3 * self.steps.len()], rides: false }
    }

    /// A probe's value at a place of a step, which runs from 0 to 1.
    #[must_use]
    pub fn value(&self, probe: usize, step: usize, place: f64) -> Weights {
        let mut weights = self.nothing(probe);
        self.add(&mut weights, step, self.polynomial(step, probe).weights(place));
        weights
    }

    /// The same at a place that rides with the corners on either side, as a peak at or near an edge does: there the waveform itself
    /// changes little while the edge moves, and what changes is known as well as the orbit.
    #[must_use]
    pub fn riding_value(&self, probe: usize, step: usize, place: f64) -> Weights {
        Weights { rides: true, ..self.value(probe, step, place) }
    }

    fn add(&self, weights: &mut Weights, step: usize, [start, more @ ..]: [f64; 4]) {
        weights.of_stages[3 * self.before(step) + 2] += start;
        for (stage, weight) in more.into_iter().enumerate() {
            weights.of_stages[3 * step + stage] += weight;
        }
    }

    /// The integral of factor(t, w) dw over stretches of the period, w being the probe's value: as weights, and the integral of
    /// `integrand(t, w)` beside it. `fastest` is the angular frequency in rad/s with which the factors swing.
    pub fn integral(
        &self,
        probe: usize,
        stretches: &[(f64, f64)],
        fastest: f64,
        factor: &dyn Fn(f64, f64) -> f64,
        integrand: &dyn Fn(f64, f64) -> f64,
    ) -> (Weights, f64) {
        let mut weights = self.nothing(probe);
        let mut sum = 0.0;
        for step in 0..self.steps.len() {
            let polynomial = self.polynomial(step, probe);
            for &(from, to) in stretches {
                let place = |time: f64| ((time - polynomial.start) / polynomial.length).clamp(0.0, 1.0);
                let (first, last) = (place(from), place(to));
                if last <= first {
                    continue;
                }
                let parts = ((last - first) * polynomial.length * fastest).ceil().max(1.0);
                let half = 0.5 * (last - first) / parts;
                let mut of_step = [0.0; 4];
                for part in 0..parts as usize {
                    let centre = first + half * (2.0 * part as f64 + 1.0);
                    for (abscissa, share) in GAUSS {
                        let place = centre + half * abscissa;
                        let lagrange = polynomial.weights(place);
                        let value: f64 = lagrange
                            .iter()
                            .zip(&polynomial.values)
                            .map(|(weight, value)| weight * value)
                            .sum();
                        let time = polynomial.start + place * polynomial.length;
                        let area = share * half * polynomial.length;
                        sum += area * integrand(time, value);
                        let height = area * factor(time, value);
                        of_step.iter_mut().zip(lagrange).for_each(|(sum, weight)| *sum += height * weight);
                    }
                }
                self.add(&mut weights, step, of_step);
            }
        }
        (weights, sum)
    }
}

/// What a run showed of every unknown.
struct Looked {
    start: Vec<f64>,
    least: Vec<f64>,
    greatest: Vec<f64>,
}

impl Observer for Looked {
    fn restart(&mut self) {
        self.start.clear();
        self.least.fill(f64::INFINITY);
        self.greatest.fill(f64::NEG_INFINITY);
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        if self.start.is_empty() {
            self.start.extend(stretch.values.iter().map(|values| values[0]));
        }
        for (index, values) in stretch.values.iter().enumerate() {
            for value in values {
                self.least[index] = self.least[index].min(*value);
                self.greatest[index] = self.greatest[index].max(*value);
            }
        }
    }
}

/// Runs the network once and looks at every unknown.
fn look(system: &System<'_>, period: f64) -> Result<Looked, Failure> {
    let equations = &system.equations;
    let mut network: Network = equations.network.clone();
    let mut probes: Vec<Probe> = Vec::new();
    let mut see =
        |term: Term| probes.push(Probe { signal: Signal::Linear(vec![(1.0, term)]), bandwidth: None });
    (1..=equations.nodes).for_each(|node| see(Term::NodeVoltage(node)));
    equations.voltage_sources.iter().for_each(|(ends, _)| see(Term::BranchCurrent(ends.branch)));
    equations.inductors.iter().for_each(|(ends, _)| see(Term::BranchCurrent(ends.branch)));
    system.rows.iter().for_each(|(branch, _)| see(Term::BranchCurrent(*branch)));
    probes.append(&mut network.probes);
    let size = probes.len();
    network.probes = probes;
    let start = Start::Steady { period: Some(period) };
    let request = Request { start, span: period, accuracy: FIRST_ACCURACY, method: Method::Automatic };
    let (least, greatest) = (vec![f64::INFINITY; size], vec![f64::NEG_INFINITY; size]);
    let mut looked = Looked { start: Vec::new(), least, greatest };
    run(&network, &request, &mut looked)?;
    Ok(looked)
}

/// Scale of each unknown: its swing, or a small part of its value or of the swings of its kind.
fn scales(system: &System<'_>, looked: &Looked) -> Vec<f64> {
    let swing = |index: usize| looked.greatest[index] - looked.least[index];
    let height = |index: usize| looked.greatest[index].abs().max(looked.least[index].abs());
    let size = looked.least.len();
    let nodes = system.equations.nodes;
    let probes = system.probe(0);
    let kind = |range: std::ops::Range<usize>| {
        let most = |of: &dyn Fn(usize) -> f64| range.clone().map(of).fold(0.0, f64::max);
        (LEAST_OF_KIND[0] * most(&swing)).max(LEAST_OF_KIND[1] * most(&height))
    };
    let kinds = [kind(0..nodes), kind(nodes..probes)];
    let scale = |index: usize| {
        let of_kind = if index >= probes { 0.0 } else { kinds[usize::from(index >= nodes)] };
        swing(index).max(LEAST_OF_VALUE * height(index)).max(of_kind).max(1e-12)
    };
    (0..size).map(scale).collect()
}

/// Independent directions of charge and flux: one for each capacitor of a spanning forest, each inductor, and each unknown that is
/// integrated besides.
fn basis(system: &System<'_>) -> DMatrix<f64> {
    let equations = &system.equations;
    let size = system.size();
    let mut columns: Vec<DVector<f64>> = Vec::new();
    let mut groups = Groups::new(equations.network.nodes.len());
    for (ends, _) in &equations.capacitors {
        if groups.join(ends.left, ends.right) {
            let unit = |unknown: usize| {
                let mut x = vec![0.0; size];
                x[unknown] = 1.0;
                across(*ends, &x)
            };
            columns
                .push(DVector::from_fn(size, |row, _| if row < equations.nodes { unit(row) } else { 0.0 }));
        }
    }
    let single = |unknown: usize| DVector::from_fn(size, |row, _| f64::from(u8::from(row == unknown)));
    columns.extend((0..equations.inductors.len()).map(|k| single(equations.inductor_current(k))));
    let rows = system.rows.iter().enumerate();
    let integrated = rows.filter(|(_, (_, current))| matches!(current, super::system::Current::Capacitor(_)));
    columns.extend(integrated.map(|(index, _)| single(system.row(index))));
    let filtered = (0..system.lags.len()).filter(|index| system.lags[*index] > 0.0);
    columns.extend(filtered.map(|index| single(system.probe(index))));
    if columns.is_empty() { DMatrix::zeros(size, 0) } else { DMatrix::from_columns(&columns) }
}
