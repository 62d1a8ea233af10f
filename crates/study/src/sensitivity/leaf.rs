//! A measure as numbers read from the orbit: its value, and what its derivative is made of.

use super::probes::Looked;
use crate::readings::Seen;
use crate::shown::{Line, Shown, Window};
use engine::sensitivity::{Extreme, Integrand, Orbit, Weights};
use language::description::Measure;
use std::f64::consts::{LN_10, SQRT_2, TAU};

/// Times closer than this fraction of the period are one.
const SAME_TIME: f64 = 1e-12;

/// A measure in time.
#[derive(Clone, Debug)]
pub(super) struct Leaf {
    pub(super) value: f64,
    /// Its derivative is the sum of these …
    pub(super) terms: Vec<Term>,
    /// … and, where the waveform is as high elsewhere, of each of these alternatives to a term, by its index.
    pub(super) ties: Vec<(usize, Term)>,
    /// Whether it stands at stated times, which do not go along with a period that changes.
    pub(super) timed: bool,
    /// For a saturation: the part and its peak current.
    pub(super) core: Option<(String, f64)>,
}

/// So many times a number read from the orbit, and what the motion of a corner adds.
#[derive(Clone, Debug)]
pub(super) struct Term {
    pub(super) factor: f64,
    pub(super) weights: Weights,
    /// Time in seconds of the corner that it stands at.
    pub(super) corner: Option<f64>,
    /// The probe whose waveform enters by its square.
    pub(super) squared: Option<usize>,
}

impl Leaf {
    fn still(value: f64) -> Self {
        Self { value, terms: Vec::new(), ties: Vec::new(), timed: false, core: None }
    }

    fn of(value: f64, weights: Weights) -> Self {
        Self { terms: vec![Term { factor: 1.0, weights, corner: None, squared: None }], ..Self::still(value) }
    }
}

/// Why a measure has no derivative, or none here.
pub(super) enum Without {
    /// What it looks at is absent.
    Absent,
    /// A sentence.
    Reason(String),
}

/// Reads measures from an orbit.
pub(super) struct Reader<'a, 'n> {
    pub(super) orbit: &'a Orbit<'n>,
    pub(super) looked: &'a Looked,
    pub(super) shown: &'a Shown,
}

impl Reader<'_, '_> {
    pub(super) fn leaf(&self, measure: &Measure, window: Window) -> Result<Leaf, Without> {
        let stretches = self.shown.stretches(window);
        let probe = |name: &String| self.looked.probe(&Seen::Testpoint(name.clone())).ok_or(Without::Absent);
        let leaf = match measure {
            Measure::Mean(name) => self.mean(probe(name)?, &stretches),
            Measure::Minimum(name) => self.extreme(probe(name)?, &stretches, &[(false, 1.0)])?,
            Measure::Maximum(name) => self.extreme(probe(name)?, &stretches, &[(true, 1.0)])?,
            Measure::PeakToPeak(name) => {
                self.extreme(probe(name)?, &stretches, &[(true, 1.0), (false, -1.0)])?
            }
            Measure::Peak(name) => self.peak(probe(name)?, &stretches)?,
            Measure::Rms(name) => self.rms(probe(name)?, &stretches, 0.0),
            Measure::RmsAc(name) => self.rms_ac(probe(name)?, &stretches),
            Measure::At(name, time) => self.at(probe(name)?, self.shown.instant(*time)),
            Measure::Harmonic { testpoint, drive, order } => {
                let probe = probe(testpoint)?;
                let line = self.shown.harmonic(drive.as_deref(), *order, window);
                let line = line.ok_or_else(|| Without::Reason("it has no value here".to_owned()))?;
                self.band(probe, &[line], SQRT_2)
            }
            Measure::Band(name, low, high) => {
                let lines = self.shown.band(*low, *high, window);
                let lines = lines.ok_or_else(|| Without::Reason("it has no value here".to_owned()))?;
                self.band(probe(name)?, &lines, 1.0)
            }
            Measure::Attenuation(first, second) => {
                let (first, second) =
                    (self.rms_ac(probe(first)?, &stretches), self.rms_ac(probe(second)?, &stretches));
                let decibels = 20.0 / LN_10;
                let scaled = |leaf: &Leaf, sign: f64| {
                    let factor = sign * decibels / leaf.value;
                    leaf.terms
                        .iter()
                        .map(move |term| Term { factor: factor * term.factor, ..term.clone() })
                        .collect::<Vec<_>>()
                };
                let terms = [scaled(&first, 1.0), scaled(&second, -1.0)].concat();
                Leaf { terms, ..Leaf::still(20.0 * (first.value / second.value).log10()) }
            }
            Measure::Saturation(part) => {
                let seen = Seen::CoilCurrent(part.clone());
                let probe = self.looked.probe(&seen).ok_or(Without::Absent)?;
                let peak = self.peak(probe, &stretches)?;
                Leaf { core: Some((part.clone(), peak.value)), ..peak }
            }
            Measure::TimeOfMaximum(_) => {
                return Err(Without::Reason("it is a time, which jumps from one peak to another".to_owned()));
            }
            Measure::PeakGain { .. }
            | Measure::InsertionLoss { .. }
            | Measure::Resonances(_)
            | Measure::ImpedanceMargin(_) => {
                return Err(Without::Reason("it is read over frequency, not in time".to_owned()));
            }
        };
        let timed = matches!(measure, Measure::At(..)) || window.is_some();
        Ok(Leaf { timed, ..leaf })
    }

