//! The single-pole low-pass in front of a probe, moved exactly along each parabola.
//!
//! With y' = w (s - y) and s = a + b t + c t^2 on a stretch, y follows the parabola
//! (a - b/w + 2c/w^2) + (b - 2c/w) t + c t^2 plus a decaying exponential that takes up the difference at the start.
//! Where that exponential matters the stretch is cut finer, so that parabolas go on describing it.

use crate::observe::{Observer, Stretch};
use network::primitive::Probe;

/// First cut of a decaying exponential, in time constants: a parabola through three points of it errs by
/// `CUT`^3 / (72 sqrt 3), 8e-6 of its height. Later cuts grow so that this error stays the same.
const CUT: f64 = 0.1;
/// An exponential below this fraction of the probe's swing is left out.
const NEGLIGIBLE: f64 = 1e-7;

/// Phase of a stretch, in radians of the filter, below which its effect is integrated by quadrature: three points are exact for
/// a parabola and err by `SLOW`^4 / 2e3 through the exponential, 5e-8 of what the stretch adds.
const SLOW: f64 = 0.1;
/// Three-point Gauss-Legendre quadrature on -1 .. 1 (Abramowitz and Stegun, table 25.4).
const GAUSS: [(f64, f64); 3] =
    [(-0.774_596_669_241_483_4, 5.0 / 9.0), (0.0, 8.0 / 9.0), (0.774_596_669_241_483_4, 5.0 / 9.0)];

/// One low-pass with its state.
#[derive(Clone, Copy, Debug)]
struct LowPass {
    /// Corner in radians per second.
    corner: f64,
    value: f64,
    /// Value that it began with.
    began: f64,
    least: f64,
    greatest: f64,
}

/// The filters of all probes, between the engine and an observer.
pub(crate) struct Filters {
    filters: Vec<Option<LowPass>>,
    cuts: Vec<f64>,
    pieces: Vec<[f64; 3]>,
    started: bool,
}

/// a + b t + c t^2 with t from the start of a stretch.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Parabola {
    a: f64,
    b: f64,
    c: f64,
}

impl Parabola {
    pub(crate) fn through(values: [f64; 3], length: f64) -> Self {
        let [start, middle, end] = values;
        Self {
            a: start,
            b: (4.0 * middle - 3.0 * start - end) / length,
            c: 2.0 * (start + end - 2.0 * middle) / (length * length),
        }
    }

    fn at(self, t: f64) -> f64 {
        self.a + t * (self.b + t * self.c)
    }

    /// Start, middle and end of a piece of it.
    pub(crate) fn piece(self, from: f64, to: f64) -> [f64; 3] {
        [from, 0.5 * (from + to), to].map(|t| self.at(t))
    }

    /// What a low-pass makes of it once its start is forgotten.
    fn followed(self, corner: f64) -> Self {
        let lag = 1.0 / corner;
        Self { a: self.a - lag * (self.b - 2.0 * lag * self.c), b: self.b - 2.0 * lag * self.c, c: self.c }
    }
}

impl Filters {
    /// `None` as values: each filter starts at its signal's first value.
    pub(crate) fn new(probes: &[Probe], values: Option<&[f64]>) -> Self {
        let filters = probes.iter().enumerate().map(|(index, probe)| {
            probe.bandwidth.map(|bandwidth| LowPass {
                corner: std::f64::consts::TAU * bandwidth,
                value: values.map_or(0.0, |values| values[index]),
                began: values.map_or(0.0, |values| values[index]),
                least: f64::INFINITY,
                greatest: f64::NEG_INFINITY,
            })
        });
        Self {
            filters: filters.collect(),
            cuts: Vec::new(),
            pieces: vec![[0.0; 3]; probes.len()],
            started: values.is_some(),
        }
    }

    /// How long the slowest filter remembers, in seconds: 40 time constants, beyond double precision.
    pub(crate) fn memory(&self) -> f64 {
        self.filters.iter().flatten().map(|filter| 40.0 / filter.corner).fold(0.0, f64::max)
    }

