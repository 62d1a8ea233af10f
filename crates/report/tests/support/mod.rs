//! A comparison to develop and test against: a pipe-inspection crawler with six filters under six conditions.
//!
//! The waveforms are synthesised from the Fourier series of a pulsed motor current, each harmonic through a divider of
//! lumped impedances; so they look like the real thing without an engine.

#![allow(dead_code)] // Each test binary uses its own part of this module.

pub(crate) mod looked_at;
mod spectrum;

use language::description::{Axis, AxisKind, Comparison as Comparator, Measure, Start};
use network::lowered::Warning;
use quantity::Dimension;
use spectrum::{Complex, Filter, Motor, Waveform};
use study::result::{
    CoilState, Comparison, ReadingResult, RequirementResult, Run, Spectrum, TestpointInfo, TestpointResult,
    Trace,
};

/// PWM period in seconds.
pub(crate) const PERIOD: f64 = 50e-6;
/// Span that readings cover: the common period of 20 kHz and 480 Hz.
pub(crate) const SPAN: f64 = 12.5e-3;

const FILTERS: [(&str, Filter); 6] = [
    ("none", Filter { resistance: 1e-3, inductance: 0.0, capacitance: 0.0, esr: 0.0 }),
    ("resistor_cap", Filter { resistance: 1.0, inductance: 0.0, capacitance: 330e-6, esr: 0.08 }),
    ("coil", Filter { resistance: 0.35, inductance: 330e-6, capacitance: 0.0, esr: 0.0 }),
    ("cap", Filter { resistance: 1e-3, inductance: 0.0, capacitance: 330e-6, esr: 0.08 }),
    ("coil_cap", Filter { resistance: 0.35, inductance: 330e-6, capacitance: 330e-6, esr: 0.08 }),
    ("coil_cap_damped", Filter { resistance: 1.35, inductance: 330e-6, capacitance: 330e-6, esr: 0.08 }),
];
const THROTTLES: [(&str, f64, f64); 3] = [("idle", 3.0, 0.15), ("cruise", 11.0, 0.6), ("full", 14.0, 0.95)];
/// Name, open-circuit voltage, internal resistance.
const PACKS: [(&str, f64, f64); 2] = [("fresh", 16.4, 0.09), ("soft", 14.4, 0.18)];

fn axis(name: &str, kind: AxisKind, points: &[&str], baseline: Option<usize>) -> Axis {
    Axis {
        name: name.into(),
        kind,
        points: points.iter().map(|&point| point.into()).collect(),
        values: Vec::new(),
        baseline,
    }
}

/// The whole comparison.
pub(crate) fn crawler() -> Comparison {
    let mut runs = Vec::new();
    for (option, (_, filter)) in FILTERS.iter().enumerate() {
        for (state, (_, voltage, resistance)) in PACKS.iter().enumerate() {
            for (throttle, (_, current, duty)) in THROTTLES.iter().enumerate() {
                let motor = Motor { current: *current, duty: *duty };
                runs.push(run([option, state, throttle], *filter, motor, *voltage, *resistance));
            }
        }
    }
    Comparison {
        harness: "Pipe crawler".into(),
        axes: vec![
            axis("filter", AxisKind::Choice, &FILTERS.map(|(name, _)| name), Some(0)),
            axis("battery_state", AxisKind::Condition, &PACKS.map(|(name, ..)| name), None),
            axis("throttle", AxisKind::Condition, &THROTTLES.map(|(name, ..)| name), None),
        ],
        runs,
        testpoints: vec![
            TestpointInfo {
                name: "rail".into(),
                signal: "voltage(cam)".into(),
                dimension: Dimension::VOLTAGE,
                bandwidth: Some(20e6),
            },
            TestpointInfo {
                name: "choke_current".into(),
                signal: "current(choke)".into(),
                dimension: Dimension::CURRENT,
                bandwidth: None,
            },
        ],
        start: Some(Start::Steady),
        assumptions: vec![
            "eye: input capacitance 10 uF with 0.2 ohm".into(),
            "pack: inductance 120 nH (30 nH a cell)".into(),
            "choke: residual inductance as stated, 9 uH".into(),
        ],
        cautions: vec![
            "A model result is not a safety approval.".into(),
            "A lithium pack gives hundreds of amperes into a short: one lead at a time, and a fuse in the camera's feed."
                .into(),
        ],
    }
}

