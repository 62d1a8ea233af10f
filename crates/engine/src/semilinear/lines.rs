//! Loads that go from one straight stretch of their law to another on the way.

use super::reference::Reference;
use super::walk::{Leg, Point, Semilinear};
use crate::exact::{Settled, energy_scale, is_near, lines_where};
use crate::failure::Failure;
use crate::snapshot::{Line, Snapshot};
use nalgebra::DVector;
use std::rc::Rc;

/// Times that lines are looked up again after a change: each may move the voltage of the others.
const MOST_ROUNDS: usize = 20;

impl<'e, 'n> Semilinear<'_, 'e, 'n> {
    /// Watches loads everywhere from now on, not only where something is drawn.
    pub(crate) fn watch(&mut self) {
        self.watchful = true;
    }

    /// Takes the lines on which the loads are.
    pub(super) fn settle(
        &mut self,
        point: &mut Point,
        values: &[f64],
        slopes: &[f64],
    ) -> Result<Settled, Failure> {
        let equations = self.base.equations;
        if equations.loads.is_empty() {
            return Ok(Settled::OnLines);
        }
        for _ in 0..MOST_ROUNDS {
            self.choose_reference(&point.x)?;
            let reference = Rc::clone(&self.current);
            let here = Point { at: 0.0, ..point.clone() };
            let voltages = self.load_voltages(&reference, &self.leg(0.0, 0.0, values, slopes), &here);
            let lines = lines_where(equations, &self.base.lines, &voltages, values);
            let Some(lines) = lines else { return Ok(Settled::Nowhere) };
            if lines == self.base.lines {
                return Ok(Settled::OnLines);
            }
            if !self.change_to(lines, point, values)? {
                return Ok(Settled::Nowhere);
            }
        }
        Ok(Settled::Nowhere)
    }

    /// Puts the loads on other lines and rewrites the state for them. Tells whether all currents and voltages stay where they are.
    pub(super) fn change_to(
        &mut self,
        lines: Vec<Line>,
        point: &mut Point,
        values: &[f64],
    ) -> Result<bool, Failure> {
        let whole = |base: &Snapshot<'_, '_>, y: &DVector<f64>, scale: &DVector<f64>| {
            base.complete(y.component_div(scale).as_slice(), &base.extend(values))
        };
        let state = whole(&self.base, &point.y, &self.scale);
        let base = Snapshot::with_slopes(self.base.equations, lines, self.base.slopes().clone())?;
        let same_states = base.storage.free_inductors == self.base.storage.free_inductors
            && base.storage.free_capacitors == self.base.storage.free_capacitors;
        self.scale = energy_scale(&base);
        point.y = DVector::from_vec(base.free(&state)).component_mul(&self.scale);
        let near = is_near(&whole(&base, &point.y, &self.scale), &state);
        self.base = Rc::new(base);
        if !same_states {
            self.seen = point.y.iter().map(|value| (*value, *value)).collect();
            self.swings = vec![0.0; point.y.len()];
        }
        self.choose_reference(&point.x)?;
        let now = DVector::from_vec(self.base.extend(values));
        point.x = self.ports_of(&point.y, &now);
        Ok(near)
    }

    pub(super) fn on_lines(&self, reference: &Reference<'e, 'n>, leg: &Leg, rows: &DVector<f64>) -> bool {
        let loads = self.base.equations.loads.iter().zip(&self.base.lines).enumerate();
        loads.into_iter().all(|(k, (load, line))| {
            let law = load.law(|source| leg.sources[source]);
            line.holds(law, rows[reference.reduced.load_rows + k])
        })
    }
}
