//! The exact road, from start to summary.

use super::{CLOSELY, DRAWING_SHARE, Road, Run, Shifted, Start, Summary, filters_from};
use crate::clock::Clock;
use crate::exact::{Begin, Extremes, Look, ModalWalk, Outcome, Regime, Walk, show};
use crate::failure::Failure;
use crate::filter::Filters;
use crate::observe::{Ignore, Observer};
use crate::periodic::{Found, Image, NotFound, fixed_point};
use crate::snapshot::{Snapshot, State};
use nalgebra::DVector;
use std::rc::Rc;

/// A periodic state, how many periods were walked to find it, and what a period looks like.
type Periodic = (DVector<f64>, usize, Extremes);

/// Rounding of a period, as a fraction of the greatest state: scaled to roots of energies, states exchange theirs.
const ROUNDING: f64 = 1e-13;

/// How far a walk through these states decides each.
fn undecided(y: &DVector<f64>) -> f64 {
    if y.is_empty() { 0.0 } else { ROUNDING * y.amax() }
}

impl<'a, 'n> Run<'a, 'n> {
    /// `None` where a load comes to where its law is bent.
    pub(super) fn exactly(&self, observer: &mut dyn Observer) -> Result<Option<Summary>, Failure> {
        if let Some(summary) = self.at_once(observer) {
            return Ok(Some(summary));
        }
        let (state, x) = self.first_state()?;
        let Some(snapshot) = self.on_lines(&state, &x)? else { return Ok(None) };
        let before = self.sources_before(&snapshot);
        let mut walk = Walk::new(snapshot, self.probes);
        let mut y = walk.regimes.now.scaled(&state);
        if let Some(summary) = self.by_modes(&walk.regimes.now, &y, &before, observer)? {
            return Ok(Some(summary));
        }
        let mut filters = self.first_filters();
        let share = DRAWING_SHARE * self.request.accuracy;
        let (shown, settled, settling, tolerances);
        let mut units = None;
        if let Start::Steady { period: Some(period) } = self.request.start {
            let Some((found, periods, extremes)) = self.periodic_exactly(&mut walk, &y, period)? else {
                return Ok(None);
            };
            (y, shown, settled, settling) = (found, period, periods as f64, 0.0);
            tolerances = extremes.tolerances(share);
            units = Some(extremes.units(&walk.regimes.now));
            filters = self.filters_of_period(&mut walk, &y, period, &tolerances)?;
        } else {
            settling = if self.is_steady() { self.settling_time(&walk.regimes.now)? } else { 0.0 };
            (shown, settled) = (self.request.span, settling);
            if !self.is_steady() {
                walk.jump_at_start(&mut y, &before);
            }
            let survey = walk.survey(&y, settling + shown)?;
            if survey.outcome == Outcome::LeftLine {
                return Ok(None);
            }
            tolerances = survey.extremes.tolerances(share);
        }
        let mut shifted = Shifted { observer, from: settling };
        let mut look = Look::Draw {
            from: settling,
            tolerances: &tolerances,
            filters: &mut filters,
            observer: &mut shifted,
        };
        let (regime, start) = (Rc::clone(&walk.regimes.now), y.clone());
        let outcome = walk.travel(&mut y, settling + shown, &mut look)?;
        if let Some(units) = units {
            // A load that left its line unseen by the search would show here: the period does not come back to where it began.
            let departure = walk.seen_from(&regime, &y) - &start;
            let allowed = units.map(|unit| (self.request.accuracy * unit).max(undecided(&start)));
            if departure.iter().zip(allowed.iter()).any(|(departure, allowed)| departure.abs() > *allowed) {
                return Ok(None);
            }
        }
        let summary = Summary { road: Road::Exact, shown, settled, work: walk.work };
        Ok((outcome != Outcome::LeftLine).then_some(summary))
    }