    fn mean(&self, probe: usize, stretches: &[(f64, f64)]) -> Leaf {
        let (weights, mean) = self.orbit.mean(probe, stretches);
        Leaf::of(mean, weights)
    }

    /// The root of the mean square departure from a level that goes along.
    fn rms(&self, probe: usize, stretches: &[(f64, f64)], level: f64) -> Leaf {
        let length = length(stretches);
        let square = |scale: f64| {
            move |_: f64, value: f64| {
                let departure = value - level;
                let value = scale * departure * departure;
                Integrand { value, by_value: 2.0 * scale * departure, by_time: 0.0 }
            }
        };
        let (_, mean_square) = self.orbit.integral(probe, stretches, 0.0, &square(1.0 / length));
        let rms = mean_square.sqrt();
        if rms == 0.0 {
            return Leaf::still(0.0);
        }
        // The mean departure is none, so that the level's own change weighs nothing.
        let (weights, _) = self.orbit.integral(probe, stretches, 0.0, &square(0.5 / (length * rms)));
        let terms = vec![Term { factor: 1.0, weights, corner: None, squared: Some(probe) }];
        Leaf { terms, ..Leaf::still(rms) }
    }

    fn rms_ac(&self, probe: usize, stretches: &[(f64, f64)]) -> Leaf {
        let mean = self.mean(probe, stretches).value;
        self.rms(probe, stretches, mean)
    }

    /// The sum of extremes, each the greatest (or least) value times a factor. Of equal heights the first counts; the derivative of
    /// the greatest value is that of the waveform where it is greatest (the envelope theorem).
    fn extreme(
        &self,
        probe: usize,
        stretches: &[(f64, f64)],
        wanted: &[(bool, f64)],
    ) -> Result<Leaf, Without> {
        let extremes = self.orbit.extremes(probe, stretches).ok_or(Without::Absent)?;
        if extremes.still {
            // Every place is as high as every other: the mean stands for all.
            let mean = self.mean(probe, stretches);
            let factor: f64 = wanted.iter().map(|(_, factor)| factor).sum();
            let terms = mean.terms.into_iter().map(|term| Term { factor, ..term }).collect();
            return Ok(Leaf { terms, ..Leaf::still(factor * mean.value) });
        }
        let mut leaf = Leaf::still(0.0);
        for &(greatest, factor) in wanted {
            let places = if greatest { &extremes.greatest } else { &extremes.least };
            let Some((first, ties)) = places.split_first() else { continue };
            leaf.value += factor * first.value;
            let index = leaf.terms.len();
            leaf.terms.push(self.term(probe, stretches, first, factor));
            leaf.ties.extend(ties.iter().map(|tie| (index, self.term(probe, stretches, tie, factor))));
        }
        Ok(leaf)
    }

