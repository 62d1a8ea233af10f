//! Watches a run: meters, spectra and pictures of every probe that readings, requirements and warnings ask for.

use crate::coils;
use crate::fourier::Fourier;
use crate::meter::Meter;
use crate::outcome::Outcome;
use crate::readings::{Seen, measures};
use crate::result::{TestpointResult, Trace};
use crate::shown::{Line, Shown, Window};
use crate::spectrum::Sampler;
use crate::trace::{Rise, Thinner};
use crate::warnings;
use engine::observe::{Enough, Observer, Stretch, Totals};
use language::description::{Harness, Measure, Start};
use network::lowered::Lowered;
use network::primitive::{Probe, Signal};

/// PWM periods in the detail picture.
const DETAIL_PERIODS: f64 = 2.5;
/// Widths of a generator's pulse in the detail picture: the pulse and twice as long again.
const DETAIL_PULSES: f64 = 3.0;

/// A probe with everything that watches it.
#[derive(Clone)]
struct Channel {
    seen: Seen,
    signal: Signal,
    bandwidth: Option<f64>,
    meters: Vec<(Window, Meter)>,
    spectra: Vec<Fourier>,
    instants: Vec<(f64, Option<f64>)>,
    drawn: Option<Drawn>,
    /// Whether someone may ask for its root mean square.
    squared: bool,
    /// Whether its totals come in the end, and its stretches mean nothing.
    totalled: bool,
}

impl Channel {
    /// What its watchers need: a meter of the whole run alone does without the waveform.
    fn enough(&self) -> Enough {
        let whole = self.meters.iter().all(|(window, _)| window.is_none());
        if !whole || !self.spectra.is_empty() || !self.instants.is_empty() || self.drawn.is_some() {
            Enough::Waveform
        } else if self.squared {
            Enough::Totals
        } else {
            Enough::Extremes
        }
    }
}

/// What pictures are made of.
#[derive(Clone)]
struct Drawn {
    overview: Thinner,
    detail: Detail,
    /// Where the run repeats.
    spectrum: Option<Sampler>,
}

impl Drawn {
    fn take(&mut self, start: f64, end: f64, values: [f64; 3]) {
        self.overview.take(start, end, values);
        self.detail.take(start, end, values);
        if let Some(spectrum) = &mut self.spectrum {
            spectrum.take(start, end, values);
        }
    }
}

/// What is drawn in full detail.
#[derive(Clone)]
enum Detail {
    /// A window known before the run.
    Window(Thinner),
    /// The rise from rest, whose length only the run shows.
    Rise(Rise),
}

impl Detail {
    fn take(&mut self, start: f64, end: f64, values: [f64; 3]) {
        match self {
            Self::Window(thinner) => thinner.take(start, end, values),
            Self::Rise(rise) => rise.take(start, end, values),
        }
    }

    fn finish(self) -> Trace {
        match self {
            Self::Window(thinner) => thinner.finish(),
            Self::Rise(rise) => rise.finish(),
        }
    }
}

/// Watches the run.
pub(crate) struct Recorder {
    channels: Vec<Channel>,
    /// The channels as they are before a run.
    untouched: Vec<Channel>,
    /// Channel of each test point.
    testpoints: Vec<Option<usize>>,
    /// Channels that warnings are judged by.
    watched: Vec<(warnings::Watched, usize)>,
    shown: Shown,
    /// Whether pictures are wanted.
    pictures: bool,
}

/// What a finished recorder gives.
pub(crate) struct Finished {
    pub(crate) outcome: Outcome,
    pub(crate) facts: Vec<(warnings::Watched, Meter)>,
}

impl Recorder {
    pub(crate) fn new(
        harness: &Harness,
        transient: usize,
        lowered: &Lowered,
        shown: Shown,
        pictures: bool,
    ) -> Self {
        let length = shown.length;
        let mut recorder = Self {
            channels: Vec::new(),
            untouched: Vec::new(),
            testpoints: Vec::new(),
            watched: Vec::new(),
            shown,
            pictures,
        };
        let detail = recorder.detail_window(harness, transient);
        for testpoint in &harness.testpoints {
            let signal = lowered.signal(&testpoint.signal);
            let channel = signal.map(|signal| {
                let seen = Seen::Testpoint(testpoint.name.clone());
                let channel = recorder.channel(seen, signal, testpoint.bandwidth);
                recorder.meter(channel, None);
                let detail = match harness.transients[transient].start {
                    Start::Rest => Detail::Rise(Rise::new(length)),
                    Start::Steady | Start::Operating => Detail::Window(Thinner::new(detail)),
                };
                let repeats = recorder.shown.repeats && recorder.shown.period.is_some();
                let drawn = || Drawn {
                    overview: Thinner::new((0.0, length)),
                    detail,
                    spectrum: repeats.then(|| Sampler::new(length)),
                };
                recorder.channels[channel].drawn = (transient == 0 && pictures).then(drawn);
                channel
            });
            recorder.testpoints.push(channel);
        }
        recorder.watch(lowered);
        let requirements = harness.requirements.iter().map(|requirement| &requirement.reading);
        for reading in harness.readings.iter().chain(requirements) {
            measures(harness, reading, &mut |measure, (index, window)| {
                if index == transient {
                    recorder.want(harness, lowered, measure, window);
                }
            });
        }
        recorder
    }

