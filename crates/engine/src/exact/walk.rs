//! Walking a network of straight lines from corner to corner, and finding its periodic steady state.

use super::drawing::{Drawing, Leg};
use super::modes::states_of_mode;
use super::propagator::{FINER_LEVELS, Propagator, one_norm};
use super::regime::{Regime, Regimes, Settled};
use crate::clock::Clock;
use crate::failure::Failure;
use crate::filter::Filters;
use crate::integrator::Work;
use crate::observe::Observer;
use crate::probes::Probes;
use crate::snapshot::{Snapshot, State};
use nalgebra::{DMatrix, DVector};
use std::rc::Rc;

/// A mode that loses less than this a period never settles.
const UNDAMPED: f64 = 1e-11;
/// Changes of lines after which a walk is given up: a load that chatters around a knee.
const MOST_CHANGES: usize = 100_000;

/// A mode has died away after so many of its time constants …
const FORGOTTEN: f64 = 40.0;
/// … and is let die unseen where that takes no longer than this, in seconds: nothing in a vehicle happens in a picosecond.
const LONGEST_MOMENT: f64 = 1e-12;
const SHORTEST_MOMENT: f64 = 1e-15;

/// How a walk ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// All of it was walked, all loads on the lines they began on.
    Done,
    /// All of it was walked; loads went from one straight stretch of their law to another.
    Changed,
    /// A load came to where its law is bent, so this road does not hold.
    LeftLine,
}

/// What is done with the waveforms of a walk.
pub(crate) enum Look<'a> {
    /// The least and the greatest values are noted.
    Extremes(&'a mut Extremes),
    /// They are drawn.
    Draw {
        /// Time in seconds before which nothing is drawn.
        from: f64,
        /// Departure allowed between each probe's waveform and its parabolas.
        tolerances: &'a [f64],
        filters: &'a mut Filters,
        observer: &'a mut dyn Observer,
    },
}

/// Least and greatest values at the ends of legs.
pub(crate) struct Extremes {
    probes: Vec<(f64, f64)>,
    rounding: Vec<f64>,
    states: Vec<(f64, f64)>,
    /// Whether numbers hold all that was seen.
    finite: bool,
}

/// A network of straight lines on its way.
pub(crate) struct Walk<'p, 'e, 'n> {
    pub(crate) regimes: Regimes<'p, 'e, 'n>,
    probe_count: usize,
    /// Values of the sources at the end of the last walk.
    end_sources: Vec<f64>,
    pub(crate) work: Work,
}

impl<'p, 'e, 'n> Walk<'p, 'e, 'n> {
    pub(crate) fn new(snapshot: Snapshot<'e, 'n>, probes: &'p Probes<'e, 'n>) -> Self {
        let probe_count = probes.list().len();
        Self {
            regimes: Regimes::new(probes, snapshot),
            probe_count,
            end_sources: Vec::new(),
            work: Work::default(),
        }
    }

    /// Walks from scaled state `y` at time 0 to `span` and leaves the last state there, in terms of the last regime.
    pub(crate) fn travel(
        &mut self,
        y: &mut DVector<f64>,
        span: f64,
        look: &mut Look<'_>,
    ) -> Result<Outcome, Failure> {
        let waveforms = self.regimes.now.snapshot.equations.sources.clone();
        let mut clock = Clock::new(&waveforms, 0.0);
        let first = Rc::clone(&self.regimes.now);
        let (mut changes, mut changed) = (0, false);
        while clock.time < span {
            if self.regimes.settle(y, &clock.values, &clock.slopes)? == Settled::Nowhere {
                return Ok(Outcome::LeftLine);
            }
            let corner = clock.next_corner(span);
            let mut at = clock.time;
            while let Some(exit) = self.pass(&clock, at, corner, y, look) {
                at += exit;
                changes += 1;
                let mut values = vec![0.0; clock.values.len()];
                clock.values_at(at, &mut values);
                let settled = self.regimes.settle(y, &values, &clock.slopes)?;
                if settled == Settled::Nowhere || changes > MOST_CHANGES {
                    return Ok(Outcome::LeftLine);
                }
                at += self.relax(&clock, at, corner, y);
            }
            changed |= !Rc::ptr_eq(&first, &self.regimes.now);
            let regime = Rc::clone(&self.regimes.now);
            if let Look::Extremes(extremes) = look
                && !extremes.finite
            {
                return Err(regime.snapshot.unbounded(corner, y.as_slice()));
            }
            let mut late = vec![0.0; clock.values.len()];
            clock.values_at(corner, &mut late);
            if clock.advance(corner) {
                let [before, after] =
                    [&late, &clock.values].map(|values| DVector::from_vec(regime.snapshot.extend(values)));
                regime.snapshot.keep_charge(&regime.reduced.scale, y, &before, &after);
            }
        }
        self.end_sources.clone_from(&clock.values);
        Ok(if changed { Outcome::Changed } else { Outcome::Done })
    }

