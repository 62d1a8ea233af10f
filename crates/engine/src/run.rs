//! One run in time: which start, which road, what comes out.

mod by_steps;
mod exactly;
mod semilinearly;

use crate::equations::{Equations, across};
use crate::exact::{Regime, lines_where, settling_time};
use crate::failure::Failure;
use crate::filter::{Filters, Parabola};
use crate::integrator::Work;
use crate::observe::{Observer, Stretch};
use crate::operating_point::{operating_point, state_of};
use crate::probes::Probes;
use crate::snapshot::{Snapshot, State};
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
    /// The operating point with the sources' values just before t = 0.
    Operating,
    /// Everything discharged.
    Rest,
}

/// Which road to take through time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// The exact or the semilinear road where loads keep to straight lines, steps elsewhere.
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

/// A road through time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Road {
    /// The matrix exponential from corner to corner.
    Exact,
    /// The same, with bent storage laws by exponential collocation.
    Semilinear,
    /// TR-BDF2.
    Stepping,
}

/// How a run went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Summary {
    /// The road that was taken.
    pub road: Road,
    /// Time in seconds that was shown to the observer.
    pub shown: f64,
    /// Periods (or, without a common period, seconds) walked before that to settle.
    pub settled: f64,
    /// What the integrator did; nothing on the exact road.
    pub work: Work,
}

/// Time in seconds at which a run that starts at t = 0 finds its sources.
const JUST_BEFORE: f64 = -1e-9;
/// Most inductors and capacitors for roads whose matrices are dense: an exponential costs their number cubed, a step of the
/// stepping road grows in proportion.
const MOST_STATES: usize = 150;
/// Longest time in seconds that a run without a common period settles for.
const LONGEST_SETTLING: f64 = 2.0;
/// What is left of every mode when such a run counts as settled.
const SETTLED: f64 = 1e-7;
/// A period of straight stretches is walked without error but for the moments at which loads change lines, so that the periodic
/// state is had this much closer than the accuracy asked for.
const CLOSELY: f64 = 0.1;
/// Parabolas follow waveforms to this share of the accuracy asked for.
const DRAWING_SHARE: f64 = 0.1;

/// Runs a network and streams its probes' waveforms to the observer.
///
/// # Errors
/// [`Failure`], in the user's terms; the observer may have seen part of the run by then.
pub fn run(network: &Network, request: &Request, observer: &mut dyn Observer) -> Result<Summary, Failure> {
    run_equations(&Equations::new(network)?, request, observer)
}

pub(crate) fn run_equations(
    equations: &Equations<'_>,
    request: &Request,
    observer: &mut dyn Observer,
) -> Result<Summary, Failure> {
    let probes = Probes::new(equations);
    let run = Run { equations, probes: &probes, request };
    if request.method == Method::Automatic && equations.states() <= MOST_STATES {
        let summary =
            if equations.storage_is_linear() { run.exactly(observer)? } else { run.semilinearly(observer)? };
        if let Some(summary) = summary {
            return Ok(summary);
        }
        observer.restart();
    }
    run.by_steps(observer)
}

struct Run<'a, 'n> {
    equations: &'a Equations<'n>,
    probes: &'a Probes<'a, 'n>,
    request: &'a Request,
}

impl<'a, 'n> Run<'a, 'n> {
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
        let mut known = equations.kept.sources.borrow_mut();
        let sources = match self.request.start {
            Start::Steady { .. } => {
                known.means().iter().copied().collect::<Option<Vec<f64>>>().ok_or(Failure::Aperiodic)?
            }
            // Before anything moves: an edge or a step may stand at t = 0 itself.
            _ => known.at(JUST_BEFORE),
        };
        drop(known);
        let point = operating_point(equations, &sources)?;
        Ok((state_of(equations, &point.unknowns), point.unknowns))
    }

    /// The network with every load on the straight line it starts on; `None` where a load's law is bent right there.
    fn on_lines(&self, state: &State, x: &[f64]) -> Result<Option<Snapshot<'a, 'n>>, Failure> {
        let equations = self.equations;
        let time = if self.is_steady() { 0.0 } else { JUST_BEFORE };
        let sources = equations.kept.sources.borrow_mut().at(time);
        let voltages: Vec<f64> = equations.loads.iter().map(|load| across(load.control, x)).collect();
        match lines_where(equations, &[], &voltages, &sources) {
            Some(lines) => Snapshot::new(equations, lines, state).map(Some),
            None => Ok(None),
        }
    }

    /// How long the network needs to forget how it began, in seconds.
    fn settling_time(&self, regime: &Regime<'_, 'n>) -> Result<f64, Failure> {
        let (time, left) = settling_time(regime, SETTLED, LONGEST_SETTLING);
        if left.is_nan() || left > self.request.accuracy {
            return Err(Failure::TooSlow { seconds: time, left });
        }
        Ok(time)
    }

    fn is_steady(&self) -> bool {
        matches!(self.request.start, Start::Steady { .. })
    }

    /// Extended sources just before t = 0; nothing before a start from rest.
    fn sources_before(&self, snapshot: &Snapshot<'_, '_>) -> DVector<f64> {
        if self.request.start == Start::Rest {
            return DVector::zeros(snapshot.extended_sources());
        }
        DVector::from_vec(snapshot.extend(&self.equations.kept.sources.borrow_mut().at(JUST_BEFORE)))
    }

    /// Filters as a run begins: at 0 from rest, at their signals elsewhere.
    fn first_filters(&self) -> Filters {
        let zeros = vec![0.0; self.probes.list().len()];
        let known = (self.request.start == Start::Rest).then_some(zeros.as_slice());
        Filters::new(self.probes.list(), known)
    }
}

/// From when on the filters have to see a period so that they stand as they do in every period.
fn filters_from(filters: &Filters, period: f64) -> f64 {
    if filters.memory() > 0.0 { period - filters.memory() } else { f64::INFINITY }
}

/// Shows only what comes after a time, which becomes 0.
struct Shifted<'o> {
    observer: &'o mut dyn Observer,
    from: f64,
}

impl Observer for Shifted<'_> {
    fn restart(&mut self) {
        self.observer.restart();
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        if self.from == 0.0 {
            self.observer.stretch(stretch);
            return;
        }
        if stretch.end <= self.from {
            return;
        }
        let (begun, end) = (self.from - stretch.start, stretch.end - self.from);
        if begun <= 0.0 {
            self.observer.stretch(&Stretch { start: -begun, end, values: stretch.values });
            return;
        }
        let length = stretch.end - stretch.start;
        let rest = |values: &[f64; 3]| Parabola::through(*values, length).piece(begun, length);
        let values: Vec<[f64; 3]> = stretch.values.iter().map(rest).collect();
        self.observer.stretch(&Stretch { start: 0.0, end, values: &values });
    }
}
