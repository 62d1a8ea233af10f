//! The semilinear road, from start to summary.

use super::{DRAWING_SHARE, Road, Run, Shifted, Start, Summary, filters_from};
use crate::exact::{Outcome, Regime};
use crate::failure::Failure;
use crate::filter::Filters;
use crate::observe::{Ignore, Observer};
use crate::periodic::{Image, NotFound, fixed_point};
use crate::semilinear::{Semilinear, Tolerances};
use crate::sink::Sink;
use nalgebra::DVector;

/// Error that a step may leave, as a share of the accuracy asked for.
const STEP_SHARE: f64 = 0.03;

/// What a search for the periodic state came to.
enum Search {
    Found { y: DVector<f64>, periods: usize, filters: Filters },
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
        walk.watch();
        let mut filters = self.first_filters();
        let mut shifted = Shifted { observer, from: settling };
        let sink =
            Sink { probes: self.probes, filters: &mut filters, observer: &mut shifted, from: settling };
        let shown = self.request.span;
        let (outcome, _) = walk.walk(y, settling + shown, before, Some(sink))?;
        let summary = Summary { road: Road::Semilinear, shown, settled: settling, work: walk.work };
        Ok((outcome != Outcome::LeftLine).then_some(summary))
    }

    /// Finds the periodic state and shows its period.
    ///
    /// Loads seldom leave their lines in a steady state: they are watched where it is drawn, and all the way only where need be.
    fn steady_semilinearly(
        &self,
        mut walk: Semilinear<'a, 'a, 'n>,
        guess: &DVector<f64>,
        period: f64,
        observer: &mut dyn Observer,
    ) -> Result<Option<Summary>, Failure> {
        for watched in [false, true] {
            if watched {
                walk.watch();
                observer.restart();
            }
            let Search::Found { y, periods, mut filters } =
                self.periodic(&mut walk, guess.clone(), period)?
            else {
                return Ok(None);
            };
            let sink =
                Sink { probes: self.probes, filters: &mut filters, observer: &mut *observer, from: 0.0 };
            let (outcome, _) = walk.walk(&y, period, None, Some(sink))?;
            if outcome == Outcome::LeftLine {
                return Ok(None);
            }
            if outcome == Outcome::Done || watched {
                let settled = periods as f64;
                return Ok(Some(Summary { road: Road::Semilinear, shown: period, settled, work: walk.work }));
            }
        }
        Ok(None)
    }

    fn periodic(
        &self,
        walk: &mut Semilinear<'a, 'a, 'n>,
        guess: DVector<f64>,
        period: f64,
    ) -> Result<Search, Failure> {
        let mut standing = self.first_filters();
        let mut left_line = false;
        let found = fixed_point(guess, self.request.accuracy, |y| {
            let mut filters = self.first_filters();
            let from = filters_from(&filters, period);
            let sink = Sink { probes: self.probes, filters: &mut filters, observer: &mut Ignore, from };
            let (outcome, state) = walk.walk(y, period, None, Some(sink))?;
            if outcome == Outcome::LeftLine {
                left_line = true;
                return Err(Failure::Aperiodic);
            }
            standing = filters.periodic(period);
            Ok(Image { state, units: walk.units(), undecided: walk.undecided() })
        });
        match found {
            Ok((y, periods)) => Ok(Search::Found { y, periods, filters: standing }),
            Err(NotFound::Failed(_)) if left_line => Ok(Search::LeftLine),
            Err(failure) => Err(failure.named(|state| walk.name(state))),
        }
    }
}
