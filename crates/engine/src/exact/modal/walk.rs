//! Walking a network whose loads keep to their lines from corner to corner, and what its probes come to.

use super::corners::{Corners, Piece};
use super::course::Course;
use super::leg::{Bend, Leg, long_step};
use super::search::{Known, Search};
use super::signals::Signals;
use super::stride::{Stride, add_product};
use crate::equations::Load;
use crate::exact::passage::Passage;
use crate::exact::propagator::{MOST_KINDS, SAME_DURATION};
use crate::exact::regime::Regime;
use crate::exact::walk::{refuse_undamped, unsettled};
use crate::failure::Failure;
use crate::integrator::Work;
use crate::observe::{Enough, Observer, Stretch, Totals};
use nalgebra::{DMatrix, DVector};
use std::collections::HashMap;
use std::rc::Rc;

/// A network whose laws are straight lines for all voltages and currents, on its way.
pub(crate) struct ModalWalk<'w, 'e, 'n> {
    regime: &'w Regime<'e, 'n>,
    signals: Signals,
    /// From which voltage to which each load that could leave its line keeps to it; their voltages are the last signals.
    ranges: Vec<(f64, f64)>,
    corners: Corners<'n>,
    strides: HashMap<u64, Rc<Stride>>,
    next: Vec<f64>,
    pub(crate) work: Work,
}

/// Sees a leg with the state at its start, and moves that to its end.
type Visit<'v, Walk> = dyn FnMut(&mut Walk, &Piece<'_>, &Stride, &mut DVector<f64>) + 'v;

/// What waveforms are known by before they are drawn.
pub(crate) struct Overview {
    /// Departure allowed between each probe's waveform and what is made of it.
    pub(crate) tolerances: Vec<f64>,
    /// Least and greatest value of each at the ends of legs; of one with a low-pass nothing is known before [`ModalWalk::filtered`].
    ranges: Vec<(f64, f64)>,
}

impl<'w, 'e, 'n> ModalWalk<'w, 'e, 'n> {
    /// `None` where this road can't be gone: switches, products of signals, modes that can't be told apart.
    pub(crate) fn new(regime: &'w Regime<'e, 'n>, span: f64) -> Option<Self> {
        let equations = regime.snapshot.equations;
        if equations.loads.iter().any(Load::is_switch) {
            return None;
        }
        let bounded = |load: &usize| regime.ranges[*load].0.is_finite() || regime.ranges[*load].1.is_finite();
        let loads: Vec<usize> = (0..regime.ranges.len()).filter(bounded).collect();
        let signals = Signals::new(&regime.reduced, &equations.network.probes, &loads)?;
        let ranges = loads.iter().map(|load| regime.ranges[*load]).collect();
        let corners = Corners::new(&regime.snapshot, span);
        let next = vec![0.0; regime.reduced.a.nrows()];
        Some(Self {
            regime,
            signals,
            ranges,
            corners,
            strides: HashMap::default(),
            next,
            work: Work::default(),
        })
    }

    fn stride(&mut self, duration: f64) -> Rc<Stride> {
        let key = (duration / SAME_DURATION).round() as u64;
        if self.strides.len() > MOST_KINDS {
            self.strides.clear();
        }
        let (reduced, signals, work) = (&self.regime.reduced, &self.signals, &mut self.work);
        let made = self.strides.entry(key).or_insert_with(|| {
            work.factorizations += 1;
            Rc::new(Stride::new(reduced, signals, duration))
        });
        Rc::clone(made)
    }

    /// Visits all legs: the state at a leg's start, which the visit moves to its end.
    fn travel(&mut self, state: &mut DVector<f64>, visit: &mut Visit<'_, Self>) -> Result<(), Failure> {
        let corners = std::mem::take(&mut self.corners);
        let mut late: Vec<f64> = Vec::new();
        let result = corners.each(|piece| {
            if piece.jumps && !late.is_empty() {
                let [before, after] = [late.as_slice(), piece.sources].map(DVector::from_column_slice);
                self.regime.snapshot.keep_charge(&self.regime.reduced.scale, state, &before, &after);
            }
            let stride = self.stride(piece.end - piece.start);
            self.work.steps += 1;
            visit(self, &piece, &stride, state);
            late.clear();
            let length = piece.end - piece.start;
            late.extend(piece.sources.iter().zip(piece.slopes).map(|(value, slope)| value + slope * length));
            Ok(())
        });
        self.corners = corners;
        result
    }

