//! What a slow low-pass leaves of a waveform is known to the accuracy asked for of what is left, not of the waveform, against a closed form.

use crate::common::{Builder, Recorder, request};
use engine::observe::{Enough, Totals};
use engine::{Method, Observer, Road, Start, Stretch};
use network::primitive::Element;
use network::waveform::{Pulse, PulseSettings, Waveform};
use std::f64::consts::TAU;

const WIDTH: f64 = 40e-6;
const PERIOD: f64 = 1e-4;
const LEVEL: f64 = 10.0;

/// Content with totals.
#[derive(Default)]
struct Content(Vec<Totals>);

impl Observer for Content {
    fn restart(&mut self) {
        self.0.clear();
    }

    fn stretch(&mut self, _: &Stretch<'_>) {}

    fn enough(&mut self, probes: usize) -> Vec<Enough> {
        vec![Enough::Totals; probes]
    }

    fn totals(&mut self, _: usize, totals: &Totals) {
        self.0.push(*totals);
    }
}

/// The pulses behind one pole of the given rate, in the periodic steady state, less their mean.
fn behind_a_pole(rate: f64, time: f64) -> f64 {
    let [width, rest, period] = [WIDTH, PERIOD - WIDTH, PERIOD].map(|time| -(-rate * time).exp_m1());
    let mean = WIDTH / PERIOD;
    if time <= WIDTH {
        LEVEL * (1.0 - mean - rest / period * (-rate * time).exp())
    } else {
        LEVEL * (width / period * (-rate * (time - WIDTH)).exp() - mean)
    }
}

/// Pulses of 10 V behind 20 us, seen through 10 Hz and 0.1 Hz. With a = 1 / 20 us and w = TAU times that
/// a w / ((s + a) (s + w)) = (w a / (s + a) - a w / (s + w)) / (w - a).
#[test]
fn ripple_behind_few_hertz() {
    for width in [10.0, 0.1] {
        check(width);
    }
}

fn check(width: f64) {
    let (r, c) = (1e3, 20e-9);
    let mut circuit = Builder::new(&["in", "out"]);
    let settings =
        PulseSettings { level: LEVEL, width: WIDTH, period: PERIOD, rise: 0.0, fall: 0.0, start: None };
    circuit.add(
        "source",
        "in",
        "gnd",
        Element::VoltageSource(Waveform::Pulse(Box::new(Pulse::new(settings)))),
    );
    circuit.resistor("r", "in", "out", r);
    circuit.capacitor("c", "out", "gnd", c);
    circuit.see_voltage("out", Some(width));
    let (a, w) = (1.0 / (r * c), TAU * width);
    let known = |time: f64| {
        LEVEL * WIDTH / PERIOD + (w * behind_a_pole(a, time) - a * behind_a_pole(w, time)) / (w - a)
    };
    // Its summits are so flat that a ten thousandth of the period tells them to a millionth.
    let all: Vec<f64> = (0..=10_000).map(|k| known(PERIOD * f64::from(k) / 10_000.0)).collect();
    let least = all.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let accuracy = 1e-4;
    let allowed = accuracy * (greatest - least);
    let asked = request(Start::Steady { period: Some(PERIOD) }, PERIOD, accuracy, Method::Automatic);
    let mut content = Content::default();
    assert_eq!(engine::run(&circuit.network, &asked, &mut content).expect("it runs").road, Road::Exact);
    let found = content.0[0];
    assert!((found.least - least).abs() < allowed, "{} is not {least}, within {allowed:e}", found.least);
    assert!((found.greatest - greatest).abs() < allowed, "{} is not {greatest}", found.greatest);
    let mut seen = Recorder::default();
    engine::run(&circuit.network, &asked, &mut seen).expect("it runs");
    for k in 1..=200 {
        let time = PERIOD * (f64::from(k) - 0.5) / 200.0;
        let (found, known) = (seen.at(0, time), known(time));
        assert!((found - known).abs() < allowed, "at {time:e}: {found}, not {known} within {allowed:e}");
    }
}