    /// Lets pass, unseen, what the step beyond the knee has left: a current of picoamperes in an inductance that a blocking diode
    /// interrupts is kilovolts for attoseconds. Gives the time in seconds that this takes.
    fn relax(&mut self, clock: &Clock<'_>, at: f64, corner: f64, y: &mut DVector<f64>) -> f64 {
        let regime = Rc::clone(&self.regimes.now);
        let rate = one_norm(&regime.reduced.a);
        let moment = (FORGOTTEN / rate).clamp(SHORTEST_MOMENT, LONGEST_MOMENT);
        if at + moment >= corner || !moment.is_finite() {
            return 0.0;
        }
        let leg = self.leg(&regime, clock, at, at + moment);
        *y = leg.over(&regime.reduced.a, y);
        moment
    }

    /// Walks from a time towards the next corner. Where a load leaves its line before, the walk ends there: how many seconds
    /// later that is.
    fn pass(
        &mut self,
        clock: &Clock<'_>,
        at: f64,
        corner: f64,
        y: &mut DVector<f64>,
        look: &mut Look<'_>,
    ) -> Option<f64> {
        let regime = Rc::clone(&self.regimes.now);
        let leg = self.leg(&regime, clock, at, corner);
        self.work.steps += 1;
        let end = leg.over(&regime.reduced.a, y);
        let start = y.clone();
        let slopes = || leg.first_slopes(&regime.reduced, &start);
        let loads = !regime.snapshot.equations.loads.is_empty();
        let exit = match look {
            Look::Extremes(extremes) => {
                let drawing = Drawing { regime: &regime, leg: &leg, view: None, first_slopes: slopes() };
                let exit = if loads { drawing.follow(y, &end) } else { None };
                let (last, after) = exit.as_ref().map_or((&end, corner - at), |exit| (&exit.state, exit.at));
                extremes.note(&regime, &leg, y, last, after);
                exit
            }
            Look::Draw { from, tolerances, filters, observer } => {
                if corner > *from {
                    let observer: &mut dyn Observer = &mut **observer;
                    let view = Some((*tolerances, &mut **filters, observer));
                    Drawing { regime: &regime, leg: &leg, view, first_slopes: slopes() }.follow(y, &end)
                } else if loads {
                    Drawing { regime: &regime, leg: &leg, view: None, first_slopes: slopes() }.follow(y, &end)
                } else {
                    None
                }
            }
        };
        match exit {
            Some(exit) => {
                self.work.rejections += 1;
                *y = exit.state;
                Some(exit.at)
            }
            None => {
                *y = end;
                None
            }
        }
    }

