//! Walking from corner to corner by steps that halve a leg until the bent rest is followed well enough.

use super::collocation::{Rest, at_instant};
use super::drawing::Drawn;
use super::felt::{Felt, felt};
use super::laws::{Law, bent_elements};
use super::recording::Recording;
use super::reference::{Reference, rungs_at};
use super::step::{At, Scratch};
use crate::clock::Clock;
use crate::exact::{Outcome, Settled, energy_scale};
use crate::failure::Failure;
use crate::integrator::Work;
use crate::probes::Probes;
use crate::sink::Sink;
use crate::snapshot::{BEYOND, Bent, Snapshot};
use nalgebra::DVector;
use std::rc::Rc;

/// Choices of straight parts that are remembered; a network with several saturating coils could meet very many.
const MOST_REFERENCES: usize = 32;
/// Changes of lines after which a walk is given up: a load that chatters around a knee.
const MOST_CHANGES: usize = 100_000;
/// Steps of twice the length are tried where no more than this share of what is allowed was used up: errors grow 16 times.
const EASY: f64 = 1.0 / 40.0;
/// A swing below this fraction of the greatest state is not resolved further.
pub(super) const LEAST_SWING: f64 = 1e-8;
/// Rounding in the estimate of a step's error, as a fraction of the greatest state: scaled to roots of energies, states exchange theirs.
pub(super) const ROUNDING: f64 = 1e-14;

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
    pub(super) base: Rc<Snapshot<'e, 'n>>,
    pub(super) probes: &'a Probes<'e, 'n>,
    /// Whether loads are watched where nothing is drawn.
    pub(super) watchful: bool,
    pub(super) scale: DVector<f64>,
    pub(super) bent: Vec<(Bent, Law)>,
    references: Vec<Rc<Reference<'e, 'n>>>,
    pub(super) current: Rc<Reference<'e, 'n>>,
    pub(super) tolerances: Tolerances,
    /// Least and greatest value of each state over this walk, and the swing over the last.
    pub(super) seen: Vec<(f64, f64)>,
    pub(super) swings: Vec<f64>,
    /// Least and greatest value of each probe over this walk, and the rounding to expect in it.
    pub(super) shown: Vec<(f64, f64)>,
    pub(super) rounding: Vec<f64>,
    /// Probes that feel how fast a bent rest changes.
    pub(super) felt: Vec<Felt>,
    pub(super) scratch: Scratch,
    /// The coarsest level taken in this leg, and how much of what is allowed was used up at most.
    pub(super) pacing: (usize, f64),
    pub(crate) work: Work,
}