    /// Filters whose states repeat after `period`, given that these walked the last of a period (all of it, where they remember
    /// more). What a filter began with is left with e^(-w T) of its height after a period, so the repeating value follows.
    pub(crate) fn periodic(mut self, period: f64) -> Self {
        for filter in self.filters.iter_mut().flatten() {
            let left = (-filter.corner * period).exp();
            filter.value = (filter.value - left * filter.began) / -(-filter.corner * period).exp_m1();
        }
        self
    }

    /// Passes a stretch of raw signals on, filtered.
    pub(crate) fn pass(&mut self, raw: &Stretch<'_>, observer: &mut dyn Observer) {
        if self.filters.iter().all(Option::is_none) {
            observer.stretch(raw);
            return;
        }
        if !self.started {
            self.started = true;
            for (filter, values) in self.filters.iter_mut().zip(raw.values) {
                if let Some(filter) = filter {
                    filter.value = values[0];
                    filter.began = values[0];
                }
            }
        }
        let length = raw.end - raw.start;
        self.cut(raw, length);
        let mut from = 0.0;
        for index in 0..self.cuts.len() {
            let to = self.cuts[index];
            self.pass_piece(raw, length, from, to);
            let (start, end) = (raw.start + from, if to == length { raw.end } else { raw.start + to });
            observer.stretch(&Stretch { start, end, values: &self.pieces });
            from = to;
        }
        for (filter, values) in self.filters.iter_mut().zip(raw.values) {
            if let Some(filter) = filter {
                filter.value = filter.after(*values, length, length);
            }
        }
    }

    /// Ends of the pieces that a stretch is cut into, by the filter that needs most.
    fn cut(&mut self, raw: &Stretch<'_>, length: f64) {
        self.cuts.clear();
        for (filter, values) in self.filters.iter().zip(raw.values) {
            let Some(filter) = filter else { continue };
            if filter.is_slow(length) {
                continue;
            }
            let follow = Parabola::through(*values, length).followed(filter.corner);
            let height = (filter.value - follow.a).abs();
            let swing = (filter.greatest - filter.least).max(1e-9 * filter.value.abs());
            if height <= NEGLIGIBLE * swing {
                continue;
            }
            let mut phase = 0.0;
            let decades = (height / (NEGLIGIBLE * swing.max(height * 1e-3))).ln();
            while phase < decades {
                phase += CUT * (phase / 3.0).exp();
                let at = phase / filter.corner;
                if at >= length {
                    break;
                }
                self.cuts.push(at);
            }
        }
        self.cuts.push(length);
        self.cuts.sort_by(f64::total_cmp);
        // Cuts of several filters may nearly meet.
        self.cuts.dedup_by(|later, earlier| *later - *earlier < 1e-9 * length);
        if let Some(last) = self.cuts.last_mut() {
            *last = length;
        }
    }

    fn pass_piece(&mut self, raw: &Stretch<'_>, length: f64, from: f64, to: f64) {
        let middle = 0.5 * (from + to);
        for (index, values) in raw.values.iter().enumerate() {
            let parabola = Parabola::through(*values, length);
            let piece = match &mut self.filters[index] {
                None => parabola.piece(from, to),
                Some(filter) => {
                    let piece = [from, middle, to].map(|t| filter.after(*values, length, t));
                    filter.least = piece.iter().copied().fold(filter.least, f64::min);
                    filter.greatest = piece.iter().copied().fold(filter.greatest, f64::max);
                    piece
                }
            };
            self.pieces[index] = piece;
        }
        if self.cuts.len() == 1 {
            // An uncut stretch keeps its raw values to the last bit.
            for (index, values) in raw.values.iter().enumerate() {
                if self.filters[index].is_none() {
                    self.pieces[index] = *values;
                }
            }
        }
    }
}

