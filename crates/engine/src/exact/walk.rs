//! Walking a linear network from corner to corner, and finding its periodic steady state.

use super::modes::states_of_mode;
use super::propagator::{FINER_LEVELS, Level, MOST_KINDS, Propagator, SAME_DURATION};
use super::reduced::Reduced;
use crate::clock::Clock;
use crate::failure::Failure;
use crate::filter::Filters;
use crate::observe::{Observer, Stretch};
use crate::snapshot::{Line, Snapshot};
use nalgebra::{DMatrix, DVector};
use network::waveform::Waveform;
use std::collections::HashMap;
use std::rc::Rc;

/// A mode that loses less than this a period never settles.
const UNDAMPED: f64 = 1e-11;

/// How a walk ended.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Outcome {
    /// All of it was walked.
    Done,
    /// A load left the line it was taken for, so this road does not hold.
    LeftLine,
}

/// A linear network on its way.
pub(crate) struct Walk<'s, 'e, 'n> {
    snapshot: &'s Snapshot<'e, 'n>,
    reduced: &'s Reduced,
    propagators: HashMap<u64, Rc<Propagator>>,
}

/// A stretch between two corners with what drives it.
struct Leg {
    start: f64,
    end: f64,
    propagator: Rc<Propagator>,
    sources: DVector<f64>,
    slopes: DVector<f64>,
    constant: DVector<f64>,
    growing: DVector<f64>,
}

impl Leg {
    /// The state at the end of the leg.
    fn over(&self, a: &DMatrix<f64>, state: &DVector<f64>) -> DVector<f64> {
        self.propagator.whole().apply(state, &(a * state + &self.constant), &self.growing)
    }
}

impl<'s, 'e, 'n> Walk<'s, 'e, 'n> {
    pub(crate) fn new(snapshot: &'s Snapshot<'e, 'n>, reduced: &'s Reduced) -> Self {
        Self { snapshot, reduced, propagators: HashMap::new() }
    }

    /// Calls `visit` for each leg of `0 .. span` in turn.
    fn legs(&mut self, span: f64, mut visit: impl FnMut(&Leg, bool) -> Outcome) -> Outcome {
        let waveforms: Vec<&Waveform> = self.snapshot.equations.sources.clone();
        let mut clock = Clock::new(&waveforms, 0.0);
        let mut jumped = false;
        while clock.time < span {
            let end = clock.next_corner(span);
            let leg = self.leg(&clock, end);
            if visit(&leg, jumped) == Outcome::LeftLine {
                return Outcome::LeftLine;
            }
            jumped = clock.advance(end);
        }
        Outcome::Done
    }

    fn leg(&mut self, clock: &Clock<'_>, end: f64) -> Leg {
        let duration = end - clock.time;
        let key = (duration / SAME_DURATION).round() as u64;
        let a = &self.reduced.a;
        if self.propagators.len() > MOST_KINDS {
            self.propagators.clear();
        }
        let propagator = self.propagators.entry(key);
        let propagator = propagator.or_insert_with(|| Rc::new(Propagator::new(a, duration, FINER_LEVELS)));
        let sources = DVector::from_vec(self.snapshot.extend(&clock.values));
        let slopes = DVector::from_vec(self.snapshot.extend_slopes(&clock.slopes));
        let constant = &self.reduced.b * &sources + &self.reduced.e * &slopes;
        let growing = &self.reduced.b * &slopes;
        Leg { start: clock.time, end, propagator: Rc::clone(propagator), sources, slopes, constant, growing }
    }

    /// The state that repeats after `period`.
    pub(crate) fn steady_state(&mut self, period: f64) -> Result<DVector<f64>, Failure> {
        let a = &self.reduced.a;
        let states = a.nrows();
        let mut transition = DMatrix::identity(states, states);
        let mut offset = DVector::zeros(states);
        self.legs(period, |leg, _| {
            transition = leg.propagator.whole().transition() * &transition;
            offset = leg.over(a, &offset);
            Outcome::Done
        });
        if states == 0 {
            return Ok(offset);
        }
        self.refuse_undamped(&transition)?;
        let matrix = DMatrix::identity(states, states) - transition;
        matrix.full_piv_lu().solve(&offset).ok_or_else(|| self.unsettled(Vec::new()))
    }

