//! Walking a network by steps whose error is controlled, from corner to corner.

use super::driven::{Driven, newton_tolerance};
use crate::clock::Clock;
use crate::equations::{Equations, Load, across};
use crate::failure::Failure;
use crate::integrator::{GAMMA, Integrator, NEWER, OLDER, Rule, StepFailure, Work};
use crate::observe::Stretch;
use crate::operating_point::state_of;
use crate::probes::Instant;
use crate::sink::Sink;
use crate::snapshot::{BEYOND, Snapshot, State, lines_at};

/// A swing below this fraction of the greatest current (or voltage) of all is not resolved further.
const LEAST_SWING: f64 = 1e-6;
/// Rounding in the estimate of the error, as a fraction of the greatest current (or voltage).
const ROUNDING: f64 = 1e-13;
/// Steps shorter than this many seconds mean that something is wrong: no part reacts within a femtosecond.
const LEAST_STEP: f64 = 1e-16;
/// Steps that short of a walk that are taken whatever their error. From rest a state moves with a power of time, of which a step's error is a
/// fixed part: it shrinks beside the swing only as the swing comes to be seen, not with the step.
const MOST_UNSEEN: usize = 10_000;
/// Share of the error allowed that one step may have: errors of a network that rings or grows add up over many periods.
const STEP_SHARE: f64 = 0.3;
/// First step after the very first corner, as a share of the stretch to the next corner.
const FIRST_SHARE: f64 = 1e-3;
/// Tangents tried for the loads just after a corner: from conducting to blocking a junction comes down by its thermal voltage each
/// time.
const MOST_ROUNDS: usize = 100;
/// Ratio of neighbouring steps of the ladder.
const RUNG: f64 = 1.189_207_115_002_721; // 2^(1/4)
/// Backward-Euler step in seconds that carries charge and flux over a jump of a source.
const JUMP_STEP: f64 = 1e-13;

/// A network on its way by steps.
pub(crate) struct Stepper<'e, 'n> {
    driven: Driven<'e, 'n>,
    integrator: Integrator,
    /// Error allowed to one step, as a fraction of a state's swing. Errors of order h^3 add up to order h^2, so accuracy to
    /// the power 3/2 keeps their sum in proportion to the accuracy.
    allowed: f64,
    /// Greatest less least value of each inductor current and capacitor voltage, over the last pass.
    swings: Vec<f64>,
    seen: Vec<(f64, f64)>,
    capacitor_currents: Vec<f64>,
    middle_capacitor_currents: Vec<f64>,
    first_step: f64,
    /// Steps of this walk that were taken whatever their error.
    unseen: usize,
    /// Whether no current or voltage of the state is bound to sources (as of the last corner).
    independent: bool,
}

impl<'e, 'n> Stepper<'e, 'n> {
    pub(crate) fn new(equations: &'e Equations<'n>, accuracy: f64) -> Self {
        let clock = Clock::new(&equations.sources, 0.0);
        let driven = Driven { equations, clock };
        let integrator = Integrator::new(&driven, 0.0, vec![0.0; equations.size()]);
        let states = equations.inductors.len() + equations.capacitors.len();
        Self {
            driven,
            integrator,
            allowed: STEP_SHARE * accuracy.powf(1.5),
            swings: vec![0.0; states],
            seen: Vec::new(),
            capacitor_currents: vec![0.0; equations.capacitors.len()],
            middle_capacitor_currents: vec![0.0; equations.capacitors.len()],
            first_step: 0.0,
            unseen: 0,
            independent: false,
        }
    }

    pub(crate) fn work(&self) -> Work {
        self.integrator.work
    }

    /// Greatest less least value of each state over the last walk: inductor currents, then capacitor voltages.
    pub(crate) fn swings(&self) -> &[f64] {
        &self.swings
    }

    /// How far the last walk decides each state: as far as Newton's method solves its steps for the greatest current or voltage, of
    /// which all others are differences.
    pub(crate) fn undecided(&self) -> Vec<f64> {
        let inductors = self.driven.equations.inductors.len();
        let greatest = self.greatest();
        let of = |index: usize| newton_tolerance(greatest[usize::from(index >= inductors)]);
        (0..self.seen.len()).map(of).collect()
    }

    /// The greatest current and the greatest voltage of a state so far.
    fn greatest(&self) -> [f64; 2] {
        let inductors = self.driven.equations.inductors.len();
        let mut greatest = [0.0f64; 2];
        for (index, (least, most)) in self.seen.iter().enumerate() {
            let group = &mut greatest[usize::from(index >= inductors)];
            *group = group.max(least.abs()).max(most.abs());
        }
        greatest
    }

    /// Gives voltages near those at the start, so that loads begin on the right line.
    pub(crate) fn guess(&mut self, unknowns: &[f64]) {
        self.integrator.x.copy_from_slice(unknowns);
    }

