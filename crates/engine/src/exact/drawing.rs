//! Drawing the probes' waveforms over one leg: it is halved until parabolas fit, and until no load leaves its line unseen.

use super::propagator::{Level, Propagator};
use super::reduced::{Made, Reduced};
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

impl Leg {
    /// Slopes of all rows at the start of the leg, from its state there.
    pub(super) fn first_slopes(&self, reduced: &Reduced, state: &DVector<f64>) -> DVector<f64> {
        let mut slopes = &reduced.rows.state * (&reduced.a * state + &self.constant);
        slopes.gemv(1.0, &reduced.rows.sources, &self.slopes, 1.0);
        slopes
    }
}

/// Tolerances, filters and observer.
pub(super) type View<'a> = (&'a [f64], &'a mut Filters, &'a mut dyn Observer);

/// A cubic that departs by e from the parabola at its quarters has a slope at its start that departs by 10.7 e over the stretch; twice
/// that is let pass. What rings only at the start of a leg, and is over before the first quarter, shows in the slope alone.
const SLOPE_TO_QUARTER: f64 = 21.3;
/// A voltage in volt this close to the end of a stretch counts as touching it.
const TOUCHING: f64 = 1e-9;
/// Points tried to find where a load leaves its line, within this part of the finest step.
const MOST_TRIES: usize = 40;
const CLOSE_ENOUGH: f64 = 1e-6;
/// Where a long stretch is looked at besides its quarters, in parts of 64.
const GUARDS: [u8; 4] = [11, 26, 39, 57];
/// A load counts as safe on its stretch while its voltage is this many times farther from the end than its parabola is from it.
const SAFE: f64 = 4.0;