    /// An extreme rides with edges near it; at the end of a window it stays where that is.
    fn term(&self, probe: usize, stretches: &[(f64, f64)], extreme: &Extreme, factor: f64) -> Term {
        let Extreme { step, place, time, .. } = *extreme;
        let ends = stretches.iter().flat_map(|(from, to)| [*from, *to]);
        let inner = |end: &f64| *end > 0.0 && *end < self.shown.length;
        let at_end = ends.filter(inner).any(|end| (end - time).abs() <= SAME_TIME * self.shown.length);
        let weights = if at_end {
            self.orbit.value(probe, step, place)
        } else {
            self.orbit.riding_value(probe, step, place)
        };
        Term { factor, weights, corner: extreme.corner.map(|(time, _)| time), squared: None }
    }

    fn peak(&self, probe: usize, stretches: &[(f64, f64)]) -> Result<Leaf, Without> {
        let least = self.extreme(probe, stretches, &[(false, -1.0)])?;
        let greatest = self.extreme(probe, stretches, &[(true, 1.0)])?;
        Ok(if least.value > greatest.value { least } else { greatest })
    }

    fn at(&self, probe: usize, time: f64) -> Leaf {
        let (step, place) = self.orbit.place(time, false);
        Leaf::of(self.orbit.polynomial(step, probe).at(place), self.orbit.value(probe, step, place))
    }

    /// Peak amplitude of a line, and its direction in cosine and sine.
    fn line(&self, probe: usize, ((from, to), frequency): Line) -> (f64, [f64; 2]) {
        let omega = TAU * frequency;
        let part = |swing: fn(f64) -> f64| {
            let integrand =
                |time: f64, value: f64| Integrand::share(2.0 / (to - from) * swing(omega * time), value);
            self.orbit.integral(probe, &[(from, to)], omega, &integrand).1
        };
        let (cosine, sine) = (part(f64::cos), part(f64::sin));
        let amplitude = cosine.hypot(sine);
        if amplitude == 0.0 { (0.0, [0.0; 2]) } else { (amplitude, [cosine / amplitude, sine / amplitude]) }
    }

    /// So many times the rms value of lines: the square root of two makes one line's peak amplitude of it.
    fn band(&self, probe: usize, lines: &[Line], factor: f64) -> Leaf {
        let known: Vec<(Line, f64, [f64; 2])> = lines
            .iter()
            .map(|line| {
                let (amplitude, direction) = self.line(probe, *line);
                (*line, amplitude, direction)
            })
            .collect();
        let rms = known.iter().map(|(_, amplitude, _)| 0.5 * amplitude * amplitude).sum::<f64>().sqrt();
        let Some(((from, to), _)) = lines.first().copied().filter(|_| rms > 0.0) else {
            return Leaf::still(factor * rms);
        };
        let fastest = lines.iter().map(|(_, frequency)| TAU * frequency).fold(0.0, f64::max);
        let integrand = |time: f64, value: f64| {
            let mut found = Integrand::default();
            for (((from, to), frequency), amplitude, [cosine, sine]) in &known {
                let omega = TAU * frequency;
                let (sin, cos) = (omega * time).sin_cos();
                let share = factor * 0.5 * amplitude / rms * 2.0 / (to - from);
                found.by_value += share * (cosine * cos + sine * sin);
                found.by_time += share * omega * (sine * cos - cosine * sin) * value;
            }
            Integrand { value: found.by_value * value, ..found }
        };
        let (weights, _) = self.orbit.integral(probe, &[(from, to)], fastest, &integrand);
        Leaf::of(factor * rms, weights)
    }
}

fn length(stretches: &[(f64, f64)]) -> f64 {
    stretches.iter().map(|(from, to)| to - from).sum()
}