    /// The state that repeats after the span.
    pub(crate) fn steady_state(&mut self, period: f64) -> Result<DVector<f64>, Failure> {
        let a = &self.regime.reduced.a;
        let mut offset = DVector::zeros(a.nrows());
        if a.is_empty() {
            return Ok(offset);
        }
        self.travel(&mut offset, &mut |walk, piece, stride, state| {
            stride.pass(state.as_mut_slice(), piece.sources, piece.slopes, &mut walk.next);
        })?;
        let change = Passage::change(&self.regime.reduced.a, period);
        self.work.factorizations += 2;
        self.work.solves += 1;
        let slowest = self.signals.spectrum.rates.iter().map(|rate| rate.re * period).fold(-1.0, f64::max);
        if slowest > -LIVELY {
            let size = change.nrows();
            refuse_undamped(self.regime, &(&change + DMatrix::identity(size, size)))?;
        }
        let matrix = -change;
        matrix.full_piv_lu().solve(&offset).ok_or_else(|| unsettled(self.regime, Vec::new()))
    }

    /// Looks at the ends of all legs, from a state on.
    pub(crate) fn overview(&mut self, state: &DVector<f64>, share: f64) -> Result<Overview, Failure> {
        let probes = self.signals.probes;
        let mut ranges = vec![(f64::INFINITY, f64::NEG_INFINITY); probes];
        let sources = self.regime.reduced.b.ncols();
        let (mut most_sources, mut most_slopes) = (vec![0.0f64; sources], vec![0.0f64; sources]);
        let mut most_state = 0.0f64;
        let mut rows = vec![0.0; self.regime.reduced.rows.state.nrows()];
        let mut late = vec![0.0; sources];
        self.travel(&mut state.clone(), &mut |walk, piece, stride, state| {
            let length = piece.end - piece.start;
            late.iter_mut()
                .zip(piece.sources.iter().zip(piece.slopes))
                .for_each(|(late, (value, slope))| *late = value + slope * length);
            for end in [false, true] {
                if end {
                    stride.pass(state.as_mut_slice(), piece.sources, piece.slopes, &mut walk.next);
                }
                let now = if end { late.as_slice() } else { piece.sources };
                walk.rows(state.as_slice(), now, piece.slopes, &mut rows);
                for (range, row) in ranges.iter_mut().zip(&walk.signals.rows) {
                    *range = (range.0.min(rows[*row]), range.1.max(rows[*row]));
                }
                most_state = state.iter().fold(most_state, |most, value| most.max(value.abs()));
                widen(&mut most_sources, now);
            }
            widen(&mut most_slopes, piece.slopes);
        })?;
        let reduced = &self.regime.reduced;
        let state = DVector::from_element(state.len(), most_state);
        let [sources, slopes] = [most_sources, most_slopes].map(DVector::from_vec);
        let mut rounding = reduced.rounding(&state, &sources, &slopes);
        rounding.resize(probes, 0.0);
        let swings = ranges.iter().map(|(least, greatest)| greatest - least);
        let tolerances = swings
            .zip(&rounding)
            .map(|(swing, rounding)| (share * swing).max(*rounding).max(f64::MIN_POSITIVE));
        let tolerances = tolerances.collect();
        for (range, corner) in ranges.iter_mut().zip(&self.signals.corners) {
            if corner.is_some() {
                *range = NOWHERE;
            }
        }
        Ok(Overview { tolerances, ranges })
    }

    fn rows(&self, state: &[f64], sources: &[f64], slopes: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        let rows = &self.regime.reduced.rows;
        add_product(&rows.state, state, out);
        add_product(&rows.sources, sources, out);
        add_product(&rows.slopes, slopes, out);
    }

