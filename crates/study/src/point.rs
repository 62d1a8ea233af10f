//! One study point: lowered, run, read and judged.

use crate::fourier::Fourier;
use crate::meter::Meter;
use crate::options::Options;
use crate::readings::{Measured, Place, Seen, measure_of, measures, value};
use crate::result::{CoilState, ReadingResult, RequirementResult, Run, TestpointResult, Trace};
use crate::trace::{Rise, Thinner};
use crate::warnings;
use engine::{Method, Observer, Request, Stretch};
use language::Description;
use language::description::{Expression, Harness, Measure, Reading, Requirement, Start, Transient};
use network::lowered::{Lowered, Warning};
use network::primitive::{Probe, Signal};
use network::waveform::period::Period;

/// A common period with more corners than this is not waited for.
const MOST_EVENTS: f64 = 1e6;
/// Longest list of harmonics that a band may hold.
const MOST_HARMONICS: usize = 4000;
/// PWM periods in the detail picture.
const DETAIL_PERIODS: f64 = 2.5;
/// Widths of a generator's pulse in the detail picture: the pulse and twice as long again.
const DETAIL_PULSES: f64 = 3.0;
/// Bandwidth in hertz at which a camera's supply is judged.
pub(crate) const SUPPLY_BANDWIDTH: f64 = 20e6;

/// Runs one point; a failure becomes the run's error.
pub(crate) fn run_point(description: &Description, at: &[usize], options: &Options) -> Run {
    let harness = description.at(at);
    let mut warnings = Vec::new();
    let mut outcomes = Vec::new();
    let mut error = None;
    for (index, transient) in harness.transients.iter().enumerate() {
        match run_transient(&harness, index, transient, options, &mut warnings) {
            Ok(outcome) => outcomes.push(Some(outcome)),
            Err(text) => {
                outcomes.push(None);
                let named = transient.name.as_ref().map_or(String::new(), |name| format!("{name}: "));
                error.get_or_insert(format!("{named}{text}"));
            }
        }
    }
    let measured = Outcomes { harness: &harness, outcomes: &outcomes };
    let readings = harness.readings.iter().map(|reading| measured.reading(reading)).collect();
    let requirements =
        harness.requirements.iter().map(|requirement| measured.requirement(requirement)).collect();
    // A failure says by itself why the values of its transient are missing.
    warnings.extend(measured.without_value());
    let first = outcomes.iter_mut().next().and_then(Option::as_mut);
    let (testpoints, coils) = match first {
        Some(outcome) => (std::mem::take(&mut outcome.testpoints), std::mem::take(&mut outcome.coils)),
        None => (vec![None; harness.testpoints.len()], Vec::new()),
    };
    Run { at: at.to_vec(), readings, requirements, testpoints, coils, warnings, error }
}

/// Start and end in seconds; `None` for the whole span.
type Window = Option<(f64, f64)>;

/// What one transient gave.
struct Outcome {
    meters: Vec<(Seen, Window, Meter)>,
    spectra: Vec<(String, Vec<f64>, Vec<f64>)>,
    instants: Vec<(String, f64, Option<f64>)>,
    testpoints: Vec<Option<TestpointResult>>,
    coils: Vec<CoilState>,
    period: Option<f64>,
    pwm: Vec<(String, f64)>,
}