    /// Two or three periods of the fastest drive: the first where the run repeats, the last where it does not. Without a
    /// drive that switches, a generator's pulse with what follows it where the run repeats; otherwise everything.
    fn detail_window(&self, harness: &Harness, transient: usize) -> (f64, f64) {
        let shown = self.shown.length;
        let fastest = self.shown.pwm.iter().map(|(_, frequency)| *frequency).fold(0.0, f64::max);
        let steady = harness.transients[transient].start == Start::Steady;
        if fastest == 0.0 {
            let pulse = pulse(harness).filter(|_| steady);
            return (0.0, pulse.map_or(shown, |width| (DETAIL_PULSES * width).min(shown)));
        }
        let length = (DETAIL_PERIODS / fastest).min(shown);
        if steady { (0.0, length) } else { (shown - length, shown) }
    }

    fn watch(&mut self, lowered: &Lowered) {
        for (watched, signal, bandwidth) in warnings::wanted(lowered) {
            let seen = match &watched {
                warnings::Watched::CoilCurrent(part) => Seen::CoilCurrent(part.clone()),
                other => Seen::Unlimited(format!("{other:?}")),
            };
            let channel = self.channel(seen, signal, bandwidth);
            self.meter(channel, None);
            self.channels[channel].squared |= watched.is_squared();
            self.watched.push((watched, channel));
        }
    }

    fn channel(&mut self, seen: Seen, signal: Signal, bandwidth: Option<f64>) -> usize {
        if let Some(index) = self.channels.iter().position(|channel| channel.seen == seen) {
            return index;
        }
        self.channels.push(Channel {
            seen,
            signal,
            bandwidth,
            meters: Vec::new(),
            spectra: Vec::new(),
            instants: Vec::new(),
            drawn: None,
            squared: false,
            totalled: false,
        });
        self.channels.len() - 1
    }

    fn meter(&mut self, channel: usize, window: Window) {
        let stretches = self.shown.stretches(window);
        let meters = &mut self.channels[channel].meters;
        if meters.iter().all(|(known, _)| *known != window) {
            meters.push((window, Meter::new(stretches)));
        }
    }

    /// Prepares what a measure needs.
    fn want(&mut self, harness: &Harness, lowered: &Lowered, measure: &Measure, window: Window) {
        let channel_of = |recorder: &Self, name: &str| {
            let index = harness.testpoints.iter().position(|testpoint| testpoint.name == name)?;
            recorder.testpoints[index]
        };
        match measure {
            Measure::Saturation(part) => {
                let seen = Seen::CoilCurrent(part.clone());
                if let Some(channel) = self.channels.iter().position(|channel| channel.seen == seen) {
                    self.meter(channel, window);
                }
            }
            Measure::At(name, time) => {
                if let Some(channel) = channel_of(self, name) {
                    let time = self.shown.instant(*time);
                    self.channels[channel].instants.push((time, None));
                }
            }
            Measure::Harmonic { testpoint, drive, order } => {
                let line = self.shown.harmonic(drive.as_deref(), *order, window);
                if let (Some(channel), Some(line)) = (channel_of(self, testpoint), line) {
                    self.channels[channel].line(line);
                }
            }
            Measure::Band(name, low, high) => {
                let lines = self.shown.band(*low, *high, window);
                if let (Some(channel), Some(lines)) = (channel_of(self, name), lines) {
                    lines.into_iter().for_each(|line| self.channels[channel].line(line));
                }
            }
            Measure::Attenuation(first, second) => {
                for name in [first, second] {
                    if let Some(channel) = channel_of(self, name) {
                        self.meter(channel, window);
                        self.channels[channel].squared = true;
                    }
                }
            }
            Measure::PeakToPeak(name)
            | Measure::Maximum(name)
            | Measure::Minimum(name)
            | Measure::Peak(name) => {
                let Some(channel) = channel_of(self, name) else { return };
                self.meter(channel, window);
                let declared = harness.testpoints.iter().find(|testpoint| testpoint.name == *name);
                if self.channels[channel].bandwidth.is_some()
                    && let Some(signal) = declared.and_then(|testpoint| lowered.signal(&testpoint.signal))
                {
                    let unlimited = self.channel(Seen::Unlimited(name.clone()), signal, None);
                    self.meter(unlimited, window);
                }
            }
            Measure::Mean(name)
            | Measure::Rms(name)
            | Measure::RmsAc(name)
            | Measure::TimeOfMaximum(name) => {
                if let Some(channel) = channel_of(self, name) {
                    self.meter(channel, window);
                    self.channels[channel].squared |= matches!(measure, Measure::Rms(_) | Measure::RmsAc(_));
                }
            }
            // Not read from a waveform.
            Measure::PeakGain { .. }
            | Measure::InsertionLoss { .. }
            | Measure::Resonances(_)
            | Measure::ImpedanceMargin(_) => {}
        }
    }

