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

impl<'n> Run<'_, 'n> {
    /// `None` where a load leaves the straight line it starts on.
    pub(super) fn semilinearly(&self, observer: &mut dyn Observer) -> Result<Option<Summary>, Failure> {
        let (state, x) = self.first_state()?;
        let Some(snapshot) = self.on_lines(&state, &x)? else { return Ok(None) };
        let accuracy = self.request.accuracy;
        let tolerances = Tolerances { step: STEP_SHARE * accuracy, drawing: DRAWING_SHARE * accuracy };
        let mut walk = Semilinear::new(&snapshot, self.probes, tolerances)?;
        let mut y = DVector::from_vec(snapshot.free(&state)).component_mul(walk.scale());
        let mut filters = self.first_filters();
        let (mut shown, mut settled, mut settling) = (self.request.span, 0.0, 0.0);
        match self.request.start {
            Start::Steady { period: Some(period) } => match self.periodic(&mut walk, y.clone(), period)? {
                Search::LeftLine => return Ok(None),
                Search::Found { y: found, periods, filters: standing } => {
                    (y, filters, shown, settled) = (found, standing, period, periods as f64);
                }
            },
            Start::Steady { period: None } => {
                settling = self.settling_time(&Regime::new(
                    self.on_lines(&state, &x)?.ok_or(Failure::Aperiodic)?,
                    self.probes,
                ))?;
                settled = settling;
            }
            Start::Operating | Start::Rest => {}
        }
        let before = (!self.is_steady()).then(|| self.sources_before(&snapshot));
        let mut shifted = Shifted { observer, from: settling };
        let sink =
            Sink { probes: self.probes, filters: &mut filters, observer: &mut shifted, from: settling };
        let (outcome, _) = walk.walk(&y, settling + shown, before.as_ref(), Some(sink))?;
        let summary = Summary { road: Road::Semilinear, shown, settled, work: walk.work };
        Ok((outcome == Outcome::Done).then_some(summary))
    }

    fn periodic(
        &self,
        walk: &mut Semilinear<'_, '_, 'n>,
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