/// What becomes of a walk's waveforms.
pub(crate) enum Look<'w, 's, 'e, 'n> {
    /// Nothing: where it ends is all.
    End,
    /// They are handed on in parabolas as the walk goes.
    Draw(Sink<'s, 'e, 'n>),
    /// Its steps are kept.
    Record(&'w mut Recording<'e, 'n>),
}

/// A stretch between two corners with what drives it.
pub(super) struct Leg {
    pub(super) start: f64,
    pub(super) end: f64,
    pub(super) sources: DVector<f64>,
    pub(super) slopes: DVector<f64>,
}

/// The network `at` seconds into a leg: scaled states, port currents.
#[derive(Clone)]
pub(super) struct Point {
    pub(super) at: f64,
    pub(super) y: DVector<f64>,
    pub(super) x: DVector<f64>,
}

/// Why a leg was not walked to its end.
enum Stop {
    /// A load left its line just before this point.
    Changed(Point),
    Failed(Failure),
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
        let felt = felt(&current);
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
            felt,
            scratch: Scratch::default(),
            pacing: (usize::MAX, 0.0),
            work: Work::default(),
        })
    }

    /// Whether loads are watched all the way.
    pub(crate) fn is_watchful(&self) -> bool {
        self.watchful
    }

    /// Factors between the states walked here and amperes or volts.
    pub(crate) fn scale(&self) -> &DVector<f64> {
        &self.scale
    }

    /// What counts as one unit of each state: its swing over the last walk, or rounding.
    pub(crate) fn units(&self) -> DVector<f64> {
        let least = LEAST_SWING * self.greatest();
        DVector::from_iterator(self.swings.len(), self.swings.iter().map(|swing| swing.max(least)))
    }

    /// How far the last walk decides each state: its steps take no smaller errors for errors.
    pub(crate) fn undecided(&self) -> DVector<f64> {
        DVector::from_element(self.swings.len(), ROUNDING * self.greatest())
    }

    fn greatest(&self) -> f64 {
        self.seen.iter().map(|(low, high)| low.abs().max(high.abs())).fold(0.0, f64::max)
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
        mut look: Look<'_, '_, 'e, 'n>,
    ) -> Result<(Outcome, DVector<f64>), Failure> {
        let sources = self.base.equations.sources.clone();
        let mut clock = Clock::new(&sources, 0.0);
        self.seen = y.iter().map(|value| (*value, *value)).collect();
        // Walks that searched for the steady state passed far from it: what they showed is no measure of this one's swing.
        self.shown.fill((f64::INFINITY, f64::NEG_INFINITY));
        if matches!(look, Look::Record(_)) {
            self.feel_anew();
        }
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
                if matches!(look, Look::Draw(_)) {
                    let rounding = self.current.reduced.rounding(&point.y, &leg.sources, &leg.slopes);
                    for (most, rounding) in self.rounding.iter_mut().zip(rounding) {
                        *most = most.max(rounding);
                    }
                }
                if matches!(look, Look::Record(_)) {
                    let reference = Rc::clone(&self.current);
                    self.feel_rounding(&reference, &leg, &point);
                }
                match self.cover(&leg, point, &mut look) {
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

    pub(super) fn leg(&self, start: f64, end: f64, values: &[f64], slopes: &[f64]) -> Leg {
        Leg {
            start,
            end,
            sources: DVector::from_vec(self.base.extend(values)),
            slopes: DVector::from_vec(self.base.extend_slopes(slopes)),
        }
    }

    /// Currents and voltages at the bent elements.
    pub(super) fn ports_of(&self, y: &DVector<f64>, sources: &DVector<f64>) -> DVector<f64> {
        let ports = &self.current.reduced.ports;
        &ports.state * y + &ports.sources * sources
    }

    pub(super) fn rest<'r>(bent: &'r [(Bent, Law)], reference: &'r Reference<'e, 'n>) -> Rest<'r> {
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
        let mut xi = &point.y - &ports.drive * rest.value(point.x.as_slice());
        reference.snapshot.keep_charge(&self.scale, &mut xi, before, after);
        let known = &ports.state * &xi + &ports.sources * after;
        let x = point.x.as_mut_slice();
        at_instant(rest, &reference.shift, known.as_slice(), x, &mut self.work)
            .ok_or_else(|| self.lost(0.0))?;
        point.y = xi + &ports.drive * rest.value(point.x.as_slice());
        Ok(())
    }

    /// The reference whose straight parts are near the laws' slopes at `x`.
    pub(super) fn choose_reference(&mut self, x: &DVector<f64>) -> Result<(), Failure> {
        let same_lines = self.base.lines == self.current.snapshot.lines;
        if same_lines && self.current.suits(&self.bent, x) {
            return Ok(());
        }
        let rungs = rungs_at(&self.bent, x, &self.current.rungs);
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

    /// Walks a leg, beginning with steps as they were good for the last one of its kind.
    fn cover(&mut self, leg: &Leg, from: Point, look: &mut Look<'_, '_, 'e, 'n>) -> Result<Point, Stop> {
        self.choose_reference(&from.x).map_err(Stop::Failed)?;
        let halvings = self.current.halvings(leg.end - leg.start);
        let level = halvings.level.get();
        self.pacing = (usize::MAX, 0.0);
        let mut point = from;
        for _ in 0..1usize << level {
            point = self.advance(leg, level, point, look)?;
        }
        let (coarsest, strain) = self.pacing;
        if coarsest > level {
            halvings.level.set(level + 1);
        } else if strain < EASY && level > 0 {
            halvings.level.set(level - 1);
        }
        Ok(point)
    }

    /// Walks one step of `level` (the leg halved that many times), or both its halves where it is too long.
    fn advance(
        &mut self,
        leg: &Leg,
        level: usize,
        from: Point,
        look: &mut Look<'_, '_, 'e, 'n>,
    ) -> Result<Point, Stop> {
        let former = Rc::clone(&self.current);
        self.choose_reference(&from.x).map_err(Stop::Failed)?;
        let mut halvings = self.current.halvings(leg.end - leg.start);
        // The quarter of a step is two levels finer.
        if level + 3 > halvings.passages.len() {
            // A slower reference is halved less often; what its halves leave of the leg is still the faster one's.
            self.current = former;
            halvings = self.current.halvings(leg.end - leg.start);
        }
        let reference = Rc::clone(&self.current);
        let finest = halvings.passages.len() - 3;
        if level <= finest {
            let pace = reference.pace(&halvings, level);
            let step = self.attempt(&reference, &pace, leg, &from);
            if let Some(step) = step
                && (level == finest || step.error <= 1.0)
            {
                let drawn = match look {
                    Look::Record(recording) => {
                        self.record(&reference, &pace, leg, &from, &step, level == finest, recording)
                    }
                    Look::Draw(sink) => {
                        self.draw(&reference, &pace, leg, &from, &step, level == finest, Some(sink))
                    }
                    Look::End => self.draw(&reference, &pace, leg, &from, &step, level == finest, None),
                };
                // A load that is watched may leave its line before, and hold what grows.
                let watched = self.watchful && !self.base.equations.loads.is_empty();
                let most = match drawn {
                    Drawn::Badly if watched => f64::INFINITY,
                    Drawn::OffLine => BEYOND,
                    _ => f64::MAX,
                };
                if step.end.y.iter().any(|value| value.is_nan() && most.is_finite() || value.abs() > most) {
                    let time = leg.start + step.end.at;
                    return Err(Stop::Failed(reference.snapshot.unbounded(time, step.end.y.as_slice())));
                }
                if drawn != Drawn::Badly {
                    self.work.steps += 1;
                    self.pacing = (self.pacing.0.min(level), self.pacing.1.max(step.error));
                    self.see(&step.end.y);
                    if matches!(look, Look::Record(_)) && !self.felt.is_empty() {
                        let mut rate = std::mem::take(&mut self.scratch.rate);
                        self.rate_at(&reference, &pace, At::End, leg.slopes.as_slice(), &mut rate);
                        self.feel(&reference, leg, &step.end, &rate);
                        self.scratch.rate = rate;
                    }
                    return match drawn {
                        Drawn::OffLine => Err(Stop::Changed(step.end)),
                        _ => Ok(step.end),
                    };
                }
            }
        }
        if level >= finest {
            return Err(Stop::Failed(self.lost(leg.start + from.at)));
        }
        self.work.rejections += 1;
        let middle = self.advance(leg, level + 1, from, look)?;
        self.advance(leg, level + 1, middle, look)
    }

    fn see(&mut self, y: &DVector<f64>) {
        for (seen, value) in self.seen.iter_mut().zip(y.iter()) {
            seen.0 = seen.0.min(*value);
            seen.1 = seen.1.max(*value);
        }
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