fn run(at: [usize; 3], filter: Filter, motor: Motor, voltage: f64, resistance: f64) -> Run {
    let seen = spectrum::camera_rail(filter, motor, resistance, PERIOD);
    let mean = voltage - resistance * motor.current * motor.duty - 0.16 * filter.resistance;
    let dip = 0.02 * motor.current * resistance * spectrum::gain(filter, 480.0);
    let rail = testpoint(&seen, mean, dip);
    let noise = rail.maximum - rail.minimum;
    let lowest = rail.minimum;
    let has_coil = filter.inductance > 0.0;
    let left = if at == [2, 1, 2] { 0.06 } else { 0.93 };
    let ripple = Waveform::choke_current(&seen, filter);
    let reading = |name: &str, value: Option<f64>, dimension| ReadingResult {
        name: name.into(),
        value,
        dimension,
        unlimited: None,
        list: None,
    };
    Run {
        at: at.to_vec(),
        readings: vec![
            ReadingResult {
                unlimited: Some(noise * if at[0] == 0 { 1.4 } else { 1.02 }),
                list: None,
                ..reading("noise", Some(noise), Dimension::VOLTAGE)
            },
            reading("ripple", Some(rail.rms_ac), Dimension::VOLTAGE),
            reading("lowest", Some(lowest), Dimension::VOLTAGE),
            reading("supply", Some(mean), Dimension::VOLTAGE),
            reading(
                "gain_at_pwm",
                Some(20.0 * spectrum::gain(filter, 1.0 / PERIOD).log10()),
                Dimension::LEVEL,
            ),
            reading("choke_gone", has_coil.then_some(1.0 - left), Dimension::NONE),
        ],
        requirements: vec![
            RequirementResult {
                text: "noise < 60 mV".into(),
                why: Some("lines in the picture".into()),
                met: Some(noise < 0.06),
                value: Some(noise),
                comparison: Comparator::Less,
                limit: 0.06,
                dimension: Dimension::VOLTAGE,
                measure: Some(Measure::PeakToPeak("rail".into())),
                testpoints: vec!["rail".into()],
                applies: true,
            },
            RequirementResult {
                text: "minimum(rail) > 9 V".into(),
                why: Some("camera browns out".into()),
                met: Some(lowest > 9.0),
                value: Some(lowest),
                comparison: Comparator::Greater,
                limit: 9.0,
                dimension: Dimension::VOLTAGE,
                measure: Some(Measure::Minimum("rail".into())),
                testpoints: vec!["rail".into()],
                applies: true,
            },
        ],
        testpoints: vec![Some(rail), has_coil.then(|| testpoint(&ripple, 0.16, 0.002))],
        coils: if has_coil {
            vec![CoilState {
                part: "choke".into(),
                peak_current: 0.168,
                inductance_left: left,
                inductance: left * 330e-6,
                range: (0.152, 0.168),
                curve: knee(330e-6),
            }]
        } else {
            Vec::new()
        },
        parts: Vec::new(),
        warnings: warnings(at, left),
        work: Vec::new(),
        error: None,
    }
}

fn warnings(at: [usize; 3], left: f64) -> Vec<Warning> {
    let mut warnings = Vec::new();
    if left < 0.7 {
        let text =
            "choke has 6 % of its inductance left at 0.9 A: take a coil with a higher saturation current."
                .into();
        warnings.push(Warning { code: "coil_saturated", about: "choke".into(), weight: 1.0 - left, text });
    }
    if at[2] == 2 {
        let text = format!("bulk carries {} A of ripple, over its rating: its life is short.", 8 + at[1]);
        let weight = 8.0 + at[1] as f64;
        warnings.push(Warning { code: "ripple_current", about: "bulk".into(), weight, text });
    }
    warnings
}

/// The test point of a periodic waveform on top of `mean`, with a dip of `dip` at every commutation.
fn testpoint(ripple: &Waveform, mean: f64, dip: f64) -> TestpointResult {
    let low = |time: f64| -dip * spectrum::triangle((time * 480.0).fract() / 0.2) + 0.1 * dip;
    let value = |time: f64| mean + low(time) + ripple.at(time);
    let extremes = (0..250).flat_map(|period| {
        let start = f64::from(period) * PERIOD;
        let times = [ripple.time_of_maximum, ripple.time_of_minimum].map(|offset| start + offset);
        let (first, second) = (times[0].min(times[1]), times[0].max(times[1]));
        [(first, value(first)), (second, value(second))]
    });
    let overview: Vec<(f64, f64)> = extremes.collect();
    let start = 40.0 * PERIOD;
    let detail =
        (0..=3000).map(|at| start + 3.0 * PERIOD * f64::from(at) / 3000.0).map(|time| (time, value(time)));
    let detail: Vec<(f64, f64)> = detail.collect();
    let all = || overview.iter().chain(&detail).map(|(_, value)| *value);
    let rms_ac = (overview.iter().map(|(_, value)| (value - mean).powi(2)).sum::<f64>() / 500.0).sqrt();
    TestpointResult {
        mean,
        minimum: all().fold(f64::INFINITY, f64::min),
        maximum: all().fold(f64::NEG_INFINITY, f64::max),
        rms_ac,
        overview: Trace { points: overview },
        detail: Trace { points: detail },
        spectrum: Some(Spectrum { lines: ripple.lines() }),
    }
}