    /// The periodic state of a network without loads is the same wherever it is looked for: where modes tell it surely, nobody has to know how
    /// the network stands at rest.
    fn at_once(&self, observer: &mut dyn Observer) -> Option<Summary> {
        let equations = self.equations;
        let Start::Steady { period: Some(period) } = self.request.start else { return None };
        let has_means = || equations.kept.sources.borrow_mut().means().iter().all(Option::is_some);
        if !equations.loads.is_empty() || !has_means() {
            return None;
        }
        let anywhere = State {
            currents: vec![0.0; equations.inductors.len()],
            voltages: vec![0.0; equations.capacitors.len()],
        };
        let snapshot = Snapshot::new(equations, Vec::new(), &anywhere).ok().filter(Snapshot::is_sure)?;
        let regime = Regime::new(snapshot, self.probes);
        let mut walk = ModalWalk::new(&regime, DVector::zeros(regime.reduced.a.nrows()), period)?;
        if !walk.settles(period) {
            return None;
        }
        walk.start_steadily(period).ok()?;
        let share = DRAWING_SHARE * self.request.accuracy;
        if !show(&mut walk, share, Begin::Periodic(period), observer) {
            observer.restart();
            return None;
        }
        Some(Summary { road: Road::Exact, shown: period, settled: 0.0, work: walk.work })
    }

    /// Where loads keep to their lines nothing changes on the way, and modes tell all; `None` where they can't.
    fn by_modes(
        &self,
        regime: &Regime<'a, 'n>,
        start: &DVector<f64>,
        before: &DVector<f64>,
        observer: &mut dyn Observer,
    ) -> Result<Option<Summary>, Failure> {
        let share = DRAWING_SHARE * self.request.accuracy;
        let period = match self.request.start {
            Start::Steady { period: None } => return Ok(None),
            Start::Steady { period } => period,
            Start::Operating | Start::Rest => None,
        };
        let shown = period.unwrap_or(self.request.span);
        let Some(mut walk) = ModalWalk::new(regime, start.clone(), shown) else { return Ok(None) };
        let begin = match (period, self.request.start) {
            (Some(period), _) => {
                walk.start_steadily(period)?;
                Begin::Periodic(period)
            }
            (None, start) => {
                let clock = Clock::new(&regime.snapshot.equations.sources, 0.0);
                let after = DVector::from_vec(regime.snapshot.extend(&clock.values));
                regime.snapshot.keep_charge(&regime.reduced.scale, &mut walk.start, before, &after);
                if start == Start::Rest { Begin::Empty } else { Begin::AtSignals }
            }
        };
        if !show(&mut walk, share, begin, observer) {
            observer.restart();
            return Ok(None);
        }
        Ok(Some(Summary { road: Road::Exact, shown, settled: 0.0, work: walk.work }))
    }

    /// The periodic state: in closed form while all loads stay on their lines, by repetition where they do not.
    fn periodic_exactly(
        &self,
        walk: &mut Walk<'a, 'a, 'n>,
        guess: &DVector<f64>,
        period: f64,
    ) -> Result<Option<Periodic>, Failure> {
        let regime = Rc::clone(&walk.regimes.now);
        let closed = walk.steady_state(period)?;
        let survey = walk.survey(&closed, period)?;
        match survey.outcome {
            Outcome::Done => return Ok(Some((closed, 0, survey.extremes))),
            Outcome::LeftLine => return Ok(None),
            Outcome::Changed => {}
        }
        let mut bent = false;
        let found = fixed_point(guess.clone(), CLOSELY * self.request.accuracy, |y| {
            let survey = walk.survey(y, period)?;
            bent |= survey.outcome == Outcome::LeftLine;
            if bent {
                return Err(Failure::Aperiodic);
            }
            let undecided = DVector::from_element(y.len(), undecided(&survey.end));
            Ok(Image { state: survey.end, units: survey.extremes.units(&regime), undecided })
        });
        let Found { y, periods, .. } = match found {
            Ok(found) => found,
            Err(NotFound::Failed(_)) if bent => return Ok(None),
            Err(failure) => return Err(failure.named(|state| regime.snapshot.part_of_free(state))),
        };
        let extremes = walk.survey(&y, period)?.extremes;
        Ok(Some((y, periods, extremes)))
    }

    /// The filters as they stand at the start of every period.
    fn filters_of_period(
        &self,
        walk: &mut Walk<'a, 'a, 'n>,
        y: &DVector<f64>,
        period: f64,
        tolerances: &[f64],
    ) -> Result<Filters, Failure> {
        let mut filters = self.first_filters();
        let from = filters_from(&filters, period);
        if from < period {
            let regime = Rc::clone(&walk.regimes.now);
            let mut look = Look::Draw { from, tolerances, filters: &mut filters, observer: &mut Ignore };
            walk.travel(&mut y.clone(), period, &mut look)?;
            walk.regimes.take(&regime);
        }
        Ok(filters.periodic(period))
    }
}
