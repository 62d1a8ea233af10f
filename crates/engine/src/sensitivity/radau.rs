//! One step of the three-stage Radau IIA method over the network's equations.

use super::system::{Block, Product, System};
use crate::linear::{Singular, Solver};
use nalgebra::Matrix3;

/// Newton iterations after which a shorter step is tried.
const MOST_ITERATIONS: usize = 25;
/// Newton stops at this fraction of each unknown's scale; it converges quadratically, so what is left is rounding.
const CLOSE: f64 = 1e-8;
/// Where updates no longer shrink by this factor, and are below this fraction of the scale, they are rounding themselves: a large
/// capacitance over a short step turns that of a voltage into a current.
const STAGNANT: (f64, f64) = (0.3, 1e-3);
/// Steps that differ by less than this fraction share their factors.
const SAME_STEP: f64 = 1e-9;
/// Factors that are kept: a straight network asks for the same few again in every period of its pulses.
const MOST_KEPT: usize = 48;
/// Unknowns of a stage from which on fewer are kept.
const LARGE: usize = 200;

/// The method's abscissae.
#[must_use]
pub(super) fn abscissae() -> [f64; 3] {
    let root = 6.0_f64.sqrt();
    [(4.0 - root) / 10.0, (4.0 + root) / 10.0, 1.0]
}

/// The method's matrix (Hairer and Wanner, Solving Ordinary Differential Equations II, table IV.5.6); its last row are the weights.
pub(super) fn matrix() -> Matrix3<f64> {
    let r = 6.0_f64.sqrt();
    Matrix3::new(
        (88.0 - 7.0 * r) / 360.0,
        (296.0 - 169.0 * r) / 1800.0,
        (-2.0 + 3.0 * r) / 225.0,
        (296.0 + 169.0 * r) / 1800.0,
        (88.0 + 7.0 * r) / 360.0,
        (-2.0 - 3.0 * r) / 225.0,
        (16.0 - r) / 36.0,
        (16.0 + r) / 36.0,
        1.0 / 9.0,
    )
}

/// A step's length and the values of all sources at its stages.
#[derive(Clone, Debug)]
pub(super) struct Drive {
    pub(super) length: f64,
    pub(super) sources: [Vec<f64>; 3],
}

/// Why a step was not made.
#[derive(Clone, Copy, Debug)]
pub(super) enum Trouble {
    /// Newton's method did not converge; the unknown that moved most.
    TryShorter(usize),
    Singular(Singular),
}

/// Factors with what they belong to: the step's length and all slopes that can change.
struct Factored {
    key: Vec<f64>,
    solver: Solver<f64>,
}

/// Solves steps; unknowns of the stages one behind the other.
pub(super) struct Radau {
    /// The inverse of the method's matrix.
    pub(super) d: Matrix3<f64>,
    /// Sums of its rows.
    pub(super) e: [f64; 3],
    kept: Vec<Factored>,
    /// Those that are in use, and those that are given up next.
    current: usize,
    oldest: usize,
    key: Vec<f64>,
    size: usize,
    residual: Vec<f64>,
    charges: Vec<f64>,
}

impl Radau {
    pub(super) fn new(size: usize) -> Self {
        // Radau's matrix is regular; the fallback is never met.
        let d = matrix().try_inverse().unwrap_or_else(Matrix3::identity);
        let e = [0, 1, 2].map(|row| d.row(row).sum());
        Self {
            d,
            e,
            kept: vec![Factored { key: Vec::new(), solver: Solver::new(3 * size) }],
            current: 0,
            oldest: 0,
            key: Vec::new(),
            size,
            residual: vec![0.0; 3 * size],
            charges: vec![0.0; 3 * size],
        }
    }

    /// Solves a step from the charges `before`; `stages` holds the guess and then the result.
    pub(super) fn solve(
        &mut self,
        system: &System<'_>,
        drive: &Drive,
        before: &[f64],
        scales: &[f64],
        stages: &mut [f64],
    ) -> Result<(), Trouble> {
        let size = self.size;
        let (mut worst, mut last) = (0, f64::INFINITY);
        for _ in 0..MOST_ITERATIONS {
            self.residuals(system, drive, before, stages);
            self.factor(system, drive, stages).map_err(Trouble::Singular)?;
            self.kept[self.current].solver.solve(&mut self.residual);
            self.residual.iter_mut().for_each(|update| *update = -*update);
            let mut share = 1.0f64;
            for stage in 0..3 {
                let range = stage * size..(stage + 1) * size;
                let source = |index: usize| drive.sources[stage][index];
                let update = &self.residual[range.clone()];
                share = share.min(system.equations.share_of_update(&stages[range], update, source));
            }
            let mut change = 0.0;
            for (index, (value, update)) in stages.iter_mut().zip(&self.residual).enumerate() {
                *value += share * update;
                let relative = update.abs() / scales[index % size];
                if relative > change || relative.is_nan() {
                    (change, worst) = (relative, index % size);
                }
            }
            let stagnant = change >= STAGNANT.0 * last && change <= STAGNANT.1;
            if share == 1.0 && (change <= CLOSE || stagnant) {
                return Ok(());
            }
            if change.is_nan() {
                break;
            }
            last = change;
        }
        Err(Trouble::TryShorter(worst))
    }

