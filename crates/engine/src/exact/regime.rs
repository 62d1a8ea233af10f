//! A network while every load keeps to one straight stretch of its law.

use super::propagator::{FINER_LEVELS, MOST_KINDS, Propagator, SAME_DURATION};
use super::reduced::{Reduced, energy_scale};
use crate::equations::Equations;
use crate::failure::Failure;
use crate::integrator::Work;
use crate::probes::Probes;
use crate::snapshot::{Line, Snapshot, State};
use nalgebra::DVector;
use std::cell::{OnceCell, RefCell};
use std::collections::HashMap;
use std::rc::Rc;

/// The network on given lines, with what moves its state.
pub(crate) struct Regime<'e, 'n> {
    pub(crate) snapshot: Snapshot<'e, 'n>,
    pub(crate) reduced: Reduced,
    /// From which voltage to which each load keeps to its line.
    pub(super) ranges: Vec<(f64, f64)>,
    fastest_swing: OnceCell<f64>,
    propagators: RefCell<HashMap<u64, Rc<Propagator>>>,
}

impl<'e, 'n> Regime<'e, 'n> {
    pub(crate) fn new(snapshot: Snapshot<'e, 'n>, probes: &Probes<'e, 'n>) -> Self {
        let reduced = Reduced::new(&snapshot, probes, energy_scale(&snapshot), &[]);
        let loads = snapshot.equations.loads.iter().zip(&snapshot.lines);
        let ranges = loads.map(|(load, line)| load.range(*line)).collect();
        Self { snapshot, reduced, ranges, fastest_swing: OnceCell::new(), propagators: RefCell::default() }
    }

    /// Angular frequency in rad/s of the mode that swings fastest; 0 where none does.
    pub(super) fn fastest_swing(&self) -> f64 {
        *self.fastest_swing.get_or_init(|| {
            let a = &self.reduced.a;
            if a.is_empty() {
                return 0.0;
            }
            a.complex_eigenvalues().iter().map(|value| value.im.abs()).fold(0.0, f64::max)
        })
    }

    /// The propagator over a duration in seconds that may come again.
    pub(super) fn propagator(&self, duration: f64, work: &mut Work) -> Rc<Propagator> {
        let key = (duration / SAME_DURATION).round() as u64;
        let mut propagators = self.propagators.borrow_mut();
        if propagators.len() > MOST_KINDS {
            propagators.clear();
        }
        let made = propagators.entry(key).or_insert_with(|| {
            work.factorizations += 1;
            Rc::new(Propagator::new(&self.reduced.a, duration, FINER_LEVELS))
        });
        Rc::clone(made)
    }

    /// All currents and voltages from the scaled independent ones.
    pub(crate) fn state(&self, y: &DVector<f64>, sources: &[f64]) -> State {
        let free = y.component_div(&self.reduced.scale);
        self.snapshot.complete(free.as_slice(), &self.snapshot.extend(sources))
    }

    /// The scaled independent part of a state.
    pub(crate) fn scaled(&self, state: &State) -> DVector<f64> {
        DVector::from_vec(self.snapshot.free(state)).component_mul(&self.reduced.scale)
    }

    /// Voltages that control the loads.
    pub(super) fn load_voltages(&self, y: &DVector<f64>, sources: &[f64], slopes: &[f64]) -> Vec<f64> {
        let sources = DVector::from_vec(self.snapshot.extend(sources));
        let slopes = DVector::from_vec(self.snapshot.extend_slopes(slopes));
        let rows = self.reduced.values(y, &sources, &slopes);
        rows.as_slice()[self.reduced.load_rows..].to_vec()
    }
}