/// Inductance over current of a core that is full at some 0.4 A.
fn knee(initial: f64) -> Vec<(f64, f64)> {
    let current = |step: i32| 0.01 * 10_f64.powf(f64::from(step) / 24.0);
    let inductance = |current: f64| 9e-6 + (initial - 9e-6) / (current / 0.4).cosh().powi(2);
    (0..=60).map(current).map(|current| (current, inductance(current))).collect()
}

/// A comparison whose figures can be checked by hand: two options, one condition each way, flat traces.
///
/// `before` and `after` are the peak-to-peak values in volt, the means are 12 V and 11.94 V, the limit is 60 mV.
pub(crate) fn by_hand(before: f64, after: f64, inductance_left: f64) -> Comparison {
    let point = |span: f64, mean: f64| {
        let trace = Trace {
            points: vec![(0.0, mean - span / 2.0), (50e-6, mean + span / 2.0), (1e-4, mean - span / 2.0)],
        };
        TestpointResult {
            mean,
            minimum: mean - span / 2.0,
            maximum: mean + span / 2.0,
            rms_ac: span / 12.0_f64.sqrt(),
            overview: trace.clone(),
            detail: trace,
            spectrum: None,
        }
    };
    let run = |option: usize, span: f64, mean: f64, coils: Vec<CoilState>| Run {
        at: vec![option],
        readings: vec![ReadingResult {
            name: "noise".into(),
            value: Some(span),
            dimension: Dimension::VOLTAGE,
            unlimited: None,
            list: None,
        }],
        requirements: vec![RequirementResult {
            text: "noise < 60 mV".into(),
            why: None,
            met: Some(span < 0.06),
            value: Some(span),
            comparison: Comparator::Less,
            limit: 0.06,
            dimension: Dimension::VOLTAGE,
            measure: Some(Measure::PeakToPeak("rail".into())),
            testpoints: vec!["rail".into()],
            applies: true,
        }],
        testpoints: vec![Some(point(span, mean))],
        coils,
        parts: Vec::new(),
        warnings: Vec::new(),
        work: Vec::new(),
        error: None,
    };
    let coil = CoilState {
        part: "choke".into(),
        peak_current: 0.17,
        inductance_left,
        inductance: inductance_left * 330e-6,
        range: (0.1, 0.17),
        curve: knee(330e-6),
    };
    Comparison {
        harness: "Bench".into(),
        axes: vec![axis("filter", AxisKind::Choice, &["none", "coil"], Some(0))],
        runs: vec![run(0, before, 12.0, Vec::new()), run(1, after, 11.94, vec![coil])],
        testpoints: vec![TestpointInfo {
            name: "rail".into(),
            signal: "voltage(cam)".into(),
            dimension: Dimension::VOLTAGE,
            bandwidth: None,
        }],
        start: Some(Start::Steady),
        assumptions: Vec::new(),
        cautions: Vec::new(),
    }
}

/// The crawler with one point failed, one value missing and one not finite.
pub(crate) fn crawler_with_gaps() -> Comparison {
    let mut comparison = crawler();
    let failed = &mut comparison.runs[13];
    failed.error =
        Some("No steady state was found within 200 periods: choke and store ring undamped.".into());
    for reading in &mut failed.readings {
        reading.value = None;
        reading.unlimited = None;
    }
    for requirement in &mut failed.requirements {
        requirement.value = None;
        requirement.met = None;
    }
    failed.testpoints = vec![None, None];
    failed.coils.clear();
    comparison.runs[20].readings[1].value = Some(f64::NAN);
    comparison.runs[20].requirements[0].value = None;
    comparison.runs[20].requirements[0].met = None;
    comparison
}

impl From<(f64, f64)> for Complex {
    fn from((re, im): (f64, f64)) -> Self {
        Self { re, im }
    }
}
