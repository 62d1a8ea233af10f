//! Walking a network whose loads keep to their lines from corner to corner.

use super::corners::Corners;
use super::passed::{Instant, Legs, Passed};
use super::signals::Signals;
use super::stride::Stride;
use crate::equations::Load;
use crate::exact::passage::{Forcing, Passage};
use crate::exact::propagator::{MOST_KINDS, SAME_DURATION};
use crate::exact::reduced::Reduced;
use crate::exact::regime::Regime;
use crate::exact::walk::{refuse_undamped, unsettled};
use crate::failure::Failure;
use crate::integrator::Work;
use nalgebra::{DMatrix, DVector};
use std::collections::HashMap;
use std::rc::Rc;

/// A mode that loses this share of itself a period settles, whatever rounding did to its rate.
const LIVELY: f64 = 1e-6;

/// An exponential costs as much as so many products.
const MOST_FACTORS: usize = 24;

/// A network whose laws are straight lines for all voltages and currents, on its way.
pub(crate) struct ModalWalk<'w, 'e, 'n> {
    regime: &'w Regime<'e, 'n>,
    signals: Signals,
    /// From which voltage to which each load that could leave its line keeps to it; their voltages are the last signals.
    ranges: Vec<(f64, f64)>,
    corners: Corners<'n>,
    forcing: Forcing,
    kinds: HashMap<u64, Rc<Kind>>,
    /// The state at time 0.
    pub(crate) start: DVector<f64>,
    pub(crate) work: Work,
}

/// All legs of one duration.
struct Kind {
    passage: Passage,
    stride: Stride,
}

impl<'w, 'e, 'n> ModalWalk<'w, 'e, 'n> {
    /// `None` where this road can't be gone: switches, products of signals, modes that can't be told apart.
    pub(crate) fn new(regime: &'w Regime<'e, 'n>, start: DVector<f64>, span: f64) -> Option<Self> {
        let equations = regime.snapshot.equations;
        if equations.loads.iter().any(Load::is_switch) {
            return None;
        }
        let bounded = |load: &usize| regime.ranges[*load].0.is_finite() || regime.ranges[*load].1.is_finite();
        let loads: Vec<usize> = (0..regime.ranges.len()).filter(bounded).collect();
        let signals = Signals::new(&regime.reduced, &equations.network.probes, &loads)?;
        let ranges = loads.iter().map(|load| regime.ranges[*load]).collect();
        let corners = Corners::new(&regime.snapshot, span);
        let forcing = Forcing::new(&regime.reduced, &corners.still());
        Some(Self {
            regime,
            signals,
            ranges,
            corners,
            forcing,
            kinds: HashMap::default(),
            start,
            work: Work::default(),
        })
    }

    fn kind(&mut self, duration: f64) -> Rc<Kind> {
        let key = (duration / SAME_DURATION).round() as u64;
        if self.kinds.len() > MOST_KINDS {
            self.kinds.clear();
        }
        let (reduced, forcing, signals) = (&self.regime.reduced, &self.forcing, &self.signals);
        let work = &mut self.work;
        let made = self.kinds.entry(key).or_insert_with(|| {
            work.factorizations += 1;
            let (passage, stride) =
                (Passage::new(reduced, forcing, duration), Stride::new(signals, duration));
            Rc::new(Kind { passage, stride })
        });
        Rc::clone(made)
    }

    /// What a period does to the state of itself: of few legs their product, of many an exponential of its own.
    fn change_over(&mut self, period: f64) -> DMatrix<f64> {
        let a = &self.regime.reduced.a;
        let size = a.nrows();
        let Some(lengths) = self.corners.lengths(MOST_FACTORS) else {
            self.work.factorizations += 1;
            return Passage::change(a, period);
        };
        let mut change = DMatrix::<f64>::zeros(size, size);
        for length in lengths {
            self.kind(length).passage.follow(&mut change);
        }
        change
    }

    /// Whether every mode surely loses a share of itself in a period.
    pub(crate) fn settles(&self, period: f64) -> bool {
        self.signals.spectrum.rates.iter().all(|rate| rate.re * period < -LIVELY)
    }

    /// Starts from the state that repeats after the span.
    pub(crate) fn start_steadily(&mut self, period: f64) -> Result<(), Failure> {
        let a = &self.regime.reduced.a;
        self.start = DVector::zeros(a.nrows());
        if a.is_empty() {
            return Ok(());
        }
        let mut offset = self.start.clone();
        let (mut first, mut late) = (Vec::new(), Vec::new());
        self.each(&mut |passed| {
            if first.is_empty() {
                first.extend_from_slice(passed.from.sources);
            }
            late.clear();
            late.extend_from_slice(passed.to.sources);
            offset.copy_from_slice(passed.to.state);
        });
        // A source may jump where one period ends and the next begins.
        let [late, first] = [late, first].map(DVector::from_vec);
        self.regime.snapshot.keep_charge(&self.regime.reduced.scale, &mut offset, &late, &first);
        let change = self.change_over(period);
        self.work.factorizations += 1;
        self.work.solves += 1;
        if !self.settles(period) {
            let size = change.nrows();
            refuse_undamped(self.regime, &(&change + DMatrix::identity(size, size)))?;
        }
        let matrix = -change;
        self.start = matrix.full_piv_lu().solve(&offset).ok_or_else(|| unsettled(self.regime, Vec::new()))?;
        Ok(())
    }
}

impl Legs for ModalWalk<'_, '_, '_> {
    fn each(&mut self, visit: &mut dyn FnMut(&Passed<'_>)) {
        let corners = std::mem::take(&mut self.corners);
        let mut state = self.start.clone();
        let mut next = vec![0.0; state.len()];
        let mut late: Vec<f64> = Vec::new();
        corners.each(|piece| {
            let reduced = &self.regime.reduced;
            if piece.jumps && !late.is_empty() {
                let [before, after] = [late.as_slice(), piece.sources].map(DVector::from_column_slice);
                self.regime.snapshot.keep_charge(&reduced.scale, &mut state, &before, &after);
            }
            let length = piece.end - piece.start;
            let kind = self.kind(length);
            self.work.steps += 1;
            kind.passage.pass(&self.forcing, state.as_slice(), piece.sources, piece.slopes, &mut next);
            late.clear();
            late.extend(piece.sources.iter().zip(piece.slopes).map(|(value, slope)| value + slope * length));
            visit(&Passed {
                reduced: &self.regime.reduced,
                signals: &self.signals,
                stride: &kind.stride,
                start: piece.start,
                end: piece.end,
                from: Instant { state: state.as_slice(), sources: piece.sources, rest: &[] },
                to: Instant { state: &next, sources: &late, rest: &[] },
                slopes: piece.slopes,
                growth: &[],
            });
            state.copy_from_slice(&next);
        });
        self.corners = corners;
    }

    fn some(&self) -> (&Reduced, &Signals) {
        (&self.regime.reduced, &self.signals)
    }

    fn ranges(&self) -> &[(f64, f64)] {
        &self.ranges
    }
}