    fn residuals(&mut self, system: &System<'_>, drive: &Drive, before: &[f64], stages: &[f64]) {
        let size = self.size;
        for stage in 0..3 {
            let range = stage * size..(stage + 1) * size;
            system.charges(&stages[range.clone()], &mut self.charges[range.clone()]);
            system.currents(&stages[range.clone()], &drive.sources[stage], &mut self.residual[range]);
        }
        for stage in 0..3 {
            for (index, before) in before.iter().enumerate() {
                let slope: f64 = (0..3)
                    .map(|other| self.d[(stage, other)] * (self.charges[other * size + index] - before))
                    .sum();
                self.residual[stage * size + index] += slope / drive.length;
            }
        }
    }

    /// Factors the equations' slopes at the stages, unless the factors are those already.
    pub(super) fn factor(
        &mut self,
        system: &System<'_>,
        drive: &Drive,
        stages: &[f64],
    ) -> Result<(), Singular> {
        let size = self.size;
        self.key.clear();
        self.key.push(drive.length);
        for stage in 0..3 {
            system.key(&stages[stage * size..(stage + 1) * size], &drive.sources[stage], &mut self.key);
        }
        let wanted = &self.key;
        let same = |kept: &Factored| {
            kept.key.len() == wanted.len()
                && (kept.key[0] - wanted[0]).abs() <= SAME_STEP * wanted[0]
                && kept.key[1..] == wanted[1..]
        };
        if let Some(known) = self.kept.iter().position(same) {
            self.current = known;
            return Ok(());
        }
        self.current = self.slot();
        let Factored { key, solver } = &mut self.kept[self.current];
        key.clone_from(&self.key);
        let stamps = solver.stamps();
        for column in 0..3 {
            let x = &stages[column * size..(column + 1) * size];
            for row in 0..3 {
                let mut block = Block { matrix: &mut *stamps, row: row * size, column: column * size };
                system.charge_slopes(x, self.d[(row, column)] / drive.length, &mut block);
                if row == column {
                    system.current_slopes(x, &drive.sources[column], &mut block);
                }
            }
        }
        let factored = solver.factor();
        if factored.is_err() {
            key.clear();
        }
        factored
    }

    /// A place for new factors: a copy of the first, whose pattern is theirs, while there is room; else the oldest.
    fn slot(&mut self) -> usize {
        let most = if self.size < LARGE { MOST_KEPT } else { 2 };
        if self.kept[0].key.is_empty() {
            return 0;
        }
        if self.kept.len() < most {
            self.kept.push(Factored { key: Vec::new(), solver: self.kept[0].solver.clone() });
            return self.kept.len() - 1;
        }
        self.oldest = (self.oldest + 1) % self.kept.len();
        self.oldest
    }

    fn solver(&self) -> &Solver<f64> {
        &self.kept[self.current].solver
    }

    /// How a small change of the charges before a step changes its stages; [`Self::factor`] comes first.
    pub(super) fn tangent(&self, drive: &Drive, before: &[f64], stages: &mut [f64]) {
        for stage in 0..3 {
            for (value, charge) in stages[stage * self.size..].iter_mut().zip(before) {
                *value = self.e[stage] / drive.length * charge;
            }
        }
        self.solver().solve(stages);
    }

    /// The adjoint of a step: from the negative weights of its stages to the multipliers; [`Self::factor`] comes first.
    pub(super) fn adjoint(&self, stages: &mut [f64]) {
        self.solver().solve_transposed(stages);
    }
}

/// out += C v at a point, or C' v.
pub(super) fn charge_product(system: &System<'_>, x: &[f64], v: &[f64], transposed: bool, out: &mut [f64]) {
    system.charge_slopes(x, 1.0, &mut Product { v, out, transposed });
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The simplifying assumption C(3): sum_j a_ij c_j^(k-1) = c_i^k / k, which with the abscissae defines the method.
    #[test]
    fn the_coefficients_are_those_of_collocation() {
        let (c, a) = (abscissae(), matrix());
        for (row, abscissa) in c.iter().enumerate() {
            for k in 1..=3 {
                let sum: f64 = (0..3).map(|column| a[(row, column)] * c[column].powi(k - 1)).sum();
                assert!((sum - abscissa.powi(k) / f64::from(k)).abs() < 1e-15, "{row} {k}");
            }
        }
    }
}
