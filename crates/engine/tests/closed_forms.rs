//! Steps into first and second order circuits, against closed forms, on both roads through time.

use crate::common;

use common::{Builder, record, request};
use engine::{Method, Start};

const ROADS: [Method; 2] = [Method::Automatic, Method::Stepping];

/// The exact road is as good as its parabolas (2 % of the accuracy); steps accumulate up to the accuracy.
fn allowed(swing: f64, accuracy: f64) -> f64 {
    swing * accuracy
}

/// Bird, Electrical Circuit Theory and Technology (2nd ed.), example 45.1: C = 500 nF, R = 100 kohm, 50 V.
#[test]
fn capacitor_charging() {
    for road in ROADS {
        let mut circuit = Builder::new(&["in", "out"]);
        circuit.voltage("source", "in", "gnd", 50.0);
        let resistor = circuit.resistor("r", "in", "out", 100e3);
        circuit.capacitor("c", "out", "gnd", 500e-9);
        circuit.see_voltage("out", None);
        circuit.see_current(resistor);
        let seen = record(&circuit.network, &request(Start::Rest, 0.3, 1e-6, road));
        let tau = 0.05;
        for time in [0.001, 0.02, 0.08, 0.15, 0.29] {
            let voltage = 50.0 * (1.0 - f64::exp(-time / tau));
            let current = 50.0 / 100e3 * f64::exp(-time / tau);
            assert!((seen.at(0, time) - voltage).abs() < allowed(50.0, 1e-6), "{road:?} {time}");
            assert!((seen.at(1, time) - current).abs() < allowed(5e-4, 1e-6), "{road:?} {time}");
        }
        // The book's rounded figures: 0.5 mA at first, 0.02489 mA after 150 ms, 39.905 V after 80 ms, 35 V left across the resistor
        // after 17.83 ms.
        assert!((seen.at(1, 0.0) - 0.5e-3).abs() < allowed(5e-4, 1e-6));
        assert!((seen.at(1, 0.15) - 0.02489e-3).abs() < 1e-3 * 0.02489e-3);
        assert!((seen.at(0, 0.08) - 39.905).abs() < 1e-3 * 39.905);
        assert!((seen.time_of(0, 50.0 - 35.0, (0.0, 0.3)) - 17.83e-3).abs() < 1e-3 * 17.83e-3);
    }
}

/// Bird, example 45.3: L = 50 mH, R = 5 ohm, 110 V: 7.253 A after 4 ms, 49.631 V across R and 60.369 V across L after 6 ms, 15 A
/// after 11.451 ms, 22 A in the end.
#[test]
fn inductor_growth() {
    for road in ROADS {
        let mut circuit = Builder::new(&["in", "out"]);
        circuit.voltage("source", "in", "gnd", 110.0);
        let coil = circuit.inductor("l", "in", "out", 50e-3);
        circuit.resistor("r", "out", "gnd", 5.0);
        circuit.see_current(coil);
        circuit.see_voltage("out", None);
        let seen = record(&circuit.network, &request(Start::Rest, 0.06, 1e-6, road));
        for time in [0.0005, 0.004, 0.006, 0.011451, 0.05] {
            let current = 22.0 * (1.0 - f64::exp(-time / 0.01));
            assert!((seen.at(0, time) - current).abs() < allowed(22.0, 1e-6), "{road:?} {time}");
        }
        assert!((seen.at(0, 0.004) - 7.253).abs() < 1e-3 * 7.253);
        assert!((seen.at(1, 0.006) - 49.631).abs() < 1e-3 * 49.631);
        assert!((110.0 - seen.at(1, 0.006) - 60.369).abs() < 1e-3 * 60.369);
        assert!((seen.time_of(0, 15.0, (0.0, 0.06)) - 11.451e-3).abs() < 1e-3 * 11.451e-3);
        // Six time constants leave exp(-6).
        assert!((seen.at(0, 0.06) - 22.0 * (1.0 - f64::exp(-6.0))).abs() < allowed(22.0, 1e-6));
    }
}

/// Series R-L-C on a step of 10 V: capacitor voltage by the three textbook forms; L = 2 mH, R = 1 kohm with 5 uF
/// (overdamped), 8 nF (critical) and 0.5 nF (underdamped), after Bird, examples 45.5 and 45.6.
#[test]
fn series_rlc() {
    let (l, r, v): (f64, f64, f64) = (2e-3, 1e3, 10.0);
    for road in ROADS {
        for c in [5e-6, 8e-9, 0.5e-9] {
            let alpha = r / (2.0 * l);
            let squared = alpha * alpha - 1.0 / (l * c);
            let exact = |t: f64| {
                if squared.abs() < 1e-6 * alpha * alpha {
                    v * (1.0 - (1.0 + alpha * t) * f64::exp(-alpha * t))
                } else if squared > 0.0 {
                    let beta = squared.sqrt();
                    // The slow root from the product of roots, free of cancellation.
                    let (fast, slow) = (-alpha - beta, -1.0 / (l * c) / (alpha + beta));
                    v * (1.0 + (slow * f64::exp(fast * t) - fast * f64::exp(slow * t)) / (fast - slow))
                } else {
                    let omega = (-squared).sqrt();
                    v * (1.0 - f64::exp(-alpha * t) * ((omega * t).cos() + alpha / omega * (omega * t).sin()))
                }
            };
            let mut circuit = Builder::new(&["in", "a", "out"]);
            circuit.voltage("source", "in", "gnd", v);
            circuit.resistor("r", "in", "a", r);
            circuit.inductor("l", "a", "out", l);
            circuit.capacitor("c", "out", "gnd", c);
            circuit.see_voltage("out", None);
            let span = if squared > 0.0 { 20e-3 } else { 40e-6 };
            let seen = record(&circuit.network, &request(Start::Rest, span, 1e-6, road));
            for part in 1..40 {
                let time = span * f64::from(part) / 40.0;
                let error = (seen.at(0, time) - exact(time)).abs();
                assert!(error < allowed(v, 1e-6), "{road:?} {c} F at {time} s: {error}");
            }
        }
    }
}

/// Battery, series L, shunt C, current step of the load: 10.50757, 10.98917, 10.80318, 10.88843 V after 0.1, 0.5, 1
/// and 5 ms for 11.1 V, 50 mohm, 47 uH, 470 uF, 3 A (elementary; solution of L C v'' + R C v' + v = V - R I).
#[test]
fn load_step_behind_inductance() {
    use network::primitive::Element;
    use network::waveform::{Points, Waveform};
    for road in ROADS {
        let mut circuit = Builder::new(&["emf", "a", "out"]);
        circuit.voltage("pack", "emf", "gnd", 11.1);
        circuit.resistor("pack", "emf", "a", 0.05);
        circuit.inductor("wire", "a", "out", 47e-6);
        circuit.capacitor("bulk", "out", "gnd", 470e-6);
        let points = Points::new(vec![(0.0, 0.0), (1e-3, 0.0), (1e-3, 3.0)]);
        circuit.add("load", "out", "gnd", Element::CurrentSource(Waveform::Points(points)));
        circuit.see_voltage("out", None);
        let seen = record(&circuit.network, &request(Start::Operating, 6.5e-3, 1e-7, road));
        for (late, expected) in [(1e-4, 10.50757), (5e-4, 10.98917), (1e-3, 10.80318), (5e-3, 10.88843)] {
            let value = seen.at(0, 1e-3 + late);
            assert!((value - expected).abs() < 1e-5, "{road:?} {late}: {value}");
        }
    }
}