    fn refuse_undamped(&self, transition: &DMatrix<f64>) -> Result<(), Failure> {
        let lasting =
            transition.complex_eigenvalues().iter().copied().find(|value| value.norm() > 1.0 - UNDAMPED);
        let Some(value) = lasting else { return Ok(()) };
        Err(self.unsettled(states_of_mode(transition, value)))
    }

    fn unsettled(&self, states: Vec<usize>) -> Failure {
        let part = |state| self.snapshot.part_of_free(state);
        Failure::NoSteadyState { parts: states.into_iter().map(part).collect(), nodes: Vec::new() }
    }

    /// How long until every mode has fallen below `fraction`, found by doubling; at most `limit` seconds, and what is left of the
    /// slowest then.
    pub(crate) fn settling_time(&self, fraction: f64, limit: f64) -> (f64, f64) {
        let shortest = Propagator::new(&self.reduced.a, 1e-9, 0);
        let mut transition = shortest.whole().transition();
        let mut time = 1e-9;
        while transition.norm() > fraction && time < limit {
            transition = &transition * &transition;
            time *= 2.0;
        }
        (time.min(limit), transition.norm())
    }

    /// Walks from `state` to `span`, hands every probe's waveform from `observe_from` on through the filters to the observer,
    /// and leaves the last state in `state`.
    pub(crate) fn walk(
        &mut self,
        state: &mut DVector<f64>,
        span: f64,
        observe_from: f64,
        tolerances: &[f64],
        filters: &mut Filters,
        observer: &mut dyn Observer,
    ) -> Outcome {
        let (snapshot, reduced) = (self.snapshot, self.reduced);
        let mut before: Option<DVector<f64>> = None;
        self.legs(span, |leg, jumped| {
            if jumped && let Some(before) = &before {
                snapshot.keep_charge(&reduced.scale, state, before, &leg.sources);
            }
            before = Some(&leg.sources + &leg.slopes * (leg.end - leg.start));
            let end = leg.over(&reduced.a, state);
            let mut outcome = Outcome::Done;
            if leg.end > observe_from {
                let mut drawing =
                    Drawing { reduced, lines: &snapshot.lines, leg, tolerances, filters, observer };
                outcome = drawing.draw(state, &end, snapshot);
            }
            *state = end;
            outcome
        })
    }

    /// Carries charge and flux from the sources just before t = 0 to those just after.
    pub(crate) fn jump_at_start(&self, state: &mut DVector<f64>, before: &DVector<f64>) {
        let clock = Clock::new(&self.snapshot.equations.sources, 0.0);
        let after = DVector::from_vec(self.snapshot.extend(&clock.values));
        self.snapshot.keep_charge(&self.reduced.scale, state, before, &after);
    }

    /// Departure allowed between each probe's waveform and its parabolas: a share of its swing over the corners of `0 .. span`,
    /// and never below rounding.
    pub(crate) fn tolerances(&mut self, state: &DVector<f64>, span: f64, share: f64) -> Vec<f64> {
        let reduced = self.reduced;
        let count = reduced.made.len();
        let (mut least, mut greatest) = (vec![f64::INFINITY; count], vec![f64::NEG_INFINITY; count]);
        let mut rounding = vec![f64::MIN_POSITIVE; count];
        let mut state = state.clone();
        self.legs(span, |leg, _| {
            let end = leg.over(&reduced.a, &state);
            let late = &leg.sources + &leg.slopes * (leg.end - leg.start);
            for (y, u) in [(&state, &leg.sources), (&end, &late)] {
                let rows = reduced.values(y, u, &leg.slopes);
                let rounded = reduced.rounding(y, u, &leg.slopes);
                for index in 0..count {
                    let value = reduced.probe(index, &rows);
                    least[index] = least[index].min(value);
                    greatest[index] = greatest[index].max(value);
                    rounding[index] = rounding[index].max(rounded[index]);
                }
            }
            state = end;
            Outcome::Done
        });
        (0..count).map(|index| (share * (greatest[index] - least[index])).max(rounding[index])).collect()
    }
}