    /// Walks from `state` at time 0 to `span`. Returns the last state. Where sources may jump at the start, [`Self::guess`] must have
    /// told all as it is just before.
    pub(crate) fn walk(
        &mut self,
        state: &State,
        span: f64,
        jump_at_start: bool,
        mut sink: Option<Sink<'_, '_, '_>>,
    ) -> Result<State, Failure> {
        self.driven.clock = Clock::new(&self.driven.equations.sources, 0.0);
        self.integrator.time = 0.0;
        self.unseen = 0;
        self.seen = states(state).map(|value| (value, value)).collect();
        let before = jump_at_start.then(|| self.integrator.x.clone());
        self.settle_at_corner(state)?;
        if let Some(before) = before.filter(|_| !self.independent) {
            // What has been bound to the sources as they are now has forgotten the charges and fluxes that stay.
            self.integrator.x = before;
            self.jump()?;
        }
        while self.driven.clock.time < span {
            let corner = self.driven.clock.next_corner(span);
            self.walk_to_corner(corner, &mut sink)?;
            let jumped = self.driven.clock.advance(corner);
            self.integrator.time = corner;
            if jumped {
                self.jump()?;
            } else if corner < span {
                let state = self.state();
                self.settle_at_corner(&state)?;
            }
        }
        self.swings = self.seen.iter().map(|(least, greatest)| greatest - least).collect();
        Ok(self.state())
    }

    fn state(&self) -> State {
        state_of(self.driven.equations, &self.integrator.x)
    }

    /// Finds node voltages and source currents just after a corner from the state alone.
    fn settle_at_corner(&mut self, state: &State) -> Result<(), Failure> {
        let equations = self.driven.equations;
        let values = self.driven.clock.values.clone();
        let seen =
            |x: &[f64]| -> Vec<f64> { equations.loads.iter().map(|load| across(load.control, x)).collect() };
        let lines_where = |voltages: &[f64]| lines_at(equations, |k| voltages[k], |source| values[source]);
        let mut voltages = seen(&self.integrator.x);
        let mut lines = lines_where(&voltages);
        let mut settled = false;
        for _ in 0..MOST_ROUNDS {
            let snapshot = Snapshot::new(equations, lines.clone(), state)?;
            self.integrator.work.factorizations += 1;
            self.integrator.work.solves += 1;
            let sources = snapshot.extend(&self.driven.clock.values);
            let slopes = snapshot.extend_slopes(&self.driven.clock.slopes);
            let mut bound = state.clone();
            snapshot.bind(&mut bound, &sources);
            let solution = snapshot.solve(&bound, &sources, &slopes);
            self.independent = snapshot.storage.cuts.is_empty() && snapshot.storage.loops.is_empty();
            let layout = snapshot.layout();
            let x = &mut self.integrator.x;
            x[..layout.inductors].copy_from_slice(&solution.as_slice()[..layout.inductors]);
            x[layout.inductors..].copy_from_slice(&bound.currents);
            self.capacitor_currents.copy_from_slice(&solution.as_slice()[layout.capacitors..]);
            let mut limited = false;
            for ((load, voltage), next) in
                equations.loads.iter().zip(&mut voltages).zip(seen(&self.integrator.x))
            {
                let reached = load.law(|source| values[source]).limited(*voltage, next);
                limited |= reached != next;
                *voltage = reached;
            }
            let now = lines_where(&voltages);
            let moved = now.iter().zip(&lines).any(|(now, before)| {
                (now.conductance - before.conductance).abs() > 1e-9 * (now.conductance.abs() + 1e-12)
                    || (now.offset - before.offset).abs() > 1e-9 * (now.offset.abs() + 1e-9)
            });
            if !moved && !limited {
                settled = true;
                break;
            }
            lines = now;
        }
        if !settled {
            let steep = equations.loads.iter().max_by(|a, b| {
                let slope = |load: &Load| {
                    load.law(|source| values[source])
                        .conductance(across(load.control, &self.integrator.x))
                        .abs()
                };
                slope(a).total_cmp(&slope(b))
            });
            return Err(Failure::NoConvergence {
                time: Some(self.driven.clock.time),
                place: steep.map_or_else(String::new, |load| equations.part_of(load.ends)),
            });
        }
        self.integrator.restart(&self.driven);
        Ok(())
    }

    /// Carries charge and flux over a jump of a source: where storage is bound to sources, what jumps is divided among the parts, by one
    /// tiny backward-Euler step where their laws bend; elsewhere no state changes.
    fn jump(&mut self) -> Result<(), Failure> {
        if self.independent {
            return self.settle_at_corner(&self.state());
        }
        if self.driven.equations.storage_is_linear()
            && let Some(state) = self.after_jump()?
        {
            return self.settle_at_corner(&state);
        }
        let time = self.integrator.time;
        // It ends, and looks at the sources, just after the jump: an edge may follow in which they move far within such a step.
        self.integrator.time = time - JUMP_STEP;
        let attempt = self.integrator.attempt(&self.driven, Rule::BackwardEuler, JUMP_STEP);
        attempt.map_err(|failure| self.step_failed(failure))?;
        self.integrator.accept(JUMP_STEP);
        self.integrator.time = time;
        let state = self.state();
        self.settle_at_corner(&state)
    }