    /// Where low-passes stand at the start of every period: each is started at its signal and let go through the period once; what it
    /// began with is left with e^(-w T) of its height.
    pub(crate) fn standing(&mut self, state: &DVector<f64>, period: f64) -> Result<Vec<f64>, Failure> {
        let memory =
            self.signals.corners.iter().flatten().map(|corner| FORGOTTEN / corner).fold(0.0, f64::max);
        let from = period - memory;
        let mut tour = Tour::new(self, Vec::new());
        let mut began = vec![0.0; self.signals.probes];
        let mut started = false;
        if memory > 0.0 {
            self.travel(&mut state.clone(), &mut |walk, piece, stride, state| {
                if piece.end <= from {
                    stride.pass(state.as_mut_slice(), piece.sources, piece.slopes, &mut walk.next);
                    return;
                }
                if !started {
                    walk.rows(state.as_slice(), piece.sources, piece.slopes, &mut tour.rows);
                    walk.signals
                        .rows
                        .iter()
                        .zip(&mut began)
                        .for_each(|(row, began)| *began = tour.rows[*row]);
                    tour.stand.clone_from(&began);
                    started = true;
                }
                tour.begin(walk, piece, stride, state);
                tour.end(walk, piece, stride, state);
            })?;
        }
        let corners = self.signals.corners.iter().zip(tour.stand.iter().zip(&began));
        let standing = corners.map(|(corner, (value, began))| {
            let Some(corner) = corner else { return 0.0 };
            (value - (-corner * period).exp() * began) / -(-corner * period).exp_m1()
        });
        Ok(standing.collect())
    }

    /// Looks at the ends of all legs with low-passes that start at `standing`.
    pub(crate) fn filtered(
        &mut self,
        state: &DVector<f64>,
        standing: &[f64],
        overview: &mut Overview,
    ) -> Result<(), Failure> {
        if self.signals.corners.iter().all(Option::is_none) {
            return Ok(());
        }
        let mut tour = Tour::new(self, Vec::new());
        tour.stand[..standing.len()].copy_from_slice(standing);
        self.travel(&mut state.clone(), &mut |walk, piece, stride, state| {
            tour.begin(walk, piece, stride, state);
            tour.end(walk, piece, stride, state);
            for (probe, range) in overview.ranges.iter_mut().enumerate() {
                if tour.leg.filters[probe].is_some() {
                    let (first, last) = (tour.leg.values[probe], tour.ends[probe]);
                    *range = (range.0.min(first).min(last), range.1.max(first).max(last));
                }
            }
        })
    }

    /// Tells the observer of the whole span. Low-passes start at `standing`, or at their signals. False where a load may have left its
    /// line, or modes lost digits that matter, so that nothing of it holds.
    pub(crate) fn show(
        &mut self,
        state: &mut DVector<f64>,
        overview: &Overview,
        standing: Option<&[f64]>,
        observer: &mut dyn Observer,
    ) -> Result<bool, Failure> {
        let mut enough = observer.enough(self.signals.shown);
        enough.resize(self.signals.probes, Enough::Extremes);
        let mut tour = Tour::new(self, enough);
        let (mut started, mut lost) = (false, false);
        self.travel(state, &mut |walk, piece, stride, state| {
            if !started {
                started = true;
                match standing {
                    Some(standing) => tour.stand[..standing.len()].copy_from_slice(standing),
                    None => {
                        walk.rows(state.as_slice(), piece.sources, piece.slopes, &mut tour.rows);
                        let rows = walk.signals.rows.iter();
                        rows.zip(&mut tour.stand).for_each(|(row, stand)| *stand = tour.rows[*row]);
                    }
                }
            }
            if lost {
                return;
            }
            tour.begin(walk, piece, stride, state);
            tour.end(walk, piece, stride, state);
            lost = !tour.meets(walk, piece, state, &overview.tolerances);
            tour.total(walk, piece, stride, overview);
            tour.draw(walk, piece, &overview.tolerances, observer);
        })?;
        if lost {
            return Ok(false);
        }
        let (shown, loads) = tour.totals.split_at(self.signals.shown);
        let keeps = |(((low, high), totals), tolerance): ((&(f64, f64), &Totals), &f64)| {
            totals.least - tolerance > *low && totals.greatest + tolerance < *high
        };
        let tolerances = &overview.tolerances[self.signals.shown..];
        if !self.ranges.iter().zip(loads).zip(tolerances).all(keeps) {
            return Ok(false);
        }
        for (probe, totals) in shown.iter().enumerate() {
            if tour.enough[probe] != Enough::Waveform {
                observer.totals(probe, totals);
            }
        }
        Ok(true)
    }
}

