//! The complex equations of a network around a resting point.

use crate::equations::{Ends, Equations, across, stamp_transconductance};
use crate::linear::{Assembly, Factors, Singular, Stamp, minimum_degree};
use nalgebra::Complex;

/// Conductances, capacitances and inductances at the resting point, and the factors of their equations.
pub(super) struct SmallSignal<'e, 'n> {
    equations: &'e Equations<'n>,
    /// Ends, controlling nodes, conductance.
    conductances: Vec<(Ends, Ends, f64)>,
    capacitances: Vec<(Ends, f64)>,
    inductances: Vec<f64>,
    cores: Vec<f64>,
    assembly: Assembly<Complex<f64>>,
    order: Vec<usize>,
    factors: Option<Factors<Complex<f64>>>,
}

impl<'e, 'n> SmallSignal<'e, 'n> {
    /// Takes the slope of every law at the unknowns of a resting point.
    pub(super) fn new(equations: &'e Equations<'n>, x: &[f64], source: impl Fn(usize) -> f64 + Copy) -> Self {
        let loads = equations.loads.iter().map(|load| {
            let law = load.law(source);
            (load.ends, load.control, law.conductance(across(load.control, x)))
        });
        let capacitors = equations.capacitors.iter();
        let inductors = equations.inductors.iter().enumerate();
        Self {
            equations,
            conductances: equations
                .resistors
                .iter()
                .map(|(ends, conductance)| (*ends, *ends, *conductance))
                .chain(loads)
                .collect(),
            capacitances: capacitors.map(|(ends, law)| (*ends, law.capacitance(across(*ends, x)))).collect(),
            inductances: inductors
                .map(|(k, (_, law))| law.inductance(x[equations.inductor_current(k)]))
                .collect(),
            cores: equations
                .cores
                .iter()
                .map(|core| core.law.inductance(core.current(|k| x[equations.inductor_current(k)])))
                .collect(),
            assembly: Assembly::new(equations.size()),
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
        let (matrix, _) = self.assembly.finish();
        if self.order.is_empty() {
            self.order = minimum_degree(matrix);
        }
        let kept = self.factors.take().and_then(|mut factors| factors.refactor(matrix).then_some(factors));
        let factors = match kept {
            Some(factors) => factors,
            None => Factors::new(matrix, &self.order)?,
        };
        for right in right_sides {
            let wanted = right.clone();
            factors.solve(right);
            // Pivots that were chosen at another frequency may have become small: one refinement brings the digits back.
            let reached = matrix.times(right);
            let mut rest: Vec<Complex<f64>> =
                wanted.iter().zip(reached).map(|(wanted, reached)| wanted - reached).collect();
            factors.solve(&mut rest);
            right.iter_mut().zip(rest).for_each(|(value, rest)| *value += rest);
        }
        self.factors = Some(factors);
        Ok(())
    }

    /// Always in the same order, so that the pattern is searched once.
    fn stamp(&mut self, omega: f64) {
        let equations = self.equations;
        let matrix = &mut self.assembly;
        matrix.clear();
        for (ends, control, conductance) in &self.conductances {
            stamp_transconductance(*ends, *control, Complex::new(*conductance, 0.0), matrix);
        }
        for (ends, capacitance) in &self.capacitances {
            stamp_transconductance(*ends, *ends, Complex::new(0.0, omega * capacitance), matrix);
        }
        for (k, (ends, _)) in equations.voltage_sources.iter().enumerate() {
            incidence(*ends, equations.source_current(k), matrix);
        }
        for (k, (ends, _)) in equations.inductors.iter().enumerate() {
            let unknown = equations.inductor_current(k);
            incidence(*ends, unknown, matrix);
            matrix.add(unknown, unknown, Complex::new(0.0, -omega * self.inductances[k]));
        }
        for (core, inductance) in equations.cores.iter().zip(&self.cores) {
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
