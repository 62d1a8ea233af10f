//! The semilinear road, from start to summary.

use super::{DRAWING_SHARE, Road, Run, Shifted, Start, Summary, filters_from};
use crate::exact::{Begin, Outcome, Regime, show};
use crate::failure::Failure;
use crate::filter::Filters;
use crate::observe::{Ignore, Observer};
use crate::periodic::{Found, Image, NotFound, fixed_point};
use crate::semilinear::{Look, Recording, Semilinear, Tolerances};
use crate::sink::Sink;
use nalgebra::DVector;

/// Error that a step may leave, as a share of the accuracy asked for.
const STEP_SHARE: f64 = 0.03;

/// What a search for the periodic state came to.
enum Search<'a, 'n> {
    /// The state, how many periods were walked, and the steps of the last if that is the steady one.
    Found {
        y: DVector<f64>,
        periods: usize,
        last: Option<Recording<'a, 'n>>,
    },
    LeftLine,
}

impl<'a, 'n> Run<'a, 'n> {
    /// `None` where a load comes to where its law is bent.
    pub(super) fn semilinearly(&self, observer: &mut dyn Observer) -> Result<Option<Summary>, Failure> {
        let (state, x) = self.first_state()?;
        let Some(snapshot) = self.on_lines(&state, &x)? else { return Ok(None) };
        let accuracy = self.request.accuracy;
        let tolerances = Tolerances { step: STEP_SHARE * accuracy, drawing: DRAWING_SHARE * accuracy };
        let (snapshot, settling) = match self.request.start {
            Start::Steady { period: None } => {
                let regime = Regime::new(snapshot, self.probes);
                let time = self.settling_time(&regime)?;
                (regime.snapshot, time)
            }
            _ => (snapshot, 0.0),
        };
        let before = (!self.is_steady()).then(|| self.sources_before(&snapshot));
        let free = DVector::from_vec(snapshot.free(&state));
        let walk = Semilinear::new(snapshot, self.probes, tolerances)?;
        let y = free.component_mul(walk.scale());
        match self.request.start {
            Start::Steady { period: Some(period) } => self.steady_semilinearly(walk, &y, period, observer),
            _ => self.transient_semilinearly(walk, &y, before.as_ref(), settling, observer),
        }
    }

    /// Settles for a while where there is no common period, and shows the span.
    fn transient_semilinearly(
        &self,
        mut walk: Semilinear<'a, 'a, 'n>,
        y: &DVector<f64>,
        before: Option<&DVector<f64>>,
        settling: f64,
        observer: &mut dyn Observer,
    ) -> Result<Option<Summary>, Failure> {
        let shown = self.request.span;
        let summary = |work| Summary { road: Road::Semilinear, shown, settled: settling, work };
        if settling == 0.0 {
            let begin = if self.request.start == Start::Rest { Begin::Empty } else { Begin::AtSignals };
            if self.show_recorded(&mut walk, y, shown, before, begin, observer)? {
                return Ok(Some(summary(walk.work)));
            }
        }
        walk.watch();
        let mut filters = self.first_filters();
        let mut shifted = Shifted { observer, from: settling };
        let sink =
            Sink { probes: self.probes, filters: &mut filters, observer: &mut shifted, from: settling };
        let (outcome, _) = walk.walk(y, settling + shown, before, Look::Draw(sink))?;
        Ok((outcome != Outcome::LeftLine).then_some(summary(walk.work)))
    }

    /// Walks a span and shows it from its steps; false where that can't be done, and the observer has forgotten what it saw of it.
    fn show_recorded(
        &self,
        walk: &mut Semilinear<'a, 'a, 'n>,
        y: &DVector<f64>,
        span: f64,
        before: Option<&DVector<f64>>,
        begin: Begin,
        observer: &mut dyn Observer,
    ) -> Result<bool, Failure> {
        let mut recording = Recording::default();
        let walked = walk.walk(y, span, before, Look::Record(&mut recording));
        if self.may_be_caught(&walked) {
            // Where none does, that shows sooner than by drawing all that comes before.
            walk.watch();
            walk.walk(y, span, before, Look::End)?;
            return Ok(false);
        }
        let (outcome, _) = walked?;
        Ok(outcome == Outcome::Done && self.show(recording, begin, observer))
    }

