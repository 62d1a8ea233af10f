//! A view of the probes along the legs of a span.

use super::course::reaches;
use super::drawing::Drawing;
use super::leg::Leg;
use super::passed::{Instant, Passed};
use super::search::{Known, Search};
use super::signals::Signals;
use super::stride::add_product;
use crate::exact::reduced::Reduced;
use crate::observe::{Enough, Observer, Stretch, Totals};

/// Modes and propagator may part by this many times what is allowed to a drawn waveform, a tenth of the accuracy asked for.
const MET: f64 = 3.0;

/// What waveforms are known by before they are drawn.
pub(crate) struct Overview {
    /// Departure allowed between each probe's waveform and what is made of it.
    pub(crate) tolerances: Vec<f64>,
    /// Least and greatest value of each at the ends of legs; of one with a low-pass nothing is known before it has been gone through.
    pub(crate) ranges: Vec<(f64, f64)>,
}

impl Overview {
    fn known(&self, probe: usize) -> Known {
        let (least, greatest) = self.ranges[probe];
        Known { least, greatest, tolerance: self.tolerances[probe] }
    }
}

/// Where all probes are along the way.
pub(super) struct Tour {
    pub(super) enough: Vec<Enough>,
    pub(super) leg: Leg,
    rows: Vec<f64>,
    raw: Vec<f64>,
    /// Value of each probe at the end of the leg, filtered.
    pub(super) ends: Vec<f64>,
    /// Where each probe's low-pass stands.
    pub(super) stand: Vec<f64>,
    pub(super) totals: Vec<Totals>,
    /// Of each probe.
    searches: Vec<Search>,
    shares: Vec<f64>,
    areas: Vec<f64>,
    reaches: Vec<[f64; 2]>,
    drawing: Drawing,
}

/// Values of all rows at an instant.
pub(super) fn rows_at(reduced: &Reduced, at: &Instant<'_>, slopes: &[f64], out: &mut Vec<f64>) {
    let rows = &reduced.rows;
    out.clear();
    out.resize(rows.state.nrows(), 0.0);
    add_product(&rows.state, at.state, out);
    add_product(&rows.sources, at.sources, out);
    add_product(&rows.slopes, slopes, out);
    add_product(&rows.excess, at.rest, out);
}

impl Tour {
    pub(super) fn new(signals: &Signals, enough: Vec<Enough>) -> Self {
        let probes = signals.probes;
        let drawing = Drawing::new(probes, &enough);
        Self {
            enough,
            leg: Leg::default(),
            rows: Vec::new(),
            raw: vec![0.0; probes],
            ends: vec![0.0; probes],
            stand: vec![0.0; probes],
            totals: vec![Totals::new(); probes],
            searches: Vec::new(),
            shares: Vec::new(),
            areas: Vec::new(),
            reaches: Vec::new(),
            drawing,
        }
    }

    /// Puts every low-pass where its signal is.
    pub(super) fn stand_at_signals(&mut self, passed: &Passed<'_>) {
        rows_at(passed.reduced, &passed.from, passed.slopes, &mut self.rows);
        let rows = passed.signals.rows.iter();
        rows.zip(&mut self.stand).for_each(|(row, stand)| *stand = self.rows[*row]);
    }

    /// Sets the leg up from what it starts with, and moves the low-passes to its end.
    pub(super) fn pass(&mut self, passed: &Passed<'_>) {
        let signals = passed.signals;
        let leg = &mut self.leg;
        leg.length = passed.stride.duration;
        rows_at(passed.reduced, &passed.from, passed.slopes, &mut self.rows);
        signals.rows.iter().zip(&mut self.raw).for_each(|(row, raw)| *raw = self.rows[*row]);
        leg.values.clone_from(&self.stand);
        leg.lines.clear();
        leg.lines.resize(signals.probes, 0.0);
        let bent = !passed.growth.is_empty();
        let moving = passed.slopes.iter().any(|slope| *slope != 0.0);
        if moving || bent {
            self.rows.fill(0.0);
            add_product(&passed.reduced.rows.sources, passed.slopes, &mut self.rows);
            add_product(&passed.reduced.rows.excess, passed.growth, &mut self.rows);
            signals.rows.iter().zip(&mut leg.lines).for_each(|(row, line)| *line = self.rows[*row]);
        }
        leg.begin_modes(signals, passed.from.state, passed.from.sources, passed.slopes, moving);
        if bent {
            leg.force(signals, passed.from.rest, passed.growth);
        }
        leg.begin(signals, &self.raw);
        leg.at_end(signals, passed.stride, &mut self.ends);
        self.stand.copy_from_slice(&self.ends);
    }

    /// Whether modes and propagator come to the same end; the propagator's word counts.
    pub(super) fn meets(&mut self, passed: &Passed<'_>, tolerances: &[f64]) -> bool {
        rows_at(passed.reduced, &passed.to, passed.slopes, &mut self.rows);
        let mut meets = true;
        for (probe, row) in passed.signals.rows.iter().enumerate() {
            if self.leg.filters[probe].is_none() {
                meets &= (self.rows[*row] - self.ends[probe]).abs() <= MET * tolerances[probe];
                self.ends[probe] = self.rows[*row];
            }
        }
        meets
    }

    /// Adds the leg to the totals of those probes for which they are enough.
    pub(super) fn total(&mut self, passed: &Passed<'_>, overview: &Overview) {
        let (signals, stride) = (passed.signals, passed.stride);
        stride.areas(signals, &self.leg, &mut self.areas);
        reaches(signals, &self.leg, &stride.rates, &mut self.reaches);
        self.searches.resize_with(signals.probes, Search::default);
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
            let (offset, area) = (first - totals.first, self.areas[probe]);
            totals.integral += offset * stride.duration + area;
            if enough == Enough::Totals {
                let square = stride.square(signals, &self.leg, probe, &mut self.shares);
                totals.square += offset * (offset * stride.duration + 2.0 * area) + square;
            }
            totals.duration += stride.duration;
            totals.see(passed.start, first);
            totals.see(passed.end, last);
            // What is known of the ends of legs is known before they are come to.
            let known = overview.known(probe);
            let sides = known.with(totals).can_be_passed([first, last], self.reaches[probe]);
            if sides != [false; 2] {
                let search = &mut self.searches[probe];
                search.add(signals, &self.leg, passed, probe, last, sides, known, totals);
            }
        }
    }

    /// Looks at what has been put off.
    pub(super) fn finish(&mut self, overview: &Overview) {
        for (probe, (search, totals)) in self.searches.iter_mut().zip(&mut self.totals).enumerate() {
            search.finish(overview.known(probe), totals);
        }
    }

    /// Hands parabolas of those probes on of which the waveform is wanted.
    pub(super) fn draw(
        &mut self,
        passed: &Passed<'_>,
        shown: usize,
        tolerances: &[f64],
        observer: &mut dyn Observer,
    ) {
        self.drawing.draw(passed, &self.leg, &self.ends, tolerances, &mut |stretch| {
            observer.stretch(&Stretch { values: &stretch.values[..shown], ..*stretch });
        });
    }
}
