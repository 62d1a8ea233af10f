//! Drawing the probes' waveforms over one leg: it is halved until parabolas fit, and until no load leaves its line unseen.

use super::propagator::{Level, Propagator};
use super::regime::Regime;
use crate::filter::Filters;
use crate::observe::{Observer, Stretch};
use nalgebra::{DMatrix, DVector};
use std::rc::Rc;

/// A stretch between two corners with what drives it.
pub(super) struct Leg {
    pub(super) start: f64,
    pub(super) end: f64,
    pub(super) propagator: Rc<Propagator>,
    /// Extended sources at the start …
    pub(super) sources: DVector<f64>,
    /// … and their slopes.
    pub(super) slopes: DVector<f64>,
    pub(super) constant: DVector<f64>,
    pub(super) growing: DVector<f64>,
}

impl Leg {
    /// The state at the end of the leg.
    pub(super) fn over(&self, a: &DMatrix<f64>, state: &DVector<f64>) -> DVector<f64> {
        self.propagator.whole().apply(state, &(a * state + &self.constant), &self.growing)
    }
}

/// Tolerances, filters and observer.
pub(super) type View<'a> = (&'a [f64], &'a mut Filters, &'a mut dyn Observer);

/// One leg on its way to the observer.
pub(super) struct Drawing<'a, 'e, 'n> {
    pub(super) regime: &'a Regime<'e, 'n>,
    pub(super) leg: &'a Leg,
    /// `None` where only loads are watched.
    pub(super) view: Option<View<'a>>,
}

/// State and rows at one time of a leg, `at` seconds from its start.
#[derive(Clone)]
pub(super) struct Point {
    pub(super) at: f64,
    pub(super) state: DVector<f64>,
    rows: DVector<f64>,
}

impl Drawing<'_, '_, '_> {
    /// Draws from the leg's start to its end; where a load leaves its line before, only up to there: that point.
    ///
    /// Laws do not jump, so that the finest step, far below every time constant, may end beyond the knee.
    pub(super) fn follow(mut self, start: &DVector<f64>, end: &DVector<f64>) -> Option<Point> {
        let first = self.point(0.0, start.clone());
        let last = self.point(self.leg.end - self.leg.start, end.clone());
        let middle = self.step(&first, 1);
        let exit = self.halve(1, &first, &middle, &last)?;
        let length = self.leg.end - self.leg.start;
        (exit.at < length * (1.0 - 1e-12)).then_some(exit)
    }

    fn point(&self, at: f64, state: DVector<f64>) -> Point {
        let sources = &self.leg.sources + &self.leg.slopes * at;
        let rows = self.regime.reduced.values(&state, &sources, &self.leg.slopes);
        Point { at, state, rows }
    }

    /// The point one step of `level` later.
    fn step(&self, from: &Point, level: usize) -> Point {
        let level: &Level = &self.leg.propagator.levels[level];
        let mut slope = &self.leg.constant + &self.leg.growing * from.at;
        slope.gemv(1.0, &self.regime.reduced.a, &from.state, 1.0);
        let state = level.apply(&from.state, &slope, &self.leg.growing);
        self.point(from.at + level.step, state)
    }

    /// Cuts the stretch from `first` to `last` (each half is a step of `level`) until it is drawn well; where a load leaves its
    /// line, the point just behind that.
    fn halve(&mut self, level: usize, first: &Point, middle: &Point, last: &Point) -> Option<Point> {
        let early = self.step(first, level + 1);
        let late = self.step(middle, level + 1);
        let finest = level + 2 >= self.leg.propagator.levels.len();
        let on_lines = self.on_lines(&[&early, middle, &late, last]);
        if finest || (on_lines && self.fits(first, &early, middle, &late, last)) {
            self.emit(first, &early, middle);
            if !on_lines && !self.on_lines(&[&early, middle]) {
                return Some(middle.clone());
            }
            self.emit(middle, &late, last);
            return (!on_lines).then(|| last.clone());
        }
        self.halve(level + 1, first, &early, middle).or_else(|| self.halve(level + 1, middle, &late, last))
    }

    /// Whether the parabola through first, middle and last meets both quarter points.
    fn fits(&self, first: &Point, early: &Point, middle: &Point, late: &Point, last: &Point) -> bool {
        let Some((tolerances, _, _)) = &self.view else { return true };
        let reduced = &self.regime.reduced;
        (0..reduced.made.len()).all(|index| {
            let value = |point: &Point| reduced.probe(index, &point.rows);
            let (a, m, b) = (value(first), value(middle), value(last));
            let expected_early = 0.375 * a + 0.75 * m - 0.125 * b;
            let expected_late = -0.125 * a + 0.75 * m + 0.375 * b;
            let error = (value(early) - expected_early).abs().max((value(late) - expected_late).abs());
            error <= tolerances[index]
        })
    }

    fn emit(&mut self, first: &Point, middle: &Point, last: &Point) {
        let Some((_, filters, observer)) = &mut self.view else { return };
        let reduced = &self.regime.reduced;
        let values: Vec<[f64; 3]> = (0..reduced.made.len())
            .map(|index| [first, middle, last].map(|point| reduced.probe(index, &point.rows)))
            .collect();
        let length = self.leg.propagator.levels[0].step;
        let time = |at: f64| if at >= length * (1.0 - 1e-12) { self.leg.end } else { self.leg.start + at };
        let stretch = Stretch { start: time(first.at), end: time(last.at), values: &values };
        if stretch.end > stretch.start {
            filters.pass(&stretch, *observer);
        }
    }

    /// Whether every load is still where its line holds.
    fn on_lines(&self, points: &[&Point]) -> bool {
        let snapshot = &self.regime.snapshot;
        let loads = snapshot.equations.loads.iter().zip(&snapshot.lines).enumerate();
        loads.into_iter().all(|(k, (load, line))| {
            let law = load.law(|source| self.leg.sources[source]);
            points.iter().all(|point| line.holds(law, point.rows[self.regime.reduced.load_rows + k]))
        })
    }
}