/// A mode that loses this share of itself a period settles, whatever rounding did to its rate.
const LIVELY: f64 = 1e-6;

/// A low-pass has forgotten how it began after so many of its time constants: beyond double precision.
const FORGOTTEN: f64 = 40.0;

fn widen(most: &mut [f64], values: &[f64]) {
    most.iter_mut().zip(values).for_each(|(most, value)| *most = most.max(value.abs()));
}

/// Modes and propagator may part by this many times what is allowed to a drawn waveform, a tenth of the accuracy asked for.
const MET: f64 = 3.0;

/// A walk's view of its probes.
struct Tour {
    enough: Vec<Enough>,
    leg: Leg,
    rows: Vec<f64>,
    raw: Vec<f64>,
    /// Value of each probe at the end of the leg, filtered.
    ends: Vec<f64>,
    /// Where each probe's low-pass stands.
    stand: Vec<f64>,
    totals: Vec<Totals>,
    late: Vec<f64>,
    bends: Vec<Bend>,
    course: Course,
    search: Search,
    shares: Vec<f64>,
    values: Vec<[f64; 3]>,
    points: [Vec<f64>; 2],
    weights: Vec<f64>,
}

impl Tour {
    fn new(walk: &ModalWalk<'_, '_, '_>, enough: Vec<Enough>) -> Self {
        let probes = walk.signals.probes;
        Self {
            enough,
            leg: Leg::default(),
            rows: vec![0.0; walk.regime.reduced.rows.state.nrows()],
            raw: vec![0.0; probes],
            ends: vec![0.0; probes],
            stand: vec![0.0; probes],
            totals: vec![Totals::new(); probes],
            late: Vec::new(),
            bends: Vec::new(),
            course: Course::default(),
            search: Search::default(),
            shares: Vec::new(),
            values: vec![[0.0; 3]; probes],
            points: [vec![0.0; probes], vec![0.0; probes]],
            weights: Vec::new(),
        }
    }

    /// Sets the leg up from the state at its start.
    fn begin(
        &mut self,
        walk: &ModalWalk<'_, '_, '_>,
        piece: &Piece<'_>,
        stride: &Stride,
        state: &DVector<f64>,
    ) {
        let signals = &walk.signals;
        let leg = &mut self.leg;
        leg.length = stride.duration;
        walk.rows(state.as_slice(), piece.sources, piece.slopes, &mut self.rows);
        signals.rows.iter().zip(&mut self.raw).for_each(|(row, raw)| *raw = self.rows[*row]);
        leg.values.clone_from(&self.stand);
        leg.lines.clear();
        leg.lines.resize(signals.probes, 0.0);
        let moving = piece.slopes.iter().any(|slope| *slope != 0.0);
        if moving {
            self.rows.fill(0.0);
            add_product(&walk.regime.reduced.rows.sources, piece.slopes, &mut self.rows);
            signals.rows.iter().zip(&mut leg.lines).for_each(|(row, line)| *line = self.rows[*row]);
        }
        leg.begin_modes(signals, state.as_slice(), piece.sources, piece.slopes, moving);
        leg.begin(signals, &self.raw);
    }

    /// Moves the state and the low-passes to the end of the leg.
    fn end(
        &mut self,
        walk: &mut ModalWalk<'_, '_, '_>,
        piece: &Piece<'_>,
        stride: &Stride,
        state: &mut DVector<f64>,
    ) {
        stride.pass(state.as_mut_slice(), piece.sources, piece.slopes, &mut walk.next);
        self.leg.at_end(&walk.signals, stride, &mut self.ends);
        self.stand.copy_from_slice(&self.ends);
    }

    /// Whether modes and propagator come to the same end; the propagator's word counts.
    fn meets(
        &mut self,
        walk: &ModalWalk<'_, '_, '_>,
        piece: &Piece<'_>,
        state: &DVector<f64>,
        tolerances: &[f64],
    ) -> bool {
        let length = piece.end - piece.start;
        self.late.clear();
        self.late.extend(piece.sources.iter().zip(piece.slopes).map(|(value, slope)| value + slope * length));
        walk.rows(state.as_slice(), &self.late, piece.slopes, &mut self.rows);
        let mut meets = true;
        for (probe, row) in walk.signals.rows.iter().enumerate() {
            if self.leg.filters[probe].is_none() {
                meets &= (self.rows[*row] - self.ends[probe]).abs() <= MET * tolerances[probe];
                self.ends[probe] = self.rows[*row];
            }
        }
        meets
    }

