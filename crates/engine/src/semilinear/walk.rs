//! Walking from corner to corner by steps that halve a leg until the bent rest is followed well enough.

use super::collocation::{Rest, at_instant, at_quarter, over_step};
use super::laws::{Law, bent_elements};
use super::reference::{Reference, Stride, rungs_at};
use crate::clock::Clock;
use crate::exact::{Outcome, Settled, energy_scale, is_near, lines_where};
use crate::failure::Failure;
use crate::integrator::Work;
use crate::observe::Stretch;
use crate::probes::Probes;
use crate::sink::Sink;
use crate::snapshot::{Bent, Line, Snapshot};
use nalgebra::{DMatrix, DVector};
use std::rc::Rc;

/// Choices of straight parts that are remembered; a network with several saturating coils could meet very many.
const MOST_REFERENCES: usize = 32;
/// Times that lines are looked up again after a change: each may move the voltage of the others.
const MOST_ROUNDS: usize = 20;
/// Changes of lines after which a walk is given up: a load that chatters around a knee.
const MOST_CHANGES: usize = 100_000;
/// A swing below this fraction of the greatest state is not resolved further.
const LEAST_SWING: f64 = 1e-8;

/// Rounding in the estimate of a step's error, as a fraction of the greatest state.
const ROUNDING: f64 = 1e-14;

/// How closely a walk follows.
#[derive(Clone, Debug)]
pub(crate) struct Tolerances {
    /// Error allowed to a step, as a fraction of each state's swing.
    pub(crate) step: f64,
    /// Departure of a probe's waveform from its parabolas, as a fraction of its swing.
    pub(crate) drawing: f64,
}

/// A network with bent storage laws on its way.
pub(crate) struct Semilinear<'a, 'e, 'n> {
    /// The network on the lines where its loads are now.
    base: Rc<Snapshot<'e, 'n>>,
    probes: &'a Probes<'e, 'n>,
    /// Whether loads are watched where nothing is drawn.
    watchful: bool,
    scale: DVector<f64>,
    bent: Vec<(Bent, Law)>,
    references: Vec<Rc<Reference<'e, 'n>>>,
    current: Rc<Reference<'e, 'n>>,
    tolerances: Tolerances,
    /// Least and greatest value of each state over this walk, and the swing over the last.
    seen: Vec<(f64, f64)>,
    swings: Vec<f64>,
    /// Least and greatest value of each probe over this walk, and the rounding to expect in it.
    shown: Vec<(f64, f64)>,
    rounding: Vec<f64>,
    pub(crate) work: Work,
}

/// A stretch between two corners with what drives it.
struct Leg {
    start: f64,
    end: f64,
    sources: DVector<f64>,
    slopes: DVector<f64>,
}

/// The network `at` seconds into a leg: scaled states, port currents.
#[derive(Clone)]
struct Point {
    at: f64,
    y: DVector<f64>,
    x: DVector<f64>,
}

/// Why a leg was not walked to its end.
enum Stop {
    /// A load left its line just before this point.
    Changed(Point),
    Failed(Failure),
}

/// What became of a step's waveforms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Drawn {
    Well,
    /// Well enough, but a load has left its line.
    OffLine,
    /// The step is too long for them.
    Badly,
}

/// What a step of collocation gave.
struct Step {
    quarter: Point,
    middle: Point,
    end: Point,
    /// In units of what is allowed.
    error: f64,
}

impl<'a, 'e, 'n> Semilinear<'a, 'e, 'n> {
    /// Prepares a walk near the state that `base` was made at.
    pub(crate) fn new(
        base: Snapshot<'e, 'n>,
        probes: &'a Probes<'e, 'n>,
        tolerances: Tolerances,
    ) -> Result<Self, Failure> {
        let bent = bent_elements(base.equations);
        let scale = energy_scale(&base);
        let rungs = vec![0; bent.len()];
        let current = Rc::new(Reference::new(&base, probes, &scale, &bent, rungs)?);
        let states = scale.len();
        Ok(Self {
            base: Rc::new(base),
            probes,
            watchful: false,
            scale,
            bent,
            references: vec![Rc::clone(&current)],
            current,
            tolerances,
            seen: Vec::new(),
            swings: vec![0.0; states],
            shown: vec![(f64::INFINITY, f64::NEG_INFINITY); probes.list().len()],
            rounding: vec![f64::MIN_POSITIVE; probes.list().len()],
            work: Work::default(),
        })
    }