fn run_transient(
    harness: &Harness,
    index: usize,
    transient: &Transient,
    options: &Options,
    warnings: &mut Vec<Warning>,
) -> Result<Outcome, String> {
    let mut lowered = network::lowering::lower(harness, transient.start)
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))?;
    let say = |found: Vec<Warning>, warnings: &mut Vec<Warning>| {
        found.iter().for_each(|warning| crate::examine::push_new(warnings, warning));
    };
    say(lowered.warnings.clone(), warnings);
    say(warnings::of_drawing(harness, &lowered), warnings);
    if transient.start == Start::Steady
        && let Some(part) = &lowered.aperiodic
    {
        return Err(format!(
            "{part}, so nothing repeats and there is no steady state; use `start operating` or `start rest`"
        ));
    }
    let period = common_period(&lowered, transient);
    if transient.start == Start::Steady && period.is_none() {
        say(vec![warnings::no_common_period(transient.span)], warnings);
    }
    let start = match transient.start {
        Start::Steady => engine::Start::Steady { period },
        Start::Operating => engine::Start::Operating,
        Start::Rest => engine::Start::Rest,
    };
    let shown = match (transient.start, period) {
        (Start::Steady, Some(period)) => period,
        _ => transient.span,
    };
    let mut recorder = Recorder::new(harness, index, &lowered, shown, period);
    lowered.network.probes = recorder.probes();
    let request =
        Request { start, span: transient.span, accuracy: options.accuracy, method: Method::Automatic };
    engine::run(&lowered.network, &request, &mut recorder).map_err(|failure| failure.to_string())?;
    let outcome = recorder.finish(&lowered, period);
    say(warnings::of_run(&lowered, transient.start, &outcome.facts), warnings);
    Ok(outcome.outcome)
}

/// The common period of all sources; the span where nothing moves; `None` where they have none that can be waited for.
fn common_period(lowered: &Lowered, transient: &Transient) -> Option<f64> {
    if lowered.periods.is_empty() {
        return Some(transient.span);
    }
    let common = Period::common(&lowered.periods)?.seconds();
    // Four corners a period of each source.
    let events: f64 = lowered.periods.iter().map(|period| 4.0 * common / period.seconds()).sum();
    (events <= MOST_EVENTS).then_some(common)
}

/// A probe with everything that watches it.
#[derive(Clone)]
struct Channel {
    seen: Seen,
    signal: Signal,
    bandwidth: Option<f64>,
    meters: Vec<(Option<(f64, f64)>, Meter)>,
    spectrum: Option<Fourier>,
    frequencies: Vec<f64>,
    instants: Vec<(f64, Option<f64>)>,
    thinners: Option<(Thinner, Detail)>,
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
struct Recorder {
    channels: Vec<Channel>,
    /// The channels as they are before a run.
    untouched: Vec<Channel>,
    /// Channel of each test point.
    testpoints: Vec<Option<usize>>,
    /// Channels that warnings are judged by.
    watched: Vec<(warnings::Watched, usize)>,
    pwm: Vec<(String, f64)>,
}

/// What a finished recorder gives.
struct Finished {
    outcome: Outcome,
    facts: Vec<(warnings::Watched, Meter)>,
}

impl Recorder {
    fn new(harness: &Harness, transient: usize, lowered: &Lowered, shown: f64, period: Option<f64>) -> Self {
        let pwm =
            lowered.parts.iter().filter_map(|part| Some((part.name.clone(), part.limits.pwm?))).collect();
        let mut recorder = Self {
            channels: Vec::new(),
            untouched: Vec::new(),
            testpoints: Vec::new(),
            watched: Vec::new(),
            pwm,
        };
        let detail = recorder.detail_window(harness, transient, shown);
        for testpoint in &harness.testpoints {
            let signal = lowered.signal(&testpoint.signal);
            let channel = signal.map(|signal| {
                let seen = Seen::Testpoint(testpoint.name.clone());
                let channel = recorder.channel(seen, signal, testpoint.bandwidth);
                recorder.channels[channel].meter(None);
                let detail = match harness.transients[transient].start {
                    Start::Rest => Detail::Rise(Rise::new(shown)),
                    Start::Steady | Start::Operating => Detail::Window(Thinner::new(detail)),
                };
                let thinners = (Thinner::new((0.0, shown)), detail);
                recorder.channels[channel].thinners = (transient == 0).then_some(thinners);
                channel
            });
            recorder.testpoints.push(channel);
        }
        recorder.watch(lowered);
        let requirements = harness.requirements.iter().map(|requirement| &requirement.reading);
        for reading in harness.readings.iter().chain(requirements) {
            measures(harness, reading, &mut |measure, (index, window)| {
                if index == transient {
                    recorder.want(harness, lowered, measure, window, period);
                }
            });
        }
        recorder
    }