    fn leg(&mut self, regime: &Regime<'_, '_>, clock: &Clock<'_>, at: f64, corner: f64) -> Leg {
        let duration = corner - at;
        let propagator = if at == clock.time {
            regime.propagator(duration, &mut self.work)
        } else {
            // What is left of a leg after a change of lines does not come again.
            self.work.factorizations += 1;
            Rc::new(Propagator::new(&regime.reduced.a, duration, FINER_LEVELS))
        };
        let mut values = vec![0.0; clock.values.len()];
        clock.values_at(at, &mut values);
        let sources = DVector::from_vec(regime.snapshot.extend(&values));
        let slopes = DVector::from_vec(regime.snapshot.extend_slopes(&clock.slopes));
        let constant = &regime.reduced.b * &sources + &regime.reduced.e * &slopes;
        let growing = &regime.reduced.b * &slopes;
        Leg { start: at, end: corner, propagator, sources, slopes, constant, growing }
    }

    /// The state that repeats after `period`, while all loads stay on the lines of the present regime.
    pub(crate) fn steady_state(&mut self, period: f64) -> Result<DVector<f64>, Failure> {
        let regime = Rc::clone(&self.regimes.now);
        let a = &regime.reduced.a;
        let states = a.nrows();
        let mut transition = DMatrix::identity(states, states);
        let mut offset = DVector::zeros(states);
        let waveforms = regime.snapshot.equations.sources.clone();
        let mut clock = Clock::new(&waveforms, 0.0);
        while clock.time < period {
            let corner = clock.next_corner(period);
            let leg = self.leg(&regime, &clock, clock.time, corner);
            transition = leg.propagator.whole().transition() * &transition;
            offset = leg.over(a, &offset);
            let late = &leg.sources + &leg.slopes * (leg.end - leg.start);
            if clock.advance(corner) {
                let now = DVector::from_vec(regime.snapshot.extend(&clock.values));
                regime.snapshot.keep_charge(&regime.reduced.scale, &mut offset, &late, &now);
            }
        }
        if states == 0 {
            return Ok(offset);
        }
        refuse_undamped(&regime, &transition)?;
        let matrix = DMatrix::identity(states, states) - transition;
        self.work.factorizations += 1;
        self.work.solves += 1;
        matrix.full_piv_lu().solve(&offset).ok_or_else(|| unsettled(&regime, Vec::new()))
    }

    /// Carries charge and flux from the sources just before t = 0 to those just after.
    pub(crate) fn jump_at_start(&self, state: &mut DVector<f64>, before: &DVector<f64>) {
        let regime = &self.regimes.now;
        let clock = Clock::new(&regime.snapshot.equations.sources, 0.0);
        let after = DVector::from_vec(regime.snapshot.extend(&clock.values));
        regime.snapshot.keep_charge(&regime.reduced.scale, state, before, &after);
    }

    /// The state at the end of the last walk in terms of another regime.
    pub(crate) fn seen_from(&self, regime: &Rc<Regime<'e, 'n>>, end: &DVector<f64>) -> DVector<f64> {
        if Rc::ptr_eq(regime, &self.regimes.now) {
            return end.clone();
        }
        regime.scaled(&self.regimes.now.state(end, &self.end_sources))
    }

    /// Goes over `0 .. span` from a state and comes back to the regime where it began.
    pub(crate) fn survey(&mut self, y: &DVector<f64>, span: f64) -> Result<Survey, Failure> {
        let first = Rc::clone(&self.regimes.now);
        let mut extremes = Extremes::new(self.probe_count, &first);
        let mut end = y.clone();
        let outcome = self.travel(&mut end, span, &mut Look::Extremes(&mut extremes))?;
        end = self.seen_from(&first, &end);
        self.regimes.take(&first);
        Ok(Survey { outcome, extremes, end })
    }
}

/// What a walk came to without being drawn.
pub(crate) struct Survey {
    pub(crate) outcome: Outcome,
    pub(crate) extremes: Extremes,
    /// The last state, in terms of the regime in which the walk began.
    pub(crate) end: DVector<f64>,
}

/// How long until every mode of a regime has fallen below `fraction`, found by doubling; at most `limit` seconds, and what is left
/// of the slowest then.
pub(crate) fn settling_time(regime: &Regime<'_, '_>, fraction: f64, limit: f64) -> (f64, f64) {
    let shortest = Propagator::new(&regime.reduced.a, 1e-9, 0);
    let mut transition = shortest.whole().transition();
    let mut time = 1e-9;
    while transition.norm() > fraction && time < limit {
        transition = &transition * &transition;
        time *= 2.0;
    }
    (time.min(limit), transition.norm())
}

