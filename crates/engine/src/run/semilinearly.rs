//! The semilinear road, from start to summary.

use super::{DRAWING_SHARE, Road, Run, Shifted, Start, Summary, filters_from};
use crate::exact::{Outcome, Regime};
use crate::failure::Failure;
use crate::filter::Filters;
use crate::observe::{Ignore, Observer};
use crate::periodic::{Image, NotFound, fixed_point};
use crate::semilinear::{Semilinear, Tolerances};
use crate::sink::Sink;
use crate::snapshot::{Snapshot, State};
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
        self.semilinearly_from(snapshot, &state, tolerances, settling, observer)
    }

    fn semilinearly_from(
        &self,
        snapshot: Snapshot<'a, 'n>,
        state: &State,
        tolerances: Tolerances,
        settling: f64,
        observer: &mut dyn Observer,
    ) -> Result<Option<Summary>, Failure> {
        let before = (!self.is_steady()).then(|| self.sources_before(&snapshot));
        let free = DVector::from_vec(snapshot.free(state));
        let mut walk = Semilinear::new(snapshot, self.probes, tolerances)?;
        let guess = free.component_mul(walk.scale());
        let Start::Steady { period: Some(period) } = self.request.start else {
            walk.watch();
            let mut filters = self.first_filters();
            let span = settling + self.request.span;
            let outcome = self.draw_semilinearly(
                &mut walk,
                &guess,
                span,
                settling,
                before.as_ref(),
                &mut filters,
                observer,
            )?;
            let summary = Summary {
                road: Road::Semilinear,
                shown: self.request.span,
                settled: settling,
                work: walk.work,
            };
            return Ok((outcome != Outcome::LeftLine).then_some(summary));
        };
        // Loads seldom leave their lines in a steady state: they are watched where it is drawn, and all the way only where need be.
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
            let outcome = self.draw_semilinearly(&mut walk, &y, period, 0.0, None, &mut filters, observer)?;
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

    #[allow(clippy::too_many_arguments)]
    fn draw_semilinearly(
        &self,
        walk: &mut Semilinear<'a, 'a, 'n>,
        y: &DVector<f64>,
        span: f64,
        from: f64,
        before: Option<&DVector<f64>>,
        filters: &mut Filters,
        observer: &mut dyn Observer,
    ) -> Result<Outcome, Failure> {
        let mut shifted = Shifted { observer, from };
        let sink = Sink { probes: self.probes, filters, observer: &mut shifted, from };
        Ok(walk.walk(y, span, before, Some(sink))?.0)
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
            Ok(Image { state, units: walk.units() })
        });
        match found {
            Ok((y, periods)) => Ok(Search::Found { y, periods, filters: standing }),
            Err(NotFound::Failed(_)) if left_line => Ok(Search::LeftLine),
            Err(failure) => Err(failure.named(|state| walk.name(state))),
        }
    }
}
