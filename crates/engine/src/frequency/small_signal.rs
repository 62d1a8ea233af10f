//! The complex equations of a network around a bias.

use crate::equations::{Ends, Equations, stamp_current, stamp_transconductance, stamp_voltage};
use crate::linear::{Assembly, Factors, Singular, Stamp, minimum_degree};
use crate::snapshot::Slopes;
use nalgebra::Complex;

/// From this capacitance in farad on, a capacitor's current is an unknown of its own. A battery's slow pair of farads is a thousand million
/// siemens at 30 MHz: as the difference of two rounded node voltages times that, its current would lose its digits.
const LARGE: f64 = 1e-2;

/// Slopes of all laws.
pub(super) struct Linear {
    /// Of the loads, in siemens.
    pub(super) conductances: Vec<f64>,
    pub(super) storage: Slopes,
}

/// The laws' slopes at a bias, and the factors of their equations.
pub(super) struct SmallSignal<'e, 'n> {
    equations: &'e Equations<'n>,
    /// Ends, controlling nodes, conductance.
    conductances: Vec<(Ends, Ends, f64)>,
    storage: Slopes,
    /// Ends and capacitances of capacitors whose currents are unknowns, behind all others.
    large: Vec<(Ends, f64)>,
    assembly: Assembly<Complex<f64>>,
    order: Vec<usize>,
    factors: Option<Factors<Complex<f64>>>,
}

impl<'e, 'n> SmallSignal<'e, 'n> {
    pub(super) fn new(equations: &'e Equations<'n>, linear: Linear) -> Self {
        let resistors = equations.resistors.iter().map(|(ends, conductance)| (*ends, *ends, *conductance));
        let loads = equations.loads.iter().zip(linear.conductances);
        let loads = loads.map(|(load, conductance)| (load.ends, load.control, conductance));
        let capacitors = equations.capacitors.iter().zip(&linear.storage.capacitances);
        let large: Vec<(Ends, f64)> = capacitors
            .filter(|(_, capacitance)| **capacitance >= LARGE)
            .map(|((ends, _), capacitance)| (*ends, *capacitance))
            .collect();
        Self {
            equations,
            conductances: resistors.chain(loads).collect(),
            storage: linear.storage,
            assembly: Assembly::new(equations.size() + large.len()),
            large,
            order: Vec::new(),
            factors: None,
        }
    }

    /// Solves (G + j omega C) x = b in place for each right side, at an angular frequency in rad/s.
    pub(super) fn solve(
        &mut self,
        omega: f64,
        right_sides: &mut [Vec<Complex<f64>>],
    ) -> Result<(), Singular> {
        self.stamp(omega);
        let (size, large) = (self.equations.size(), &self.large);
        let (matrix, _) = self.assembly.finish();
        if self.order.is_empty() {
            self.order = minimum_degree(matrix);
        }
        let kept = self.factors.take().and_then(|mut factors| factors.refactor(matrix).then_some(factors));
        let factors = match kept {
            Some(factors) => factors,
            None => Factors::new(matrix, &self.order).map_err(|singular| told(singular, size, large))?,
        };
        for right in right_sides {
            right.resize(size + large.len(), Complex::new(0.0, 0.0));
            let wanted = right.clone();
            factors.solve(right);
            // Pivots that were chosen at another frequency may have become small: one refinement brings the digits back.
            let reached = matrix.times(right);
            let mut rest: Vec<Complex<f64>> =
                wanted.iter().zip(reached).map(|(wanted, reached)| wanted - reached).collect();
            factors.solve(&mut rest);
            right.iter_mut().zip(rest).for_each(|(value, rest)| *value += rest);
            right.truncate(size);
        }
        self.factors = Some(factors);
        Ok(())
    }

    /// Solves (G + j omega C) x = b, and the transposed system for y, all unknowns included that large capacitors bring.
    pub(super) fn solve_both(
        &mut self,
        omega: f64,
        x: &mut Vec<Complex<f64>>,
        y: &mut Vec<Complex<f64>>,
    ) -> Result<(), Singular> {
        self.stamp(omega);
        let whole = self.equations.size() + self.large.len();
        let (matrix, _) = self.assembly.finish();
        let factors = Factors::new(matrix, &minimum_degree(matrix))?;
        for right in [&mut *x, &mut *y] {
            right.resize(whole, Complex::new(0.0, 0.0));
        }
        factors.solve(x);
        factors.solve_transposed(y);
        Ok(())
    }

    /// (G + j omega C) x.
    pub(super) fn times(&mut self, omega: f64, x: &[Complex<f64>]) -> Vec<Complex<f64>> {
        self.stamp(omega);
        self.assembly.finish().0.times(x)
    }

    /// Always in the same order, so that the pattern is searched once.
    fn stamp(&mut self, omega: f64) {
        let equations = self.equations;
        let matrix = &mut self.assembly;
        matrix.clear();
        for (ends, control, conductance) in &self.conductances {
            stamp_transconductance(*ends, *control, Complex::new(*conductance, 0.0), matrix);
        }
        let capacitors = equations.capacitors.iter().zip(&self.storage.capacitances);
        for ((ends, _), capacitance) in capacitors.filter(|(_, capacitance)| **capacitance < LARGE) {
            stamp_transconductance(*ends, *ends, Complex::new(0.0, omega * capacitance), matrix);
        }
        for (k, (ends, capacitance)) in self.large.iter().enumerate() {
            let unknown = equations.size() + k;
            let susceptance = Complex::new(0.0, omega * capacitance);
            // v - i / (j omega C) = 0, or j omega C v - i = 0 down to standing still.
            let (voltage, current) = if susceptance.im > 1.0 {
                (Complex::new(1.0, 0.0), -susceptance.inv())
            } else {
                (susceptance, Complex::new(-1.0, 0.0))
            };
            stamp_current(*ends, unknown, Complex::new(1.0, 0.0), matrix);
            stamp_voltage(*ends, unknown, voltage, matrix);
            matrix.add(unknown, unknown, current);
        }
        for (k, (ends, _)) in equations.voltage_sources.iter().enumerate() {
            incidence(*ends, equations.source_current(k), matrix);
        }
        for (k, (ends, _)) in equations.inductors.iter().enumerate() {
            let unknown = equations.inductor_current(k);
            incidence(*ends, unknown, matrix);
            matrix.add(unknown, unknown, Complex::new(0.0, -omega * self.storage.inductances[k]));
        }
        for (core, inductance) in equations.cores.iter().zip(&self.storage.cores) {
            core.stamp(
                -omega * inductance,
                |k| equations.inductor_current(k),
                |row, column, value| {
                    matrix.add(row, column, Complex::new(0.0, value));
                },
            );
        }
    }
}

/// A branch whose current is an unknown: it leaves the left node, and its equation begins with the branch's voltage.
fn incidence(ends: Ends, unknown: usize, matrix: &mut impl Stamp<Complex<f64>>) {
    let one = Complex::new(1.0, 0.0);
    for (node, sign) in [(ends.left, one), (ends.right, -one)] {
        if node > 0 {
            matrix.add(node - 1, unknown, sign);
            matrix.add(unknown, node - 1, sign);
        }
    }
}

/// The column in terms of the network's own unknowns, of which there are `size`: a large capacitor's current is told by one of its nodes.
fn told(singular: Singular, size: usize, large: &[(Ends, f64)]) -> Singular {
    let ends = singular.column.checked_sub(size).and_then(|index| large.get(index));
    ends.map_or(singular, |(ends, _)| Singular { column: ends.left.max(ends.right).saturating_sub(1) })
}
