//! One run in time: which start, which road, what comes out.

use crate::equations::Equations;
use crate::exact::{Outcome, Reduced, Walk};
use crate::failure::Failure;
use crate::filter::Filters;
use crate::integrator::Work;
use crate::observe::{Ignore, Observer};
use crate::operating_point::{operating_point, state_of};
use crate::periodic::periodic_state;
use crate::probes::Probes;
use crate::snapshot::{Snapshot, State, lines_at};
use crate::stepping::{Sink, Stepper};
use nalgebra::DVector;
use network::primitive::Network;

/// Where a run starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Start {
    /// The periodic steady state; the observer sees one period.
    Steady {
        /// Common period of all sources in seconds; `None` where they have none: the run then settles first, and the observer
        /// sees the span.
        period: Option<f64>,
    },
    /// The operating point with the sources' values at t = 0.
    Operating,
    /// Everything discharged.
    Rest,
}

/// Which road to take through time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// The exact road where the network is linear, steps elsewhere.
    Automatic,
    /// Steps always.
    Stepping,
}

/// What to run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Request {
    /// Where it starts.
    pub start: Start,
    /// Span in seconds; a periodic steady state shows one period instead.
    pub span: f64,
    /// Wanted accuracy as a fraction of each waveform's swing, 1e-9 to 1e-1.
    pub accuracy: f64,
    /// Which road.
    pub method: Method,
}

/// How a run went.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Summary {
    /// Whether the exact road was taken.
    pub exact: bool,
    /// Time in seconds that was shown to the observer.
    pub shown: f64,
    /// Periods (or, without a common period, seconds) walked before that to settle.
    pub settled: f64,
    /// What the integrator did; nothing on the exact road.
    pub work: Work,
}

/// Time in seconds at which a run that starts at t = 0 finds its sources.
const JUST_BEFORE: f64 = -1e-9;
/// Longest time in seconds that a run without a common period settles for.
const LONGEST_SETTLING: f64 = 2.0;
/// What is left of every mode when such a run counts as settled.
const SETTLED: f64 = 1e-7;
/// Parabolas follow waveforms to this share of the accuracy asked for.
const DRAWING_SHARE: f64 = 0.02;

/// Runs a network and streams its probes' waveforms to the observer.
///
/// # Errors
/// [`Failure`], in the user's terms; the observer may have seen part of the run by then.
pub fn run(network: &Network, request: &Request, observer: &mut dyn Observer) -> Result<Summary, Failure> {
    let equations = Equations::new(network)?;
    let probes = Probes::new(&equations);
    let run = Run { equations: &equations, probes: &probes, request };
    if request.method == Method::Automatic
        && equations.storage_is_linear()
        && let Some(summary) = run.exactly(observer)?
    {
        return Ok(summary);
    }
    run.by_steps(observer)
}

struct Run<'a, 'n> {
    equations: &'a Equations<'n>,
    probes: &'a Probes<'a, 'n>,
    request: &'a Request,
}

impl Run<'_, '_> {
    /// The state to start from (or to start looking from), with the node voltages there.
    fn first_state(&self) -> Result<(State, Vec<f64>), Failure> {
        let equations = self.equations;
        if self.request.start == Start::Rest {
            let state = State {
                currents: vec![0.0; equations.inductors.len()],
                voltages: vec![0.0; equations.capacitors.len()],
            };
            return Ok((state, vec![0.0; equations.size()]));
        }
        let source = |waveform: &&network::waveform::Waveform| match self.request.start {
            Start::Steady { .. } => waveform.mean().ok_or(Failure::Aperiodic),
            // Before anything moves: an edge or a step may stand at t = 0 itself.
            _ => Ok(waveform.piece(JUST_BEFORE).value),
        };
        let sources = equations.sources.iter().map(source).collect::<Result<Vec<f64>, Failure>>()?;
        let point = operating_point(equations, &sources)?;
        Ok((state_of(equations, &point.unknowns), point.unknowns))
    }