    /// Whether a walk that did not watch the loads failed of what one of them may catch.
    fn may_be_caught<T>(&self, walked: &Result<T, Failure>) -> bool {
        matches!(walked, Err(Failure::Unbounded { .. })) && !self.equations.loads.is_empty()
    }

    /// Shows a span from its steps.
    fn show(&self, mut recording: Recording<'_, '_>, begin: Begin, observer: &mut dyn Observer) -> bool {
        if !recording.can_be_shown() {
            return false;
        }
        let shown = show(&mut recording, DRAWING_SHARE * self.request.accuracy, begin, observer);
        if !shown {
            observer.restart();
        }
        shown
    }

    /// Finds the periodic state and shows its period.
    ///
    /// Loads seldom leave their lines in a steady state: they are watched where it is shown, and all the way only where need be.
    fn steady_semilinearly(
        &self,
        mut walk: Semilinear<'a, 'a, 'n>,
        mean: &DVector<f64>,
        period: f64,
        observer: &mut dyn Observer,
    ) -> Result<Option<Summary>, Failure> {
        for watched in [false, true] {
            if watched {
                walk.watch();
                observer.restart();
            }
            let search = self.periodic(&mut walk, mean.clone(), period);
            if !watched && self.may_be_caught(&search) {
                continue;
            }
            let Search::Found { y, periods, last } = search? else {
                return Ok(None);
            };
            let settled = periods as f64;
            let summary = |work| Summary { road: Road::Semilinear, shown: period, settled, work };
            if !watched {
                let begin = Begin::Periodic(period);
                let shown = match last {
                    Some(last) => self.show(last, begin, observer),
                    None => self.show_recorded(&mut walk, &y, period, None, begin, observer)?,
                };
                if shown {
                    return Ok(Some(summary(walk.work)));
                }
            }
            let mut filters = self.periodic_filters(&mut walk, &y, period)?;
            let sink =
                Sink { probes: self.probes, filters: &mut filters, observer: &mut *observer, from: 0.0 };
            let (outcome, _) = walk.walk(&y, period, None, Look::Draw(sink))?;
            if outcome == Outcome::LeftLine {
                return Ok(None);
            }
            if outcome == Outcome::Done || watched {
                return Ok(Some(summary(walk.work)));
            }
        }
        Ok(None)
    }

    /// The filters as they stand at the start of every period.
    fn periodic_filters(
        &self,
        walk: &mut Semilinear<'a, 'a, 'n>,
        y: &DVector<f64>,
        period: f64,
    ) -> Result<Filters, Failure> {
        let mut filters = self.first_filters();
        let from = filters_from(&filters, period);
        if from < period {
            let sink = Sink { probes: self.probes, filters: &mut filters, observer: &mut Ignore, from };
            walk.walk(y, period, None, Look::Draw(sink))?;
        }
        Ok(filters.periodic(period))
    }

    fn periodic(
        &self,
        walk: &mut Semilinear<'a, 'a, 'n>,
        mean: DVector<f64>,
        period: f64,
    ) -> Result<Search<'a, 'n>, Failure> {
        let mut left_line = false;
        let guess = walk.guess(mean, period)?;
        let (mut periods, mut last) = (0, None);
        let found = fixed_point(guess.y.clone(), self.request.accuracy, |y| {
            periods += 1;
            // No search ends with its first period; any other may be what is shown.
            let recording = (periods > 1 && !walk.is_watchful()).then(Recording::default);
            let look = match last.insert(recording) {
                Some(recording) => Look::Record(recording),
                None => Look::End,
            };
            let (outcome, state) = walk.walk(y, period, None, look)?;
            if outcome != Outcome::Done {
                last = None;
            }
            if outcome == Outcome::LeftLine {
                left_line = true;
                return Err(Failure::Aperiodic);
            }
            Ok(Image { state: guess.next(y, state), units: walk.units(), undecided: walk.undecided() })
        });
        match found {
            Ok(Found { y, periods, walked }) => {
                Ok(Search::Found { y, periods, last: last.flatten().filter(|_| walked) })
            }
            Err(NotFound::Failed(_)) if left_line => Ok(Search::LeftLine),
            Err(failure) => Err(failure.named(|state| walk.name(state))),
        }
    }
}
