//! Runs of sources without a common period: what is shown begins where settling ends, without a gap, against closed forms.

use crate::common::{Builder, Recorder, request};
use engine::{Method, Road, Start};
use network::primitive::{Element, FluxLaw};
use network::waveform::{Pulse, PulseSettings, Waveform};

fn pulse(width: f64, period: f64) -> Element {
    let settings = PulseSettings { level: 1.0, width, period, rise: 0.0, fall: 0.0, start: None };
    Element::CurrentSource(Waveform::Pulse(Box::new(Pulse::new(settings))))
}

/// What a pulse of height 1 leaves behind R and C in the periodic steady state.
fn smoothed(width: f64, period: f64, tau: f64, time: f64) -> f64 {
    let time = time.rem_euclid(period);
    let (p, q) = ((-width / tau).exp(), (-(period - width) / tau).exp());
    let high = (1.0 - p) / (1.0 - p * q);
    if time <= width {
        1.0 + (high * q - 1.0) * (-time / tau).exp()
    } else {
        high * (-(time - width) / tau).exp()
    }
}

/// Two pulses of 1 A into 5 ohm and 2 uF: waveforms add. A coil by itself, which saturates nowhere near its current, has the run take
/// the semilinear road.
#[test]
fn pulses_that_never_meet_again() {
    let (r, c) = (5.0, 2e-6);
    let trains = [(30e-6, 1e-4), (50e-6, 1e-4 * std::f64::consts::SQRT_2)];
    for bent in [false, true] {
        let mut circuit = Builder::new(&["out", "aside"]);
        for (width, period) in trains {
            circuit.add("source", "gnd", "out", pulse(width, period));
        }
        circuit.resistor("r", "out", "gnd", r);
        circuit.capacitor("c", "out", "gnd", c);
        if bent {
            circuit.add("coil", "aside", "gnd", Element::Inductor(FluxLaw::tanh(1e-3, 1e-4, 1.0)));
        }
        circuit.resistor("aside", "aside", "gnd", 10.0);
        circuit.see_voltage("out", None);
        for method in [Method::Automatic, Method::Stepping] {
            let span = 3e-4;
            let asked = request(Start::Steady { period: None }, span, 1e-6, method);
            let mut seen = Recorder::default();
            let summary = engine::run(&circuit.network, &asked, &mut seen).expect("it runs");
            let fast = if bent { Road::Semilinear } else { Road::Exact };
            assert_eq!(summary.road, if method == Method::Automatic { fast } else { Road::Stepping });
            let mut end = 0.0;
            for (start, next, _) in &seen.stretches {
                assert!((start - end).abs() < 1e-9 * span, "{method:?}: from {end:e} to {start:e}");
                end = *next;
            }
            assert!((end - span).abs() < 1e-9 * span, "{method:?}: {end:e}");
            for k in 1..=60 {
                let time = span * (f64::from(k) - 0.5) / 60.0;
                let known: f64 = trains
                    .iter()
                    .map(|(width, period)| r * smoothed(*width, *period, r * c, time + summary.settled))
                    .sum();
                let found = seen.at(0, time);
                assert!((found - known).abs() < 1e-5 * r, "{method:?} at {time:e}: {found}, not {known}");
            }
        }
    }
}

/// Nothing moves: the one straight line that is known from the beginning is shown for the span.
#[test]
fn what_stands_still_is_shown_too() {
    let mut circuit = Builder::new(&["in", "out"]);
    circuit.voltage("source", "in", "gnd", 12.0);
    circuit.resistor("r", "in", "out", 2.0);
    circuit.capacitor("c", "out", "gnd", 1e-6);
    circuit.resistor("load", "out", "gnd", 4.0);
    circuit.see_voltage("out", None);
    circuit.see_voltage("out", Some(1e6));
    for method in [Method::Automatic, Method::Stepping] {
        let mut seen = Recorder::default();
        let asked = request(Start::Steady { period: None }, 1e-3, 1e-6, method);
        engine::run(&circuit.network, &asked, &mut seen).expect("it runs");
        let shown: f64 = seen.stretches.iter().map(|(start, end, _)| end - start).sum();
        assert!(
            (shown - 1e-3).abs() < 1e-12,
            "{method:?}: {shown:e} s in {} stretches",
            seen.stretches.len()
        );
        for probe in 0..2 {
            let (least, greatest) = seen.extremes(probe);
            assert!(
                (least - 8.0).abs() < 1e-9 && (greatest - 8.0).abs() < 1e-9,
                "{method:?} {least} {greatest}"
            );
        }
    }
}
