//! The exact road, from start to summary.

use super::{DRAWING_SHARE, Road, Run, Shifted, Start, Summary, filters_from};
use crate::exact::{Outcome, Reduced, Walk, energy_scale};
use crate::failure::Failure;
use crate::integrator::Work;
use crate::observe::{Ignore, Observer};
use nalgebra::DVector;

impl Run<'_, '_> {
    /// `None` where a load leaves the straight line it starts on.
    pub(super) fn exactly(&self, observer: &mut dyn Observer) -> Result<Option<Summary>, Failure> {
        let (state, x) = self.first_state()?;
        let Some(snapshot) = self.on_lines(&state, &x)? else { return Ok(None) };
        let reduced = Reduced::new(&snapshot, self.probes, energy_scale(&snapshot), &[]);
        let mut walk = Walk::new(&snapshot, &reduced);
        let free = DVector::from_vec(snapshot.free(&state)).component_mul(&reduced.scale);
        let (mut y, shown, settled) = match self.request.start {
            Start::Steady { period: Some(period) } => (walk.steady_state(period)?, period, 0.0),
            Start::Steady { period: None } => (free, self.request.span, self.settling_time(&snapshot)?),
            Start::Operating | Start::Rest => (free, self.request.span, 0.0),
        };
        let total = settled + shown;
        let tolerances = walk.tolerances(&y, total, DRAWING_SHARE * self.request.accuracy);
        let mut filters = self.first_filters();
        if let Start::Steady { period: Some(period) } = self.request.start {
            let from = filters_from(&filters, period);
            let outcome = walk.walk(&mut y.clone(), period, from, &tolerances, &mut filters, &mut Ignore);
            if outcome == Outcome::LeftLine {
                return Ok(None);
            }
            filters = filters.periodic(period);
        }
        if !self.is_steady() {
            walk.jump_at_start(&mut y, &self.sources_before(&snapshot));
        }
        let mut shifted = Shifted { observer, from: settled };
        let outcome = walk.walk(&mut y, total, settled, &tolerances, &mut filters, &mut shifted);
        let summary = Summary { road: Road::Exact, shown, settled, work: Work::default() };
        Ok((outcome == Outcome::Done).then_some(summary))
    }
}