/// The lines on which all loads are at given voltages, those of `now` kept while they hold; `None` where a law is bent.
pub(crate) fn lines_where(
    equations: &Equations<'_>,
    now: &[Line],
    voltages: &[f64],
    sources: &[f64],
) -> Option<Vec<Line>> {
    let line = |(k, voltage): (usize, &f64)| {
        let load = &equations.loads[k];
        let law = load.law(|source| sources[source]);
        let straight = law.straight(*voltage)?;
        // Both lines of a switch hold where no voltage lies across it: which of them it is on, time alone tells.
        let kept = now.get(k).filter(|line| !load.is_switch() && line.holds(law, *voltage)).copied();
        Some(kept.unwrap_or(Line { conductance: straight.conductance, offset: straight.offset }))
    };
    voltages.iter().enumerate().map(line).collect()
}

/// Regimes that were met, and the one that holds.
pub(crate) struct Regimes<'p, 'e, 'n> {
    probes: &'p Probes<'e, 'n>,
    known: Vec<Rc<Regime<'e, 'n>>>,
    pub(crate) now: Rc<Regime<'e, 'n>>,
}

/// Regimes that are remembered at a time.
const MOST_REGIMES: usize = 64;
/// Times that lines are looked up again after a change: each may move the voltage of the others.
const MOST_ROUNDS: usize = 20;

/// Part of the greatest current or voltage by which a state may move where loads change lines: the step that ends beyond a knee is
/// shorter than a thousandth of every time constant.
const MOVED: f64 = 1e-3;

/// Whether all currents and voltages stay where they are: a load that holds its current can't be fed by an inductance that carries
/// another.
pub(crate) fn is_near(one: &State, other: &State) -> bool {
    [(&one.currents, &other.currents), (&one.voltages, &other.voltages)].into_iter().all(|(one, other)| {
        let greatest = other.iter().fold(0.0f64, |greatest, value| greatest.max(value.abs()));
        one.iter().zip(other).all(|(one, other)| (one - other).abs() <= MOVED * greatest + f64::MIN_POSITIVE)
    })
}

/// Whether the loads' lines are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Settled {
    /// They are.
    OnLines,
    /// A law is bent where its load works, or no set of lines agrees with itself.
    Nowhere,
}

impl<'p, 'e, 'n> Regimes<'p, 'e, 'n> {
    pub(crate) fn new(probes: &'p Probes<'e, 'n>, snapshot: Snapshot<'e, 'n>) -> Self {
        let now = Rc::new(Regime::new(snapshot, probes));
        Self { probes, known: vec![Rc::clone(&now)], now }
    }

    /// Takes the lines on which the loads are, and rewrites the state `y` for them.
    pub(crate) fn settle(
        &mut self,
        y: &mut DVector<f64>,
        sources: &[f64],
        slopes: &[f64],
    ) -> Result<Settled, Failure> {
        let equations = self.now.snapshot.equations;
        if equations.loads.is_empty() {
            return Ok(Settled::OnLines);
        }
        for _ in 0..MOST_ROUNDS {
            let voltages = self.now.load_voltages(y, sources, slopes);
            let lines = lines_where(equations, &self.now.snapshot.lines, &voltages, sources);
            let Some(lines) = lines else { return Ok(Settled::Nowhere) };
            if lines == self.now.snapshot.lines {
                return Ok(Settled::OnLines);
            }
            let state = self.now.state(y, sources);
            self.change_to(lines, &state)?;
            *y = self.now.scaled(&state);
            if !is_near(&self.now.state(y, sources), &state) {
                return Ok(Settled::Nowhere);
            }
        }
        Ok(Settled::Nowhere)
    }

    fn change_to(&mut self, lines: Vec<Line>, state: &State) -> Result<(), Failure> {
        if let Some(known) = self.known.iter().find(|known| known.snapshot.lines == lines) {
            self.now = Rc::clone(known);
            return Ok(());
        }
        if self.known.len() >= MOST_REGIMES {
            self.known.clear();
        }
        let snapshot = Snapshot::new(self.now.snapshot.equations, lines, state)?;
        self.now = Rc::new(Regime::new(snapshot, self.probes));
        self.known.push(Rc::clone(&self.now));
        Ok(())
    }

    /// Goes back to a regime that was met before.
    pub(crate) fn take(&mut self, regime: &Rc<Regime<'e, 'n>>) {
        self.now = Rc::clone(regime);
    }
}
