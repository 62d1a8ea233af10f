//! Natural responses and damping as textbooks work them out, on both roads through time.
//!
//! Where a book says "at t = 0 the switch is thrown", a source here stands at one value before and jumps to another at t = 0: the
//! run starts from the operating point before, which carries the book's initial currents and voltages.

use crate::common;

use common::{Builder, Recorder, record, request};
use engine::{Method, Start};
use network::primitive::Element;
use network::waveform::{Points, Waveform};

const ROADS: [Method; 2] = [Method::Automatic, Method::Stepping];
const ACCURACY: f64 = 1e-6;

/// `before` until t = 0, then `after`.
fn switched(before: f64, after: f64) -> Waveform {
    Waveform::Points(Points::new(vec![(0.0, before), (0.0, after)]))
}

fn from_operating(circuit: &Builder, span: f64, road: Method) -> Recorder {
    record(&circuit.network, &request(Start::Operating, span, ACCURACY, road))
}

/// Bird, Electrical Circuit Theory and Technology (2nd ed.), example 45.4: 5 A in a coil of 2 H die away through 10 ohm: at most
/// 50 V, and 0.6438 s until 0.2 A.
#[test]
fn inductor_decay() {
    for road in ROADS {
        let mut circuit = Builder::new(&["top"]);
        circuit.add("field", "gnd", "top", Element::CurrentSource(switched(5.0, 0.0)));
        let coil = circuit.inductor("l", "top", "gnd", 2.0);
        circuit.resistor("r", "top", "gnd", 10.0);
        circuit.see_current(coil);
        circuit.see_voltage("top", None);
        let seen = from_operating(&circuit, 1.0, road);
        let (low, high) = seen.extremes(1);
        assert!((low + 50.0).abs() < ACCURACY * 50.0 && high < ACCURACY * 50.0, "{road:?}: {low} to {high}");
        // An error of the current is one of the time, divided by the slope: 5 A x accuracy over 0.2 A / 0.2 s.
        let time = seen.time_of(0, 0.2, (0.0, 1.0));
        let exact = 0.2 * f64::ln(5.0 / 0.2);
        assert!((time - exact).abs() < 5.0 * ACCURACY / (0.2 / 0.2), "{road:?}: {time} against {exact}");
        // The book's four digits.
        assert!((time - 0.6438).abs() < 0.5e-4, "{road:?}: {time}");
    }
}

/// Bird, examples 45.5 and 45.6: 2 mH and 1 kohm are critically damped by 4 L / R^2 = 8 nF; 5 uF is more than that, 5 nF less.
/// Less means an overshoot of exp(-pi alpha / omega_d) of a step (any textbook on control).
#[test]
fn critical_damping_divides_what_overshoots() {
    let (l, r, v): (f64, f64, f64) = (2e-3, 1e3, 10.0);
    let alpha = r / (2.0 * l);
    for road in ROADS {
        for (c, span) in [(5e-6, 50e-3), (8e-9, 60e-6), (5e-9, 60e-6)] {
            let square = 1.0 / (l * c) - alpha * alpha;
            let overshoot = if square > 1e-9 * alpha * alpha {
                (-std::f64::consts::PI * alpha / square.sqrt()).exp()
            } else {
                0.0
            };
            let mut circuit = Builder::new(&["in", "a", "out"]);
            circuit.voltage("source", "in", "gnd", v);
            circuit.resistor("r", "in", "a", r);
            circuit.inductor("l", "a", "out", l);
            circuit.capacitor("c", "out", "gnd", c);
            circuit.see_voltage("out", None);
            let seen = record(&circuit.network, &request(Start::Rest, span, ACCURACY, road));
            // Spans are long enough for exp(-10) of the step to be left where nothing overshoots: the top is then v less that.
            let (_, top) = seen.extremes(0);
            let expected = v * (1.0 + overshoot);
            let allowed = v * ACCURACY;
            if overshoot > 0.0 {
                assert!((top - expected).abs() < allowed, "{road:?} {c} F: {top} against {expected}");
            } else {
                assert!(top < v + allowed && top > v * (1.0 - 1e-4), "{road:?} {c} F: {top}");
            }
        }
    }
}