    /// The state just after a jump, of straight storage laws.
    fn after_jump(&self) -> Result<Option<State>, Failure> {
        let equations = self.driven.equations;
        let (before, values) = (self.state(), &self.driven.clock.values);
        // How storage is bound depends on no line.
        let voltage = |k: usize| across(equations.loads[k].control, &self.integrator.x);
        let lines = lines_at(equations, voltage, |source| values[source]);
        let snapshot = Snapshot::new(equations, lines, &before)?;
        let after = snapshot.extend(values);
        let free = snapshot.free_after_jump(&before, &after);
        Ok(free.map(|free| snapshot.complete(free.as_slice(), &after)))
    }

    fn walk_to_corner(&mut self, corner: f64, sink: &mut Option<Sink<'_, '_, '_>>) -> Result<(), Failure> {
        let length = corner - self.integrator.time;
        let mut step = if self.first_step > 0.0 { self.first_step.min(length) } else { FIRST_SHARE * length };
        let mut first = true;
        loop {
            let left = corner - self.integrator.time;
            // Two halves rather than a step and a crumb.
            let to_corner = step >= left * (1.0 - 1e-9);
            let tried = if to_corner {
                left
            } else if step > 0.5 * left {
                0.5 * left
            } else {
                step
            };
            let growth = match self.integrator.attempt(&self.driven, Rule::TrBdf2, tried) {
                Err(StepFailure::Singular) => return Err(self.step_failed(StepFailure::Singular)),
                Err(failure @ StepFailure::TryShorter(_)) => {
                    if tried < LEAST_STEP {
                        return Err(self.unbounded().unwrap_or_else(|| self.step_failed(failure)));
                    }
                    0.25
                }
                Ok(()) => {
                    let (error, worst) = self.error();
                    let unseen = error > 1.0 && tried < LEAST_STEP && self.may_pass(error, tried);
                    self.unseen += usize::from(unseen);
                    if error <= 1.0 || unseen {
                        let growth = (0.9 * error.max(1e-6).powf(-1.0 / 3.0)).clamp(0.3, 4.0);
                        if first && !unseen {
                            self.first_step = tried * growth;
                            first = false;
                        }
                        self.accept(tried, if to_corner { Some(corner) } else { None }, sink);
                        if to_corner {
                            return Ok(());
                        }
                        if unseen { 1.0 } else { growth }
                    } else {
                        self.integrator.reject();
                        if tried < LEAST_STEP {
                            return Err(self.unbounded().unwrap_or_else(|| self.too_small(worst)));
                        }
                        (0.9 * error.powf(-1.0 / 3.0)).clamp(0.1, 0.9)
                    }
                }
            };
            step = rung(tried * growth);
        }
    }

    fn accept(&mut self, step: f64, corner: Option<f64>, sink: &mut Option<Sink<'_, '_, '_>>) {
        let start_time = self.integrator.time;
        let end_time = corner.unwrap_or(start_time + step);
        if let Some(sink) = sink
            && end_time > sink.from
        {
            self.emit(step, start_time, end_time, sink);
        }
        self.integrator.accept(step);
        self.integrator.time = end_time;
        let equations = self.driven.equations;
        let x = &self.integrator.x;
        let currents = (0..equations.inductors.len()).map(|k| x[equations.inductor_current(k)]);
        let voltages = equations.capacitors.iter().map(|(ends, _)| across(*ends, x));
        for (seen, value) in self.seen.iter_mut().zip(currents.chain(voltages)) {
            seen.0 = seen.0.min(value);
            seen.1 = seen.1.max(value);
        }
    }