    /// Adds the leg to the totals of those probes for which they are enough.
    fn total(
        &mut self,
        walk: &ModalWalk<'_, '_, '_>,
        piece: &Piece<'_>,
        stride: &Stride,
        overview: &Overview,
    ) {
        let signals = &walk.signals;
        for probe in 0..signals.probes {
            let enough = self.enough[probe];
            if enough == Enough::Waveform {
                continue;
            }
            let totals = &mut self.totals[probe];
            let (first, last) = (self.leg.values[probe], self.ends[probe]);
            if totals.duration == 0.0 {
                totals.first = first;
            }
            let (offset, area) = (first - totals.first, stride.area(signals, &self.leg, probe));
            totals.integral += offset * stride.duration + area;
            if enough == Enough::Totals {
                let square = stride.square(signals, &self.leg, probe, &mut self.shares);
                totals.square += offset * (offset * stride.duration + 2.0 * area) + square;
            }
            totals.duration += stride.duration;
            totals.see(piece.start, first);
            totals.see(piece.end, last);
            // What is known of the ends of legs is known before they are come to.
            let known = overview.ranges[probe];
            let known = (totals.least.min(known.0), totals.greatest.max(known.1));
            let known = Known { least: known.0, greatest: known.1, tolerance: overview.tolerances[probe] };
            self.course.set(signals, &self.leg, &stride.levels, probe);
            self.search.over(&mut self.course, &stride.levels, piece.start, [first, last], known, totals);
        }
    }

    /// Hands parabolas of those probes on of which the waveform is wanted.
    fn draw(
        &mut self,
        walk: &ModalWalk<'_, '_, '_>,
        piece: &Piece<'_>,
        tolerances: &[f64],
        observer: &mut dyn Observer,
    ) {
        let signals = &walk.signals;
        let drawn = |probe: &usize| self.enough[*probe] == Enough::Waveform;
        let probes: Vec<usize> = (0..signals.probes).filter(drawn).collect();
        if probes.is_empty() {
            return;
        }
        if self.weights.is_empty() {
            self.weights = (0..signals.spectrum.rates.len())
                .map(|mode| {
                    let weight =
                        |probe: &usize| signals.magnitude[mode * signals.probes + probe] / tolerances[*probe];
                    probes.iter().map(weight).fold(0.0, f64::max)
                })
                .collect();
        }
        let length = self.leg.length;
        let mut time = 0.0;
        for (values, first) in self.values.iter_mut().zip(&self.leg.values) {
            values[2] = *first;
        }
        self.leg.rewind();
        while time < length {
            self.leg.bends(signals, length, &mut self.bends);
            let modes = self
                .bends
                .iter()
                .zip(&self.weights)
                .map(|(bend, weight)| (bend.rate, bend.magnitude * weight));
            let filters = probes.iter().filter_map(|probe| {
                let filter = self.leg.filters[*probe]?;
                Some((filter.corner, filter.bend(time).abs() / tolerances[*probe]))
            });
            let mut step = long_step(modes.chain(filters), 1.0, length - time);
            let last = step >= (length - time) * (1.0 - 1e-9);
            if last {
                step = length - time;
            }
            let [middle, end] = &mut self.points;
            self.leg.all(signals, time + 0.5 * step, middle);
            if last {
                end.copy_from_slice(&self.ends);
            } else {
                self.leg.all(signals, time + step, end);
            }
            for (probe, values) in self.values.iter_mut().enumerate() {
                *values = [values[2], middle[probe], end[probe]];
            }
            let until = if last { piece.end } else { piece.start + time + step };
            let stretch =
                Stretch { start: piece.start + time, end: until, values: &self.values[..signals.shown] };
            if stretch.end > stretch.start {
                observer.stretch(&stretch);
            }
            time = if last { length } else { time + step };
        }
    }
}

/// Nothing is known.
const NOWHERE: (f64, f64) = (f64::INFINITY, f64::NEG_INFINITY);
