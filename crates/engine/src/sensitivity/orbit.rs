//! The periodic state on its own mesh, and what is read from it as weights of its stages.

use super::mesh::{self, Leg, Mesher, Step};
use super::polynomial::Polynomial;
use super::radau::{Radau, charge_product};
use super::scales::{LEAST_OF_KIND, basis, floors, look, scales};
use super::system::System;
use crate::failure::Failure;
use nalgebra::{DMatrix, DVector};
use network::primitive::Network;

/// Most inductors and capacitors of a network whose sensitivities are sought: the period's derivative grows with their number.
pub const MOST_STATES: usize = 150;
/// Newton's method on the periodic state.
const MOST_PASSES: usize = 12;
/// It ends where a charge or flux would move by less than this fraction of its swing.
const CLOSED: f64 = 1e-8;
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
    /// What each unknown is not resolved below.
    floors: Vec<f64>,
}

/// A number that is, to first order, a weighted sum of a probe's values at all stages. Stages ride with the corners of sources: between
/// two corners that move, steps shift and grow along, so that nothing is ever compared across a corner at which a waveform jumps.
#[derive(Clone, Debug)]
pub struct Weights {
    pub(super) probe: usize,
    /// Three a step.
    pub(super) of_stages: Vec<f64>,
    /// For each step what a shift of its leg by a second adds, and what a growth of the leg by as much as it is long.
    pub(super) of_motion: Vec<[f64; 2]>,
}

impl Weights {
    /// Adds what a rate per second of motion weighs at so many seconds from the start of a leg.
    pub(super) fn moves(&mut self, step: usize, since: f64, rate: f64) {
        self.of_motion[step][0] += rate;
        self.of_motion[step][1] += rate * since;
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
        let (scales, floors, x) = (scales(&system, &first), floors(&system, &first), first.start);
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
        let mut orbit = Self { system, period, legs, steps, stages, basis, monodromy, scales, floors };
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
        // What does not move keeps to a small part of its value, and what is nothing besides to one of its kind.
        let swings = least.zip_map(&greatest, |least, greatest| {
            (greatest - least).max(1e-3 * least.abs().max(greatest.abs())).max(f64::MIN_POSITIVE)
        });
        Ok((before, swings.sup(&self.least_charges(&last, inverse))))
    }

    /// What each independent charge is not resolved below, at a point.
    fn least_charges(&self, x: &[f64], inverse: &DMatrix<f64>) -> DVector<f64> {
        let of_row = |row: usize| {
            let weights: Vec<f64> = inverse.row(row).iter().copied().collect();
            let mut slopes = vec![0.0; x.len()];
            charge_product(&self.system, x, &weights, true, &mut slopes);
            slopes.iter().zip(&self.floors).map(|(slope, floor)| slope.abs() * floor).sum()
        };
        DVector::from_iterator(inverse.nrows(), (0..inverse.nrows()).map(of_row))
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

    /// How high what a probe sees stands, be it itself nothing.
    pub(super) fn height_of_kind(&self, probe: usize) -> f64 {
        self.floors[self.system.probe(probe)] / LEAST_OF_KIND[1]
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

    pub(super) fn before(&self, step: usize) -> usize {
        step.checked_sub(1).unwrap_or(self.steps.len() - 1)
    }
}