    /// Hands the step's waveforms on. Capacitor currents follow from the same formulas as the stages.
    fn emit(&mut self, step: f64, start_time: f64, end_time: f64, sink: &mut Sink<'_, '_, '_>) {
        let equations = self.driven.equations;
        let start_currents = self.capacitor_currents.clone();
        let weight = 0.5 * GAMMA * step;
        for (k, (ends, law)) in equations.capacitors.iter().enumerate() {
            let charge = |x: &[f64]| law.charge(across(*ends, x));
            let before = charge(&self.integrator.x);
            let middle = charge(&self.integrator.middle);
            let after = charge(self.integrator.proposed());
            self.middle_capacitor_currents[k] = (middle - before) / weight - start_currents[k];
            self.capacitor_currents[k] = (after - NEWER * middle + OLDER * before) / weight;
        }
        let mut sources = vec![0.0; equations.sources.len()];
        let mut see = |x: &[f64], currents: &[f64], time: f64| -> Vec<f64> {
            self.driven.clock.values_at(time, &mut sources);
            let first_inductor = equations.nodes + equations.voltage_sources.len();
            let instant = Instant {
                voltages: &x[..equations.nodes],
                source_currents: &x[equations.nodes..first_inductor],
                inductor_currents: &x[first_inductor..],
                capacitor_currents: currents,
                sources: &sources,
                lines: None,
            };
            sink.probes.list().iter().map(|probe| sink.probes.value(&probe.signal, &instant)).collect()
        };
        let start = see(&self.integrator.x, &start_currents, start_time);
        let at_gamma =
            see(&self.integrator.middle, &self.middle_capacitor_currents, start_time + GAMMA * step);
        let end = see(self.integrator.proposed(), &self.capacitor_currents, end_time);
        let values: Vec<[f64; 3]> =
            (0..start.len()).map(|k| [start[k], at_half(start[k], at_gamma[k], end[k]), end[k]]).collect();
        let stretch = Stretch { start: start_time, end: end_time, values: &values };
        sink.filters.pass(&stretch, sink.observer);
    }

    /// Error of the step in units of what is allowed, and the state that has it.
    fn error(&self) -> (f64, usize) {
        let equations = self.driven.equations;
        let error = self.integrator.error.as_slice();
        let (now, next) = (&self.integrator.x, self.integrator.proposed());
        let inductors = equations.inductors.len();
        let value = |x: &[f64], index: usize| match index.checked_sub(inductors) {
            None => x[equations.inductor_current(index)],
            Some(k) => across(equations.capacitors[k].0, x),
        };
        let greatest = self.greatest();
        let mut worst = (0.0, 0);
        for (index, (least, most)) in self.seen.iter().enumerate() {
            let (before, after) = (value(now, index), value(next, index));
            let seen = most.max(after) - least.min(after).min(before);
            let group = greatest[usize::from(index >= inductors)];
            let swing = self.swings[index].max(seen).max(LEAST_SWING * group).max(1e-12);
            let ratio = value(error, index).abs() / (self.allowed * swing + ROUNDING * group);
            if ratio > worst.0 || ratio.is_nan() {
                worst = (ratio, index);
            }
        }
        if worst.0.is_nan() { (f64::INFINITY, worst.1) } else { worst }
    }

    /// Whether a step within which no part reacts is taken in spite of its error.
    fn may_pass(&self, error: f64, step: f64) -> bool {
        let moves = self.integrator.time + step > self.integrator.time;
        moves && error.is_finite() && self.unseen < MOST_UNSEEN
    }

    /// What to say where a state has grown as far as numbers go.
    fn unbounded(&self) -> Option<Failure> {
        let most = |index: &usize| self.seen[*index].0.abs().max(self.seen[*index].1.abs());
        let state = (0..self.seen.len()).find(|index| most(index) > BEYOND)?;
        let part = state_name(self.driven.equations, state);
        Some(Failure::Unbounded { time: self.integrator.time, part })
    }

    fn step_failed(&self, failure: StepFailure) -> Failure {
        match failure {
            StepFailure::Singular => Failure::NoOperatingPoint { nodes: Vec::new(), parts: Vec::new() },
            StepFailure::TryShorter(unknown) => Failure::NoConvergence {
                time: Some(self.integrator.time),
                place: self.driven.equations.name_of(unknown),
            },
        }
    }

    fn too_small(&self, state: usize) -> Failure {
        Failure::StepTooSmall { time: self.integrator.time, part: state_name(self.driven.equations, state) }
    }
}

/// The longest step of the ladder that is not longer than a wanted one: steps that stay on a rung keep their matrix.
fn rung(wanted: f64) -> f64 {
    RUNG.powf((wanted.ln() / RUNG.ln() + 1e-9).floor())
}

/// Name of the part that holds a state: inductors first, then capacitors.
pub(crate) fn state_name(equations: &Equations<'_>, state: usize) -> String {
    let inductors = equations.inductors.len();
    if state < inductors {
        equations.part_of(equations.inductors[state].0)
    } else {
        equations.part_of(equations.capacitors[state - inductors].0)
    }
}

pub(crate) fn states(state: &State) -> impl Iterator<Item = f64> + '_ {
    state.currents.iter().chain(&state.voltages).copied()
}

/// The parabola through values at 0, `GAMMA` and 1, read at one half.
fn at_half(start: f64, at_gamma: f64, end: f64) -> f64 {
    let g = GAMMA;
    let curvature = ((at_gamma - start) / g - (end - start)) / (g - 1.0);
    let slope = end - start - curvature;
    start + 0.5 * slope + 0.25 * curvature
}