    /// The exact road; `None` where a load leaves the straight line it starts on.
    fn exactly(&self, observer: &mut dyn Observer) -> Result<Option<Summary>, Failure> {
        let equations = self.equations;
        let (state, x) = self.first_state()?;
        let lines = lines_at(equations, |k| crate::equations::across(equations.loads[k].0, &x));
        let curved = equations.loads.iter().zip(&lines).any(|((ends, law), line)| {
            let near = crate::equations::across(*ends, &x) * 1.01 + 1e-3;
            (law.current(near) - line.conductance * near - line.offset).abs() > 1e-12
        });
        if curved {
            return Ok(None);
        }
        let snapshot = Snapshot::new(equations, lines, &state)?;
        let reduced = Reduced::new(&snapshot, self.probes)?;
        let mut walk = Walk::new(&snapshot, &reduced);
        let free = DVector::from_vec(snapshot.free(&state)).component_mul(&reduced.scale);
        let (mut y, shown, settled) = match self.request.start {
            Start::Steady { period: Some(period) } => (walk.steady_state(period)?, period, 0.0),
            Start::Steady { period: None } => {
                let settling = walk.settling_time(SETTLED, LONGEST_SETTLING);
                (free, self.request.span, settling)
            }
            Start::Operating | Start::Rest => (free, self.request.span, 0.0),
        };
        let total = settled + shown;
        let tolerances: Vec<f64> = walk
            .swings(&y, total)
            .iter()
            .map(|swing| DRAWING_SHARE * self.request.accuracy * swing)
            .collect();
        let mut filters = self.first_filters();
        if matches!(self.request.start, Start::Steady { period: Some(_) }) && filters.memory() > 0.0 {
            let mut state = y.clone();
            let from = shown - filters.memory();
            if walk.walk(&mut state, shown, from, &tolerances, &mut filters, &mut Ignore) == Outcome::LeftLine
            {
                return Ok(None);
            }
            filters = filters.periodic(shown);
        }
        if !matches!(self.request.start, Start::Steady { .. }) {
            walk.jump_at_start(&mut y, &self.sources_before(&snapshot));
        }
        let mut shifted = Shifted { observer, from: settled };
        let outcome = walk.walk(&mut y, total, settled, &tolerances, &mut filters, &mut shifted);
        if outcome == Outcome::LeftLine {
            return Ok(None);
        }
        Ok(Some(Summary { exact: true, shown, settled, work: Work::default() }))
    }

    /// Extended sources just before t = 0; nothing before a start from rest.
    fn sources_before(&self, snapshot: &Snapshot<'_, '_>) -> DVector<f64> {
        if self.request.start == Start::Rest {
            return DVector::zeros(snapshot.extended_sources());
        }
        let sources = self.equations.sources.iter().map(|waveform| waveform.piece(JUST_BEFORE).value);
        DVector::from_vec(snapshot.extend(&sources.collect::<Vec<f64>>()))
    }

    fn first_filters(&self) -> Filters {
        let zeros = vec![0.0; self.probes.list().len()];
        let known = (self.request.start == Start::Rest).then_some(zeros.as_slice());
        Filters::new(self.probes.list(), known)
    }

    /// Steps, by TR-BDF2.
    fn by_steps(&self, observer: &mut dyn Observer) -> Result<Summary, Failure> {
        let equations = self.equations;
        let (guess, x) = self.first_state()?;
        let mut stepper = Stepper::new(equations, self.request.accuracy);
        stepper.guess(&x);
        let mut filters = self.first_filters();
        let (start, shown, settled) = match self.request.start {
            Start::Steady { period: Some(period) } => {
                let found = periodic_state(self.probes, &mut stepper, &guess, period, self.request.accuracy)?;
                filters = found.filters;
                (found.state, period, found.periods as f64)
            }
            Start::Steady { period: None } => {
                let lines = lines_at(equations, |k| crate::equations::across(equations.loads[k].0, &x));
                let snapshot = Snapshot::new(equations, lines, &guess)?;
                let reduced = Reduced::new(&snapshot, self.probes)?;
                let settling = Walk::new(&snapshot, &reduced).settling_time(SETTLED, LONGEST_SETTLING);
                (guess, self.request.span, settling)
            }
            Start::Operating | Start::Rest => (guess, self.request.span, 0.0),
        };
        let settling =
            if matches!(self.request.start, Start::Steady { period: Some(_) }) { 0.0 } else { settled };
        let mut shifted = Shifted { observer, from: settling };
        let may_jump = !matches!(self.request.start, Start::Steady { .. });
        let sink =
            Sink { probes: self.probes, filters: &mut filters, observer: &mut shifted, from: settling };
        stepper.walk(&start, settling + shown, may_jump, Some(sink))?;
        Ok(Summary { exact: false, shown, settled, work: stepper.work() })
    }
}

/// Shows only what comes after a time, which becomes 0.
struct Shifted<'o> {
    observer: &'o mut dyn Observer,
    from: f64,
}

impl Observer for Shifted<'_> {
    fn stretch(&mut self, stretch: &crate::observe::Stretch<'_>) {
        if self.from == 0.0 {
            self.observer.stretch(stretch);
        } else if stretch.start >= self.from {
            let shifted = crate::observe::Stretch {
                start: stretch.start - self.from,
                end: stretch.end - self.from,
                values: stretch.values,
            };
            self.observer.stretch(&shifted);
        }
    }
}