    /// Two or three periods of the fastest drive: the first where the run repeats, the last where it does not. Without a
    /// drive that switches, a generator's pulse with what follows it where the run repeats; otherwise everything.
    fn detail_window(&self, harness: &Harness, transient: usize, shown: f64) -> (f64, f64) {
        let fastest = self.pwm.iter().map(|(_, frequency)| *frequency).fold(0.0, f64::max);
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
            self.channels[channel].meter(None);
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
            spectrum: None,
            frequencies: Vec::new(),
            instants: Vec::new(),
            thinners: None,
        });
        self.channels.len() - 1
    }

    /// Prepares what a measure needs.
    fn want(
        &mut self,
        harness: &Harness,
        lowered: &Lowered,
        measure: &Measure,
        window: Option<(f64, f64)>,
        period: Option<f64>,
    ) {
        let channel_of = |recorder: &Self, name: &str| {
            let index = harness.testpoints.iter().position(|testpoint| testpoint.name == name)?;
            recorder.testpoints[index]
        };
        match measure {
            Measure::Saturation(part) => {
                let seen = Seen::CoilCurrent(part.clone());
                if let Some(channel) = self.channels.iter().position(|channel| channel.seen == seen) {
                    self.channels[channel].meter(window);
                }
            }
            Measure::At(name, time) => {
                if let Some(channel) = channel_of(self, name) {
                    self.channels[channel].instants.push((*time, None));
                }
            }
            Measure::Harmonic { testpoint, drive, order } => {
                let base = base_frequency(&self.pwm, drive.as_deref(), period);
                if let (Some(channel), Some(base)) = (channel_of(self, testpoint), base) {
                    self.channels[channel].frequencies.push(base * f64::from(*order));
                }
            }
            Measure::Band(name, low, high) => {
                if let (Some(channel), Some(list)) = (channel_of(self, name), band(period, *low, *high)) {
                    self.channels[channel].frequencies.extend(list);
                }
            }
            Measure::Attenuation(first, second) => {
                for name in [first, second] {
                    if let Some(channel) = channel_of(self, name) {
                        self.channels[channel].meter(window);
                    }
                }
            }
            Measure::PeakToPeak(name) => {
                let Some(channel) = channel_of(self, name) else { return };
                self.channels[channel].meter(window);
                let declared = harness.testpoints.iter().find(|testpoint| testpoint.name == *name);
                if self.channels[channel].bandwidth.is_some()
                    && let Some(signal) = declared.and_then(|testpoint| lowered.signal(&testpoint.signal))
                {
                    let unlimited = self.channel(Seen::Unlimited(name.clone()), signal, None);
                    self.channels[unlimited].meter(window);
                }
            }
            Measure::Mean(name)
            | Measure::Minimum(name)
            | Measure::Maximum(name)
            | Measure::Peak(name)
            | Measure::Rms(name)
            | Measure::RmsAc(name)
            | Measure::TimeOfMaximum(name) => {
                if let Some(channel) = channel_of(self, name) {
                    self.channels[channel].meter(window);
                }
            }
        }
    }

    /// Probes in the order of the channels; call once all channels are there.
    fn probes(&mut self) -> Vec<Probe> {
        for channel in &mut self.channels {
            channel.frequencies.sort_by(f64::total_cmp);
            channel.frequencies.dedup();
            if !channel.frequencies.is_empty() {
                channel.spectrum = Some(Fourier::new(channel.frequencies.clone()));
            }
        }
        self.untouched.clone_from(&self.channels);
        self.channels
            .iter()
            .map(|channel| Probe { signal: channel.signal.clone(), bandwidth: channel.bandwidth })
            .collect()
    }

    fn finish(self, lowered: &Lowered, period: Option<f64>) -> Finished {
        let full = |channel: usize| &self.channels[channel].meters[0].1;
        let facts: Vec<(warnings::Watched, Meter)> =
            self.watched.iter().map(|(watched, channel)| (watched.clone(), full(*channel).clone())).collect();
        let coils = facts.iter().filter_map(|(watched, meter)| coil_state(lowered, watched, meter)).collect();
        let mut outcome = Outcome {
            meters: Vec::new(),
            spectra: Vec::new(),
            instants: Vec::new(),
            testpoints: Vec::new(),
            coils,
            period,
            pwm: self.pwm,
        };
        let mut drawn: Vec<Option<TestpointResult>> = vec![None; self.channels.len()];
        for (index, channel) in self.channels.into_iter().enumerate() {
            let name = match &channel.seen {
                Seen::Testpoint(name) => name.clone(),
                _ => String::new(),
            };
            if let Some(spectrum) = channel.spectrum {
                outcome.spectra.push((name.clone(), channel.frequencies, spectrum.amplitudes()));
            }
            outcome
                .instants
                .extend(channel.instants.into_iter().map(|(time, value)| (name.clone(), time, value)));
            if let (Some((overview, detail)), Some((_, meter))) = (channel.thinners, channel.meters.first()) {
                drawn[index] = Some(TestpointResult {
                    mean: meter.mean(),
                    minimum: meter.least,
                    maximum: meter.greatest,
                    rms_ac: meter.rms_ac(),
                    overview: overview.finish(),
                    detail: detail.finish(),
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

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        let (start, end) = (stretch.start, stretch.end);
        for (channel, values) in self.channels.iter_mut().zip(stretch.values) {
            channel.meters.iter_mut().for_each(|(_, meter)| meter.take(start, end, *values));
            if let Some(spectrum) = &mut channel.spectrum {
                spectrum.take(start, end, *values);
            }
            if let Some((overview, detail)) = &mut channel.thinners {
                overview.take(start, end, *values);
                detail.take(start, end, *values);
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
    fn meter(&mut self, window: Option<(f64, f64)>) {
        if self.meters.iter().all(|(known, _)| *known != window) {
            self.meters.push((window, Meter::new(window)));
        }
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

fn coil_state(lowered: &Lowered, watched: &warnings::Watched, meter: &Meter) -> Option<CoilState> {
    let warnings::Watched::CoilCurrent(name) = watched else { return None };
    let (_, law) = lowered.part(name)?.inductor?;
    let peak_current = meter.peak();
    let inductance = law.inductance(peak_current);
    let inductance_left = inductance / law.initial_inductance();
    Some(CoilState { part: name.clone(), peak_current, inductance_left, inductance })
}

/// First harmonic's frequency: the named drive's PWM, or the common period's.
fn base_frequency(pwm: &[(String, f64)], drive: Option<&str>, period: Option<f64>) -> Option<f64> {
    match drive {
        Some(name) => pwm.iter().find(|(part, _)| part == name).map(|(_, frequency)| *frequency),
        None => period.map(|period| 1.0 / period),
    }
}

/// Harmonics of the common period inside a band; `None` where there are too many or there is no period.
fn band(period: Option<f64>, low: f64, high: f64) -> Option<Vec<f64>> {
    let base = 1.0 / period?;
    let (first, last) = ((low / base).ceil().max(1.0), (high / base).floor());
    if last - first >= MOST_HARMONICS as f64 {
        return None;
    }
    let count = (last - first + 1.0).max(0.0) as usize;
    Some((0..count).map(|k| (first + k as f64) * base).collect())
}

/// The transients' outcomes, for readings.
struct Outcomes<'a> {
    harness: &'a Harness,
    outcomes: &'a [Option<Outcome>],
}

impl Outcomes<'_> {
    fn reading(&self, reading: &Reading) -> ReadingResult {
        let unlimited = match &reading.expression {
            Expression::Measure(Measure::PeakToPeak(name)) => {
                let (index, window) = crate::readings::place_of(self.harness, reading);
                let meter = self.meter(&Seen::Unlimited(name.clone()), (index, window));
                meter.map(Meter::peak_to_peak)
            }
            _ => None,
        };
        ReadingResult {
            name: reading.name.clone(),
            value: value(self.harness, reading, self),
            dimension: reading.dimension,
            unlimited,
        }
    }

    fn requirement(&self, requirement: &Requirement) -> RequirementResult {
        let value = value(self.harness, &requirement.reading, self);
        let limit = requirement.limit.value;
        let mut testpoints = Vec::new();
        measures(self.harness, &requirement.reading, &mut |measure, _| {
            names(measure)
                .into_iter()
                .for_each(|name| crate::examine::push_new(&mut testpoints, &name.to_owned()));
        });
        RequirementResult {
            text: requirement.text.clone(),
            why: requirement.why.clone(),
            met: value.map(|value| requirement.comparison.holds(value, limit)),
            value,
            comparison: requirement.comparison,
            limit,
            dimension: requirement.reading.dimension,
            measure: measure_of(self.harness, &requirement.reading).cloned(),
            testpoints,
            applies: self.applies(&requirement.reading),
        }
    }

    /// Whether everything that a reading looks at is present here.
    fn applies(&self, reading: &Reading) -> bool {
        let mut applies = true;
        measures(self.harness, reading, &mut |measure, _| {
            for name in names(measure) {
                applies &=
                    self.harness.testpoints.iter().any(|one| one.name == name && present(self.harness, one));
            }
            if let Measure::Saturation(part) = measure {
                applies &= self.harness.parts.iter().any(|one| one.name == *part);
            }
        });
        applies
    }

    /// A warning for each reading, and each requirement beyond them, that should have a value and has none.
    fn without_value(&self) -> Vec<Warning> {
        let mut found: Vec<Warning> = Vec::new();
        for reading in &self.harness.readings {
            found.extend(self.reason(reading).map(|reason| warnings::no_value(&reading.name, &reason)));
        }
        for requirement in &self.harness.requirements {
            // One that is judged on a named reading has its warning from there.
            if !matches!(requirement.reading.expression, Expression::Reading(_)) {
                let reason = self.reason(&requirement.reading);
                found.extend(reason.map(|reason| warnings::no_value(&requirement.text, &reason)));
            }
        }
        found
    }

    /// Why a reading has no value; nothing where it has one, need not have one, or its transient failed.
    fn reason(&self, reading: &Reading) -> Option<String> {
        if value(self.harness, reading, self).is_some() || !self.applies(reading) {
            return None;
        }
        if self.outcomes.is_empty() {
            return Some(warnings::NO_TRANSIENT.to_owned());
        }
        let mut failed = false;
        let mut reason = None;
        measures(self.harness, reading, &mut |measure, place| {
            let Some(outcome) = self.outcome(place.0) else {
                failed = true;
                return;
            };
            if self.measure(measure, place).is_none_or(|value| !value.is_finite()) {
                let offer = warnings::Offer {
                    switching: &outcome.pwm,
                    periodic: outcome.period.is_some(),
                    most_harmonics: MOST_HARMONICS,
                };
                reason.get_or_insert_with(|| warnings::reason(measure, offer));
            }
        });
        (!failed).then(|| reason.unwrap_or_else(|| warnings::ARITHMETIC.to_owned()))
    }

    fn outcome(&self, transient: usize) -> Option<&Outcome> {
        self.outcomes.get(transient)?.as_ref()
    }

    fn meter(&self, seen: &Seen, (transient, window): Place) -> Option<&Meter> {
        let meters = &self.outcome(transient)?.meters;
        let found = meters.iter().find(|(known, at, _)| known == seen && *at == window)?;
        (!found.2.is_empty()).then_some(&found.2)
    }

    fn amplitudes(&self, transient: usize, name: &str, frequencies: &[f64]) -> Option<Vec<f64>> {
        let (_, known, amplitudes) = self.outcome(transient)?.spectra.iter().find(|(of, ..)| of == name)?;
        let amplitude =
            |frequency: &f64| known.iter().position(|one| one == frequency).map(|index| amplitudes[index]);
        frequencies.iter().map(amplitude).collect()
    }
}

impl Measured for Outcomes<'_> {
    fn measure(&self, measure: &Measure, place: Place) -> Option<f64> {
        let meter = |name: &String| self.meter(&Seen::Testpoint(name.clone()), place);
        match measure {
            Measure::Mean(name) => meter(name).map(Meter::mean),
            Measure::Minimum(name) => meter(name).map(|meter| meter.least),
            Measure::Maximum(name) => meter(name).map(|meter| meter.greatest),
            Measure::Peak(name) => meter(name).map(Meter::peak),
            Measure::PeakToPeak(name) => meter(name).map(Meter::peak_to_peak),
            Measure::Rms(name) => meter(name).map(Meter::rms),
            Measure::RmsAc(name) => meter(name).map(Meter::rms_ac),
            Measure::TimeOfMaximum(name) => meter(name).map(|meter| meter.time_of_greatest),
            Measure::At(name, time) => {
                let instants = &self.outcome(place.0)?.instants;
                instants.iter().find(|(of, at, _)| of == name && at == time)?.2
            }
            Measure::Harmonic { testpoint, drive, order } => {
                let outcome = self.outcome(place.0)?;
                let base = base_frequency(&outcome.pwm, drive.as_deref(), outcome.period)?;
                self.amplitudes(place.0, testpoint, &[base * f64::from(*order)])?.first().copied()
            }
            Measure::Band(name, low, high) => {
                let list = band(self.outcome(place.0)?.period, *low, *high)?;
                let amplitudes =
                    if list.is_empty() { Vec::new() } else { self.amplitudes(place.0, name, &list)? };
                // Peak amplitudes: the mean square of each is half its square.
                Some(amplitudes.iter().map(|amplitude| 0.5 * amplitude * amplitude).sum::<f64>().sqrt())
            }
            Measure::Attenuation(first, second) => {
                Some(20.0 * (meter(first)?.rms_ac() / meter(second)?.rms_ac()).log10())
            }
            Measure::Saturation(part) => {
                let peak = self.meter(&Seen::CoilCurrent(part.clone()), place)?.peak();
                let lowered = network::lowering::lower(self.harness, Start::Steady).ok()?;
                let (_, law) = lowered.part(part)?.inductor?;
                Some(1.0 - law.inductance(peak) / law.initial_inductance())
            }
        }
    }
}

/// Whether this point of the study has what a test point looks at.
fn present(harness: &Harness, testpoint: &language::description::Testpoint) -> bool {
    use language::description::Signal as Asked;
    let node = |name: &String| {
        name == "gnd" || harness.parts.iter().any(|part| part.left == *name || part.right == *name)
    };
    match &testpoint.signal {
        Asked::NodeVoltage(plus, minus) => node(plus) && minus.as_ref().is_none_or(node),
        Asked::PartVoltage(name)
        | Asked::PartCurrent(name)
        | Asked::PartPower(name)
        | Asked::PartFlux(name) => harness.parts.iter().any(|part| part.name == *name),
    }
}

/// The test points that a measure reads.
fn names(measure: &Measure) -> Vec<&str> {
    match measure {
        Measure::Mean(name)
        | Measure::Minimum(name)
        | Measure::Maximum(name)
        | Measure::Peak(name)
        | Measure::PeakToPeak(name)
        | Measure::Rms(name)
        | Measure::RmsAc(name)
        | Measure::TimeOfMaximum(name)
        | Measure::At(name, _)
        | Measure::Band(name, ..)
        | Measure::Harmonic { testpoint: name, .. } => vec![name],
        Measure::Attenuation(first, second) => vec![first, second],
        Measure::Saturation(_) => Vec::new(),
    }
}