/// Nilsson and Riedel, Electric Circuits, ch. 8, natural response of a parallel circuit: 200 ohm, 50 mH, 0.2 uF from 12 V and 30 mA:
/// v = -14 e^(-5000 t) + 26 e^(-20000 t) V. The capacitor stands on -12 V before t = 0 and on 0 after; the coil carries what a source gives
/// before and no longer gives after.
#[test]
fn parallel_natural_response() {
    let exact = |t: f64| -14.0 * f64::exp(-5e3 * t) + 26.0 * f64::exp(-20e3 * t);
    for road in ROADS {
        let mut circuit = Builder::new(&["top", "foot"]);
        circuit.add("lift", "foot", "gnd", Element::VoltageSource(switched(-12.0, 0.0)));
        circuit.add("feed", "gnd", "top", Element::CurrentSource(switched(30e-3, 0.0)));
        circuit.resistor("r", "top", "gnd", 200.0);
        let coil = circuit.inductor("l", "top", "gnd", 50e-3);
        circuit.capacitor("c", "top", "foot", 0.2e-6);
        circuit.see_voltage("top", None);
        circuit.see_current(coil);
        let seen = from_operating(&circuit, 1e-3, road);
        assert!((seen.at(1, 0.0) - 30e-3).abs() < 30e-3 * ACCURACY, "{road:?}: {}", seen.at(1, 0.0));
        for k in 0..=40 {
            let time = f64::from(k) * 25e-6;
            let error = (seen.at(0, time) - exact(time)).abs();
            // The swing is 12 V and the dip below 0.
            assert!(error < 20.0 * ACCURACY, "{road:?} {time} s: {error}");
        }
        assert!((seen.at(0, 100e-6) + 4.97271).abs() < 1e-5 * 4.97271 + 0.5e-5, "{road:?}");
    }
}

/// Nilsson and Riedel, ch. 8, natural response of a series circuit: 560 ohm, 100 mH, 0.1 uF have alpha = 2800 /s and omega_d = 9600 rad/s. Both
/// are read off the current, as one would on an oscilloscope: omega_d from its zeros, alpha from its fall over half a period.
#[test]
fn series_natural_response() {
    let (r, l, c, charged) = (560.0, 0.1, 0.1e-6, 100.0);
    let (alpha, omega) = (2800.0, 9600.0);
    let half = std::f64::consts::PI / omega;
    for road in ROADS {
        let mut circuit = Builder::new(&["in", "a", "out"]);
        circuit.add("source", "in", "gnd", Element::VoltageSource(switched(charged, 0.0)));
        circuit.resistor("r", "in", "a", r);
        let coil = circuit.inductor("l", "a", "out", l);
        circuit.capacitor("c", "out", "gnd", c);
        circuit.see_current(coil);
        let seen = from_operating(&circuit, 1.2e-3, road);
        let (low, high) = seen.extremes(0);
        let allowed = ACCURACY * (high - low);
        let exact = |t: f64| -charged / (omega * l) * f64::exp(-alpha * t) * (omega * t).sin();
        for k in 0..=48 {
            let time = f64::from(k) * 25e-6;
            assert!((seen.at(0, time) - exact(time)).abs() < allowed, "{road:?} {time} s");
        }
        let zeros = [1.0, 2.0, 3.0].map(|k| seen.time_of(0, 0.0, ((k - 0.5) * half, (k + 0.5) * half)));
        // An error of the current moves a zero by itself over the slope there, which is omega times the envelope.
        let envelope = |time: f64| charged / (omega * l) * f64::exp(-alpha * time);
        let moved = 2.0 * allowed / (omega * envelope(3.0 * half));
        let found = 2.0 * std::f64::consts::PI / (zeros[2] - zeros[0]);
        assert!((found - omega).abs() < omega * moved / half, "{road:?}: omega {found}");
        let fall = (seen.at(0, 0.5 * half) / -seen.at(0, 1.5 * half)).ln() / half;
        let off = 2.0 * allowed / envelope(1.5 * half) / half;
        assert!((fall - alpha).abs() < off, "{road:?}: alpha {fall}");
    }
}