pub(super) fn refuse_undamped(regime: &Regime<'_, '_>, transition: &DMatrix<f64>) -> Result<(), Failure> {
    let finite = |state: &usize| transition.row(*state).iter().all(|value| value.is_finite());
    let (held, beyond): (Vec<usize>, Vec<usize>) = (0..transition.nrows()).partition(finite);
    if held.len() < transition.nrows() {
        return Err(unsettled(regime, beyond));
    }
    let lasting =
        transition.complex_eigenvalues().iter().copied().find(|value| value.norm() > 1.0 - UNDAMPED);
    let Some(value) = lasting else { return Ok(()) };
    Err(unsettled(regime, states_of_mode(transition, value)))
}

pub(super) fn unsettled(regime: &Regime<'_, '_>, states: Vec<usize>) -> Failure {
    let part = |state| regime.snapshot.part_of_free(state);
    Failure::NoSteadyState { parts: states.into_iter().map(part).collect(), nodes: Vec::new() }
}

impl Extremes {
    fn new(probes: usize, regime: &Regime<'_, '_>) -> Self {
        let equations = regime.snapshot.equations;
        let nothing = (f64::INFINITY, f64::NEG_INFINITY);
        Self {
            probes: vec![nothing; probes],
            rounding: vec![f64::MIN_POSITIVE; probes],
            states: vec![nothing; equations.states()],
            finite: true,
        }
    }

    /// Takes note of the start of a leg and of its state `after` seconds.
    fn note(
        &mut self,
        regime: &Regime<'_, '_>,
        leg: &Leg,
        start: &DVector<f64>,
        end: &DVector<f64>,
        after: f64,
    ) {
        let reduced = &regime.reduced;
        let late = &leg.sources + &leg.slopes * after;
        for (y, u) in [(start, &leg.sources), (end, &late)] {
            let rows = reduced.values(y, u, &leg.slopes);
            for (index, rounded) in reduced.rounding(y, u, &leg.slopes).into_iter().enumerate() {
                let value = reduced.probe(index, &rows);
                self.finite &= value.is_finite();
                widen(&mut self.probes[index], value);
                self.rounding[index] = self.rounding[index].max(rounded);
            }
            let count = regime.snapshot.equations.sources.len();
            let State { currents, voltages } = regime.state(y, &u.as_slice()[..count]);
            for (seen, value) in self.states.iter_mut().zip(currents.into_iter().chain(voltages)) {
                self.finite &= value.is_finite();
                widen(seen, value);
            }
        }
    }

    /// Departure allowed between each probe's waveform and its parabolas: a share of its swing, and never below rounding.
    pub(crate) fn tolerances(&self, share: f64) -> Vec<f64> {
        let swings = self.probes.iter().map(|(least, greatest)| greatest - least);
        swings.zip(&self.rounding).map(|(swing, rounding)| (share * swing).max(*rounding)).collect()
    }

    /// Least and greatest value of each current and voltage of the state, as that of a regime sees its independent ones.
    pub(crate) fn units(&self, regime: &Regime<'_, '_>) -> DVector<f64> {
        // Its swing, or a small part of its value.
        let unit = |(least, greatest): &(f64, f64)| {
            (greatest - least).max(1e-5 * greatest.abs().max(least.abs()) + 1e-9)
        };
        let units: Vec<f64> = self.states.iter().map(unit).collect();
        let (currents, voltages) = units.split_at(regime.snapshot.equations.inductors.len());
        regime.scaled(&State { currents: currents.to_vec(), voltages: voltages.to_vec() })
    }
}

fn widen(seen: &mut (f64, f64), value: f64) {
    *seen = (seen.0.min(value), seen.1.max(value));
}