/// Draws the probes' waveforms over one leg: halves it until parabolas fit.
struct Drawing<'a> {
    reduced: &'a Reduced,
    lines: &'a [Line],
    leg: &'a Leg,
    tolerances: &'a [f64],
    filters: &'a mut Filters,
    observer: &'a mut dyn Observer,
}

/// State and rows at one time of a leg, `at` seconds from its start.
#[derive(Clone)]
struct Point {
    at: f64,
    state: DVector<f64>,
    rows: DVector<f64>,
}

impl Drawing<'_> {
    fn draw(&mut self, start: &DVector<f64>, end: &DVector<f64>, snapshot: &Snapshot<'_, '_>) -> Outcome {
        let length = self.leg.end - self.leg.start;
        let first = self.point(0.0, start.clone());
        let last = self.point(length, end.clone());
        let middle = self.step(&first, 1);
        if !self.on_lines(snapshot, &[&first, &middle, &last]) {
            return Outcome::LeftLine;
        }
        self.halve(1, &first, &middle, &last);
        Outcome::Done
    }

    fn point(&self, at: f64, state: DVector<f64>) -> Point {
        let sources = &self.leg.sources + &self.leg.slopes * at;
        let rows = self.reduced.values(&state, &sources, &self.leg.slopes);
        Point { at, state, rows }
    }

    /// The point one step of `level` later.
    fn step(&self, from: &Point, level: usize) -> Point {
        let level: &Level = &self.leg.propagator.levels[level];
        let mut slope = &self.leg.constant + &self.leg.growing * from.at;
        slope.gemv(1.0, &self.reduced.a, &from.state, 1.0);
        let state = level.apply(&from.state, &slope, &self.leg.growing);
        self.point(from.at + level.step, state)
    }

    /// Cuts the stretch from `first` to `last` (each half is a step of `level`) until it is drawn well.
    fn halve(&mut self, level: usize, first: &Point, middle: &Point, last: &Point) {
        let early = self.step(first, level + 1);
        let late = self.step(middle, level + 1);
        let finest = level + 2 >= self.leg.propagator.levels.len();
        if finest || self.fits(first, &early, middle, &late, last) {
            self.emit(first, &early, middle);
            self.emit(middle, &late, last);
        } else {
            self.halve(level + 1, first, &early, middle);
            self.halve(level + 1, middle, &late, last);
        }
    }

    /// Whether the parabola through first, middle and last meets both quarter points.
    fn fits(&self, first: &Point, early: &Point, middle: &Point, late: &Point, last: &Point) -> bool {
        (0..self.reduced.made.len()).all(|index| {
            let value = |point: &Point| self.reduced.probe(index, &point.rows);
            let (a, m, b) = (value(first), value(middle), value(last));
            let expected_early = 0.375 * a + 0.75 * m - 0.125 * b;
            let expected_late = -0.125 * a + 0.75 * m + 0.375 * b;
            let error = (value(early) - expected_early).abs().max((value(late) - expected_late).abs());
            error <= self.tolerances[index]
        })
    }

    fn emit(&mut self, first: &Point, middle: &Point, last: &Point) {
        let values: Vec<[f64; 3]> = (0..self.reduced.made.len())
            .map(|index| [first, middle, last].map(|point| self.reduced.probe(index, &point.rows)))
            .collect();
        let length = self.leg.propagator.levels[0].step;
        let time = |at: f64| if at >= length * (1.0 - 1e-12) { self.leg.end } else { self.leg.start + at };
        let stretch = Stretch { start: time(first.at), end: time(last.at), values: &values };
        if stretch.end > stretch.start {
            self.filters.pass(&stretch, self.observer);
        }
    }

    /// Whether every load is still where its line holds.
    fn on_lines(&self, snapshot: &Snapshot<'_, '_>, points: &[&Point]) -> bool {
        let loads = snapshot.equations.loads.iter().zip(self.lines).enumerate();
        loads.into_iter().all(|(k, (load, line))| {
            let law = load.law(|source| self.leg.sources[source]);
            points.iter().all(|point| line.holds(law, point.rows[self.reduced.load_rows + k]))
        })
    }
}