    /// Factors between the states walked here and amperes or volts.
    pub(crate) fn scale(&self) -> &DVector<f64> {
        &self.scale
    }

    /// What counts as one unit of each state: its swing over the last walk, or rounding.
    pub(crate) fn units(&self) -> DVector<f64> {
        let greatest = self.seen.iter().map(|(low, high)| low.abs().max(high.abs())).fold(0.0, f64::max);
        DVector::from_iterator(
            self.swings.len(),
            self.swings.iter().map(|swing| swing.max(LEAST_SWING * greatest)),
        )
    }

    /// Name of the part that holds a state.
    pub(crate) fn name(&self, state: usize) -> String {
        self.base.part_of_free(state)
    }

    /// Walks from scaled state `y` at time 0 to `span`. `before` holds the extended sources just before, where they may jump.
    pub(crate) fn walk(
        &mut self,
        y: &DVector<f64>,
        span: f64,
        before: Option<&DVector<f64>>,
        mut sink: Option<Sink<'_, '_, '_>>,
    ) -> Result<(Outcome, DVector<f64>), Failure> {
        let sources = self.base.equations.sources.clone();
        let mut clock = Clock::new(&sources, 0.0);
        self.seen = y.iter().map(|value| (*value, *value)).collect();
        // Walks that searched for the steady state passed far from it: what they showed is no measure of this one's swing.
        self.shown.fill((f64::INFINITY, f64::NEG_INFINITY));
        let now = DVector::from_vec(self.base.extend(&clock.values));
        let x = self.ports_of(y, before.unwrap_or(&now));
        let mut point = Point { at: 0.0, y: y.clone(), x };
        if let Some(before) = before {
            self.jump(&mut point, before, &now)?;
        }
        let first = Rc::clone(&self.base);
        let mut changes = 0;
        while clock.time < span {
            let corner = clock.next_corner(span);
            let mut at = clock.time;
            loop {
                let mut values = vec![0.0; clock.values.len()];
                clock.values_at(at, &mut values);
                if self.settle(&mut point, &values, &clock.slopes)? == Settled::Nowhere
                    || changes > MOST_CHANGES
                {
                    return Ok((Outcome::LeftLine, y.clone()));
                }
                let leg = self.leg(at, corner, &values, &clock.slopes);
                point.at = 0.0;
                let rounding = self.current.reduced.rounding(&point.y, &leg.sources, &leg.slopes);
                for (most, rounding) in self.rounding.iter_mut().zip(rounding) {
                    *most = most.max(rounding);
                }
                match self.advance(&leg, 0, point, &mut sink) {
                    Ok(next) => {
                        point = next;
                        break;
                    }
                    Err(Stop::Changed(next)) => {
                        changes += 1;
                        at += next.at;
                        point = next;
                        if at >= corner {
                            break;
                        }
                    }
                    Err(Stop::Failed(failure)) => return Err(failure),
                }
            }
            let mut late = vec![0.0; clock.values.len()];
            clock.values_at(corner, &mut late);
            if clock.advance(corner) {
                let [late, now] =
                    [&late, &clock.values].map(|values| DVector::from_vec(self.base.extend(values)));
                self.jump(&mut point, &late, &now)?;
            }
        }
        self.swings = self.seen.iter().map(|(low, high)| high - low).collect();
        if changes == 0 && Rc::ptr_eq(&first, &self.base) {
            return Ok((Outcome::Done, point.y));
        }
        self.change_to(first.lines.clone(), &mut point, &clock.values)?;
        Ok((Outcome::Changed, point.y))
    }

    fn leg(&self, start: f64, end: f64, values: &[f64], slopes: &[f64]) -> Leg {
        Leg {
            start,
            end,
            sources: DVector::from_vec(self.base.extend(values)),
            slopes: DVector::from_vec(self.base.extend_slopes(slopes)),
        }
    }