    /// Probes in the order of the channels; call once all channels are there.
    pub(crate) fn probes(&mut self) -> Vec<Probe> {
        self.untouched.clone_from(&self.channels);
        self.channels
            .iter()
            .map(|channel| Probe { signal: channel.signal.clone(), bandwidth: channel.bandwidth })
            .collect()
    }

    pub(crate) fn finish(self, lowered: &Lowered) -> Finished {
        let full = |channel: usize| &self.channels[channel].meters[0].1;
        let facts: Vec<(warnings::Watched, Meter)> =
            self.watched.iter().map(|(watched, channel)| (watched.clone(), full(*channel).clone())).collect();
        let coils = facts.iter().filter_map(|(watched, meter)| {
            let warnings::Watched::CoilCurrent(name) = watched else { return None };
            let core = lowered.part(name)?.inductor.as_ref()?;
            Some(coils::state(name, core, meter, self.pictures))
        });
        let coils = coils.collect();
        let mut outcome = Outcome {
            meters: Vec::new(),
            spectra: Vec::new(),
            instants: Vec::new(),
            testpoints: Vec::new(),
            coils,
            shown: self.shown,
            bias: None,
        };
        let mut drawn: Vec<Option<TestpointResult>> = vec![None; self.channels.len()];
        for (index, channel) in self.channels.into_iter().enumerate() {
            let name = match &channel.seen {
                Seen::Testpoint(name) => name.clone(),
                _ => String::new(),
            };
            outcome.spectra.extend(channel.spectra.into_iter().map(|spectrum| (name.clone(), spectrum)));
            outcome
                .instants
                .extend(channel.instants.into_iter().map(|(time, value)| (name.clone(), time, value)));
            if let (Some(pictured), Some((_, meter))) = (channel.drawn, channel.meters.first()) {
                drawn[index] = Some(TestpointResult {
                    mean: meter.mean(),
                    minimum: meter.least,
                    maximum: meter.greatest,
                    rms_ac: meter.rms_ac(),
                    overview: pictured.overview.finish(),
                    detail: pictured.detail.finish(),
                    spectrum: pictured.spectrum.and_then(Sampler::finish),
                });
            }
            let seen = &channel.seen;
            outcome
                .meters
                .extend(channel.meters.into_iter().map(|(window, meter)| (seen.clone(), window, meter)));
        }
        outcome.testpoints =
            self.testpoints.iter().map(|channel| channel.and_then(|index| drawn[index].take())).collect();
        Finished { outcome, facts }
    }
}

impl Observer for Recorder {
    fn restart(&mut self) {
        self.channels.clone_from(&self.untouched);
    }

    fn enough(&mut self, _: usize) -> Vec<Enough> {
        let enough: Vec<Enough> = self.channels.iter().map(Channel::enough).collect();
        for (channel, enough) in self.channels.iter_mut().zip(&enough) {
            channel.totalled = *enough != Enough::Waveform;
        }
        enough
    }

    fn totals(&mut self, probe: usize, totals: &Totals) {
        self.channels[probe].meters.iter_mut().for_each(|(_, meter)| meter.take_totals(totals));
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        let (start, end) = (stretch.start, stretch.end);
        for (channel, values) in self.channels.iter_mut().zip(stretch.values) {
            if channel.totalled {
                continue;
            }
            channel.meters.iter_mut().for_each(|(_, meter)| meter.take(start, end, *values));
            channel.spectra.iter_mut().for_each(|spectrum| spectrum.take(start, end, *values));
            if let Some(drawn) = &mut channel.drawn {
                drawn.take(start, end, *values);
            }
            for (time, value) in &mut channel.instants {
                if *time >= start && *time <= end {
                    let x = (*time - start) / (end - start);
                    value.get_or_insert(crate::meter::Parabola::through(*values).at(x));
                }
            }
        }
    }
}

impl Channel {
    /// Wants the amplitude of a line.
    fn line(&mut self, (window, frequency): Line) {
        let known = self.spectra.iter().position(|spectrum| spectrum.window() == window);
        let index = known.unwrap_or_else(|| {
            self.spectra.push(Fourier::new(window));
            self.spectra.len() - 1
        });
        self.spectra[index].add(frequency);
    }
}

/// The longest pulse of the generators with its edges, in seconds; where the run repeats they all begin at t = 0.
fn pulse(harness: &Harness) -> Option<f64> {
    let generators = harness.parts.iter().filter(|part| part.kind == language::Kind::Generator);
    let width = |part: &language::description::Part| {
        let edge = |name| part.number(name).unwrap_or(0.0);
        Some(edge("rise") + part.number("width")? + edge("fall"))
    };
    generators.filter_map(width).max_by(f64::total_cmp)
}