/// One leg on its way to the observer.
pub(super) struct Drawing<'a, 'e, 'n> {
    pub(super) regime: &'a Regime<'e, 'n>,
    pub(super) leg: &'a Leg,
    /// `None` where only loads are watched.
    pub(super) view: Option<View<'a>>,
    /// Slope of each row at the leg's start, per second.
    pub(super) first_slopes: DVector<f64>,
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
    /// Laws do not jump, so that the end may lie a little beyond the knee.
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
        let five = [first, &early, middle, &late, last];
        if finest || (on_lines && self.is_safe(five) && self.fits(five) && self.is_guarded(level, five)) {
            if on_lines {
                self.emit(first, &early, middle);
                self.emit(middle, &late, last);
                return None;
            }
            let in_time = [&early, middle].into_iter().find(|point| !self.on_lines(&[point]));
            let (from, beyond) = match in_time {
                Some(beyond) => (first, beyond),
                None => {
                    self.emit(first, &early, middle);
                    (middle, if self.on_lines(&[&late]) { last } else { &late })
                }
            };
            let exit = self.crossing(from, beyond);
            let half = self.after(from, 0.5 * (exit.at - from.at));
            self.emit(from, &half, &exit);
            return Some(exit);
        }
        self.halve(level + 1, first, &early, middle).or_else(|| self.halve(level + 1, middle, &late, last))
    }

    /// How far a waveform is from the parabola through the first, the middle and the last of five points: at the quarters, and by its
    /// slope at the start of the leg.
    fn misfit(&self, five: [&Point; 5], slope: Option<f64>, value: impl Fn(&Point) -> f64) -> f64 {
        let [a, early, m, late, b] = five.map(value);
        let expected_early = 0.375 * a + 0.75 * m - 0.125 * b;
        let expected_late = -0.125 * a + 0.75 * m + 0.375 * b;
        let at_quarters = (early - expected_early).abs().max((late - expected_late).abs());
        let length = five[4].at - five[0].at;
        let expected_slope = 4.0 * m - 3.0 * a - b;
        let at_start =
            slope.filter(|_| five[0].at == 0.0).map_or(0.0, |slope| slope * length - expected_slope);
        at_quarters.max(at_start.abs() / SLOPE_TO_QUARTER)
    }

    /// The point `later` seconds after another, by a propagator of its own.
    fn after(&self, from: &Point, later: f64) -> Point {
        let propagator = Propagator::new(&self.regime.reduced.a, later, 0);
        let mut slope = &self.leg.constant + &self.leg.growing * from.at;
        slope.gemv(1.0, &self.regime.reduced.a, &from.state, 1.0);
        let state = propagator.whole().apply(&from.state, &slope, &self.leg.growing);
        self.point(from.at + later, state)
    }

    /// The first point found at which a load is off its line, between one on its line and one that is not: by false position with
    /// halved weights (the Illinois rule; Dowell and Jarratt, BIT 11, 1971).
    fn crossing(&self, from: &Point, beyond: &Point) -> Point {
        let snapshot = &self.regime.snapshot;
        let row = |k: usize| self.regime.reduced.load_rows + k;
        let left = |k: &usize| {
            let law = snapshot.equations.loads[*k].law(|source| self.leg.sources[source]);
            !snapshot.lines[*k].holds(law, beyond.rows[row(*k)])
        };
        let Some(k) = (0..snapshot.lines.len()).find(left) else { return beyond.clone() };
        let (low, high) = self.regime.ranges[k];
        let over = |point: &Point| (point.rows[row(k)] - high).max(low - point.rows[row(k)]);
        let mut found = beyond.clone();
        let (mut inside, mut outside) = (0.0, beyond.at - from.at);
        let (mut at_inside, mut at_outside) = (over(from), over(beyond));
        for _ in 0..MOST_TRIES {
            if at_inside >= 0.0 || outside - inside <= CLOSE_ENOUGH * (beyond.at - from.at) {
                break;
            }
            let tried = outside - at_outside * (outside - inside) / (at_outside - at_inside);
            let point = self.after(from, tried);
            if self.on_lines(&[&point]) {
                (inside, at_inside) = (tried, over(&point).min(0.0));
                at_outside *= 0.5;
            } else {
                (outside, at_outside) = (tried, over(&point));
                at_inside *= 0.5;
                found = point;
            }
        }
        found
    }

    /// Whether the parabolas through first, middle and last are as close as is asked for.
    fn fits(&self, five: [&Point; 5]) -> bool {
        let Some((tolerances, _, _)) = &self.view else { return true };
        let reduced = &self.regime.reduced;
        (0..reduced.made.len()).all(|index| {
            let slope = match reduced.made[index] {
                Made::Row(row) => Some(self.first_slopes[row]),
                _ => None,
            };
            self.misfit(five, slope, |point| reduced.probe(index, &point.rows)) <= tolerances[index]
        })
    }

    /// Whether every load stays on its line between the points too: its voltage, known as well as its parabola tells, keeps away from
    /// the ends of the stretch.
    fn is_safe(&self, five: [&Point; 5]) -> bool {
        let regime = self.regime;
        regime.ranges.iter().enumerate().all(|(k, (low, high))| {
            if low.is_infinite() && high.is_infinite() {
                return true;
            }
            let row = regime.reduced.load_rows + k;
            let voltage = |point: &Point| point.rows[row];
            let doubt = SAFE * self.misfit(five, Some(self.first_slopes[row]), voltage);
            let values = five.map(voltage);
            is_inside(values.map(|value| value - low), doubt)
                && is_inside(values.map(|value| high - value), doubt)
        })
    }

    /// Looks at a stretch in which a mode can swing more than a quarter of its period at points that have no common measure with
    /// its quarters: five points that a swing passes alike each time would not show it.
    fn is_guarded(&self, level: usize, five: [&Point; 5]) -> bool {
        let regime = self.regime;
        let length = five[4].at - five[0].at;
        let swings = length * regime.fastest_swing() > std::f64::consts::FRAC_PI_2;
        if !swings || level + 5 >= self.leg.propagator.levels.len() {
            return true;
        }
        GUARDS.iter().all(|sixty_fourths| {
            let mut point = five[0].clone();
            // A half of the stretch is one step of `level`.
            for bit in 0..6 {
                if sixty_fourths & (32 >> bit) != 0 {
                    point = self.step(&point, level + bit);
                }
            }
            let x = f64::from(*sixty_fourths) / 64.0;
            let departure = |value: &dyn Fn(&Point) -> f64| {
                let [a, _, m, _, b] = five.map(value);
                let parabola = a + x * ((4.0 * m - 3.0 * a - b) + x * 2.0 * (a + b - 2.0 * m));
                (value(&point) - parabola).abs()
            };
            let close = self.view.as_ref().is_none_or(|(tolerances, _, _)| {
                (0..tolerances.len()).all(|index| {
                    departure(&|it| regime.reduced.probe(index, &it.rows)) <= 2.0 * tolerances[index]
                })
            });
            let safe = regime.ranges.iter().enumerate().all(|(k, (low, high))| {
                let row = regime.reduced.load_rows + k;
                let voltage = point.rows[row];
                let doubt = SAFE * departure(&|it| it.rows[row]);
                (low.is_infinite() || voltage - doubt > *low - TOUCHING)
                    && (high.is_infinite() || voltage + doubt < *high + TOUCHING)
            });
            close && safe && self.on_lines(&[&point])
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

/// Whether a distance, known at five points in a row and in between as well as its parabola tells, stays above 0. It may begin there.
fn is_inside(gaps: [f64; 5], doubt: f64) -> bool {
    let [a, _, m, _, b] = gaps;
    if a.is_infinite() {
        return true;
    }
    // What stands at the end of its stretch does not leave it.
    if gaps.into_iter().all(|gap| gap.abs() <= TOUCHING) {
        return true;
    }
    let (slope, bend) = (4.0 * m - 3.0 * a - b, 2.0 * (a + b - 2.0 * m));
    let turn = -slope / (2.0 * bend);
    let turned = if turn > 0.0 && turn < 1.0 { a + turn * (slope + turn * bend) } else { f64::INFINITY };
    let later = gaps[1..].iter().copied().fold(turned, f64::min) > doubt;
    later && (a > doubt || (a.abs() <= TOUCHING && slope > 0.0))
}