    /// Watches loads everywhere from now on, not only where something is drawn.
    pub(crate) fn watch(&mut self) {
        self.watchful = true;
    }

    /// Takes the lines on which the loads are.
    fn settle(&mut self, point: &mut Point, values: &[f64], slopes: &[f64]) -> Result<Settled, Failure> {
        let equations = self.base.equations;
        if equations.loads.is_empty() {
            return Ok(Settled::OnLines);
        }
        for _ in 0..MOST_ROUNDS {
            self.choose_reference(&point.x)?;
            let reference = Rc::clone(&self.current);
            let here = Point { at: 0.0, ..point.clone() };
            let rows = self.rows(&reference, &self.leg(0.0, 0.0, values, slopes), &here);
            let voltages = &rows.as_slice()[reference.reduced.load_rows..];
            let lines = lines_where(equations, &self.base.lines, voltages, values);
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
    fn change_to(&mut self, lines: Vec<Line>, point: &mut Point, values: &[f64]) -> Result<bool, Failure> {
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

    /// Currents and voltages at the bent elements.
    fn ports_of(&self, y: &DVector<f64>, sources: &DVector<f64>) -> DVector<f64> {
        let ports = &self.current.reduced.ports;
        &ports.state * y + &ports.sources * sources
    }

    fn rest<'r>(bent: &'r [(Bent, Law)], reference: &'r Reference<'e, 'n>) -> Rest<'r> {
        Rest { laws: bent, straight: &reference.straight }
    }

    /// Carries flux and charge over a jump of the sources.
    fn jump(
        &mut self,
        point: &mut Point,
        before: &DVector<f64>,
        after: &DVector<f64>,
    ) -> Result<(), Failure> {
        let reference = Rc::clone(&self.current);
        let rest = Self::rest(&self.bent, &reference);
        let ports = &reference.reduced.ports;
        let mut xi = &point.y - &ports.drive * rest.value(&point.x);
        reference.snapshot.keep_charge(&self.scale, &mut xi, before, after);
        let known = &ports.state * &xi + &ports.sources * after;
        let x = at_instant(rest, &reference.shift, &known, &point.x, &mut self.work)
            .ok_or_else(|| self.lost(0.0))?;
        point.y = xi + &ports.drive * rest.value(&x);
        point.x = x;
        Ok(())
    }

    /// The reference whose straight parts are near the laws' slopes at `x`.
    fn choose_reference(&mut self, x: &DVector<f64>) -> Result<(), Failure> {
        let rungs = rungs_at(&self.bent, x, Some(&self.current.rungs));
        if rungs == self.current.rungs && self.base.lines == self.current.snapshot.lines {
            return Ok(());
        }
        let lines = &self.base.lines;
        let same = |known: &&Rc<Reference<'e, 'n>>| known.rungs == rungs && known.snapshot.lines == *lines;
        if let Some(known) = self.references.iter().find(same) {
            self.current = Rc::clone(known);
            return Ok(());
        }
        if self.references.len() >= MOST_REFERENCES {
            self.references.truncate(1);
        }
        let made = Reference::new(&self.base, self.probes, &self.scale, &self.bent, rungs)?;
        self.work.factorizations += 1;
        self.current = Rc::new(made);
        self.references.push(Rc::clone(&self.current));
        Ok(())
    }

    /// Walks one step of `level` (the leg halved that many times), or both its halves where it is too long.
    fn advance(
        &mut self,
        leg: &Leg,
        level: usize,
        from: Point,
        sink: &mut Option<Sink<'_, '_, '_>>,
    ) -> Result<Point, Stop> {
        self.choose_reference(&from.x).map_err(Stop::Failed)?;
        let reference = Rc::clone(&self.current);
        let stride = reference.stride(leg.end - leg.start);
        // The quarter of a step is two levels finer.
        let finest = stride.propagator.levels.len() - 3;
        let step = if level > finest { None } else { self.attempt(&reference, &stride, leg, level, &from) };
        if let Some(step) = step
            && (level == finest || step.error <= 1.0)
        {
            let drawn = self.draw(&reference, leg, &from, &step, level == finest, sink);
            if drawn != Drawn::Badly {
                self.work.steps += 1;
                self.see(&step.end.y);
                return match drawn {
                    Drawn::OffLine => Err(Stop::Changed(step.end)),
                    _ => Ok(step.end),
                };
            }
        }
        if level >= finest {
            return Err(Stop::Failed(self.lost(leg.start + from.at)));
        }
        self.work.rejections += 1;
        let middle = self.advance(leg, level + 1, from, sink)?;
        self.advance(leg, level + 1, middle, sink)
    }

    fn see(&mut self, y: &DVector<f64>) {
        for (seen, value) in self.seen.iter_mut().zip(y.iter()) {
            seen.0 = seen.0.min(*value);
            seen.1 = seen.1.max(*value);
        }
    }

    /// One step of collocation.
    fn attempt(
        &mut self,
        reference: &Reference<'e, 'n>,
        stride: &Stride,
        leg: &Leg,
        level: usize,
        from: &Point,
    ) -> Option<Step> {
        let reduced = &reference.reduced;
        let rest = Self::rest(&self.bent, reference);
        let weights = reference.weights(stride, level);
        let first = rest.value(&from.x);
        let xi = &from.y - &reduced.ports.drive * &first;
        let sources = &leg.sources + &leg.slopes * from.at;
        let growing = &reduced.b * &leg.slopes;
        let mut slope = &reduced.a * &xi;
        slope.gemv(1.0, &reduced.b, &sources, 1.0);
        slope.gemv(1.0, &reduced.e, &leg.slopes, 1.0);
        let straight = |level: usize| {
            let level = &stride.propagator.levels[level];
            let xi = level.apply(&xi, &slope, &growing);
            let mut x = &reduced.ports.state * &xi;
            x.gemv(1.0, &reduced.ports.sources, &sources, 1.0);
            x.gemv(level.step, &reduced.ports.sources, &leg.slopes, 1.0);
            (xi, x, level.step)
        };
        let (quarter_xi, quarter_x, quarter) = straight(level + 2);
        let (middle_xi, middle_x, middle) = straight(level + 1);
        let (end_xi, end_x, step) = straight(level);
        let work = &mut self.work;
        let (x_middle, x_end) =
            over_step(rest, &reference.shift, &weights, &from.x, &middle_x, &end_x, work)?;
        let (half, last) = (rest.value(&x_middle), rest.value(&x_end));
        let values = [&first, &half, &last];
        let (x_quarter, defect) =
            at_quarter(rest, &reference.shift, &weights, values, &quarter_x, &from.x, work)?;
        let point = |after: f64, mut xi: DVector<f64>, weights: &[DMatrix<f64>; 3], x: DVector<f64>| {
            for (weight, value) in weights.iter().zip(values) {
                xi.gemv(1.0, weight, value, 1.0);
            }
            xi.gemv(1.0, &reduced.ports.drive, &rest.value(&x), 1.0);
            Point { at: from.at + after, y: xi, x }
        };
        let end = point(step, end_xi, &weights.end, x_end);
        let error = self.error(&(&weights.constant * defect), &from.y, &end.y);
        Some(Step {
            quarter: point(quarter, quarter_xi, &weights.quarter, x_quarter),
            middle: point(middle, middle_xi, &weights.middle, x_middle),
            end,
            error,
        })
    }

    /// Largest error of a state in units of what is allowed.
    fn error(&self, error: &DVector<f64>, from: &DVector<f64>, to: &DVector<f64>) -> f64 {
        let greatest =
            self.seen.iter().map(|(low, high)| low.abs().max(high.abs())).fold(to.amax(), f64::max);
        (0..error.len())
            .map(|k| {
                let (low, high) = self.seen[k];
                let now = high.max(from[k]).max(to[k]) - low.min(from[k]).min(to[k]);
                let swing = self.swings[k].max(now).max(LEAST_SWING * greatest);
                error[k].abs() / (self.tolerances.step * swing).max(ROUNDING * greatest)
            })
            .fold(0.0, f64::max)
    }

    /// Hands the waveforms of a step on, where parabolas through its start, middle and end meet its quarter and all loads keep to their
    /// lines. Laws do not jump, so that the finest step, far below every time constant, may end beyond a knee.
    fn draw(
        &mut self,
        reference: &Reference<'e, 'n>,
        leg: &Leg,
        from: &Point,
        step: &Step,
        finest: bool,
        sink: &mut Option<Sink<'_, '_, '_>>,
    ) -> Drawn {
        let sink = sink.as_mut().filter(|sink| leg.start + step.end.at > sink.from);
        if sink.is_none() && (!self.watchful || self.base.equations.loads.is_empty()) {
            return Drawn::Well;
        }
        let rows =
            [from, &step.quarter, &step.middle, &step.end].map(|point| self.rows(reference, leg, point));
        let on_lines = rows[1..].iter().all(|rows| self.on_lines(reference, leg, rows));
        if !on_lines && !finest {
            return Drawn::Badly;
        }
        let drawn = if on_lines { Drawn::Well } else { Drawn::OffLine };
        let Some(sink) = sink else { return drawn };
        let count = reference.reduced.made.len();
        let mut values = Vec::with_capacity(count);
        let mut fits = true;
        for index in 0..count {
            let [start, quarter, middle, end] =
                rows.each_ref().map(|rows| reference.reduced.probe(index, rows));
            let (low, high) = &mut self.shown[index];
            *low = low.min(start).min(middle).min(end);
            *high = high.max(start).max(middle).max(end);
            let allowed = (self.tolerances.drawing * (*high - *low)).max(self.rounding[index]);
            let expected = 0.375 * start + 0.75 * middle - 0.125 * end;
            fits &= (quarter - expected).abs() <= allowed;
            values.push([start, middle, end]);
        }
        if !fits && !finest {
            return Drawn::Badly;
        }
        let length = leg.end - leg.start;
        let time = |at: f64| if at >= length * (1.0 - 1e-12) { leg.end } else { leg.start + at };
        let stretch = Stretch { start: time(from.at), end: time(step.end.at), values: &values };
        sink.filters.pass(&stretch, sink.observer);
        drawn
    }

    /// All rows at a point: the linear network's, and what the rate of the bent rest adds.
    fn rows(&self, reference: &Reference<'e, 'n>, leg: &Leg, point: &Point) -> DVector<f64> {
        let reduced = &reference.reduced;
        let sources = &leg.sources + &leg.slopes * point.at;
        let mut slope = &reduced.a * &point.y;
        slope.gemv(1.0, &reduced.b, &sources, 1.0);
        slope.gemv(1.0, &reduced.e, &leg.slopes, 1.0);
        let mut rate = &reduced.ports.state * slope;
        rate.gemv(1.0, &reduced.ports.sources, &leg.slopes, 1.0);
        let bend = Self::rest(&self.bent, reference).slope(&point.x);
        // x' = K (A y + b + N F' x') + K_u u'
        let mut matrix = -&reference.shift;
        for (mut column, bend) in matrix.column_iter_mut().zip(bend.iter()) {
            column *= *bend;
        }
        for k in 0..rate.len() {
            matrix[(k, k)] += 1.0;
        }
        let rate = matrix.lu().solve(&rate).unwrap_or(rate);
        let mut rows = reduced.values(&point.y, &sources, &leg.slopes);
        rows.gemv(1.0, &reduced.rows.excess, &bend.component_mul(&rate), 1.0);
        rows
    }

    fn on_lines(&self, reference: &Reference<'e, 'n>, leg: &Leg, rows: &DVector<f64>) -> bool {
        let loads = self.base.equations.loads.iter().zip(&self.base.lines).enumerate();
        loads.into_iter().all(|(k, (load, line))| {
            let law = load.law(|source| leg.sources[source]);
            line.holds(law, rows[reference.reduced.load_rows + k])
        })
    }

    fn lost(&self, time: f64) -> Failure {
        let equations = self.base.equations;
        let part = match self.bent.first() {
            Some((Bent::Inductor(k), _)) => equations.part_of(equations.inductors[*k].0),
            Some((Bent::Core(core), _)) => equations.network.cores[*core].part.clone(),
            Some((Bent::Capacitor(k), _)) => equations.part_of(equations.capacitors[*k].0),
            None => String::new(),
        };
        Failure::StepTooSmall { time, part }
    }
}