impl LowPass {
    /// Value `t` seconds into a stretch.
    fn after(&self, values: [f64; 3], length: f64, t: f64) -> f64 {
        let parabola = Parabola::through(values, length);
        if self.is_slow(length) {
            // y e^(-w t) plus the integral of w e^(-w (t - u)) s(u): the closed form would cancel, this one does not.
            let half = 0.5 * t;
            let weighed = GAUSS.iter().map(|(place, weight)| {
                let u = half * (1.0 + place);
                weight * (-self.corner * (t - u)).exp() * parabola.at(u)
            });
            let kept = self.value * (-self.corner * t).exp();
            return kept + self.corner * half * weighed.sum::<f64>();
        }
        let follow = parabola.followed(self.corner);
        follow.at(t) + (self.value - follow.a) * (-self.corner * t).exp()
    }

    /// Whether the filter hardly moves over a stretch, so that it needs no cuts.
    fn is_slow(&self, length: f64) -> bool {
        self.corner * length < SLOW
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::observe::Observer;
    use network::primitive::{Signal, Term};

    struct Ends(Vec<(f64, f64)>);
    impl Observer for Ends {
        fn restart(&mut self) {}

        fn stretch(&mut self, stretch: &Stretch<'_>) {
            self.0.push((stretch.end, stretch.values[0][2]));
        }
    }

    fn probe(bandwidth: f64) -> Probe {
        Probe { signal: Signal::Linear(vec![(1.0, Term::NodeVoltage(1))]), bandwidth: Some(bandwidth) }
    }

    /// A pulse of 1 V every 50 us, 40 % long, through a corner of 1 mHz: the mean comes through, and of the ripple what a single
    /// pole leaves far above its corner, a triangle of 2 pi f D (1 - D) T V. Cancellation would leave nothing of it.
    #[test]
    fn far_below_the_ripple() {
        let (period, duty, bandwidth) = (50e-6, 0.4, 1e-3);
        let mut filters = Filters::new(&[probe(bandwidth)], None);
        let walk = |filters: &mut Filters, ends: &mut Ends| {
            let on = duty * period;
            filters.pass(&Stretch { start: 0.0, end: on, values: &[[1.0; 3]] }, ends);
            filters.pass(&Stretch { start: on, end: period, values: &[[0.0; 3]] }, ends);
        };
        walk(&mut filters, &mut Ends(Vec::new()));
        let mut filters = filters.periodic(period);
        let mut ends = Ends(Vec::new());
        walk(&mut filters, &mut ends);
        let (top, bottom) = (ends.0[0].1, ends.0[1].1);
        let ripple = std::f64::consts::TAU * bandwidth * duty * (1.0 - duty) * period;
        assert!((0.5 * (top + bottom) - duty).abs() < 1e-8, "{top} {bottom}");
        // Rounding of values near 1 is 1e-16, of the ripple of 7.5e-8 a billionth.
        assert!((top - bottom - ripple).abs() < 1e-6 * ripple, "{} against {ripple}", top - bottom);
    }

    /// A step and a ramp through a single pole: closed forms, any textbook on linear systems.
    #[test]
    fn step_then_ramp() {
        let corner = std::f64::consts::TAU * 1e3;
        let mut filters = Filters::new(&[probe(1e3)], Some(&[0.0]));
        let mut ends = Ends(Vec::new());
        filters.pass(&Stretch { start: 0.0, end: 1e-4, values: &[[1.0; 3]] }, &mut ends);
        filters.pass(&Stretch { start: 1e-4, end: 3e-4, values: &[[1.0, 2.0, 3.0]] }, &mut ends);
        let at_step_end = 1.0 - (-corner * 1e-4f64).exp();
        for (time, value) in ends.0 {
            let exact = if time <= 1e-4 {
                1.0 - (-corner * time).exp()
            } else {
                let (t, slope) = (time - 1e-4, 1e4);
                let follow = 1.0 - slope / corner;
                follow + slope * t + (at_step_end - follow) * (-corner * t).exp()
            };
            assert!((value - exact).abs() < 1e-13, "{time}: {value} against {exact}");
        }
    }
}
