//! Time constants of picoseconds and less, from rest: what a state will swing by shows long after the first steps.

use crate::common::{Builder, record, request};
use engine::{Method, Start};
use network::primitive::{CurrentLaw, Element};

const VOLTAGE: f64 = 12.0;

/// Voltage at the end of two R-C sections across a step: e^(A t) of two rates by Sylvester's formula.
fn second_section(r: [f64; 2], c: [f64; 2], time: f64) -> f64 {
    let of_first = -(1.0 / r[0] + 1.0 / r[1]) / c[0];
    let (to_second, of_second) = (1.0 / (r[1] * c[1]), -1.0 / (r[1] * c[1]));
    let (trace, product) = (of_first + of_second, of_first * of_second - to_second / (r[1] * c[0]));
    // Both are below zero; the smaller from the product, lest digits be lost.
    let fast = 0.5 * (trace - (trace * trace - 4.0 * product).sqrt());
    let slow = product / fast;
    // The second row of (e^(fast t) (A - slow) - e^(slow t) (A - fast)) / (fast - slow), times 1 and 1; the row of A sums to nothing.
    VOLTAGE * (1.0 - (fast * (slow * time).exp() - slow * (fast * time).exp()) / (fast - slow))
}

#[test]
fn two_sections_of_picoseconds() {
    for (ohm, farad) in [(0.1, 1e-12), (1.0, 1e-12), (5.0, 1e-12), (5.0, 100e-12)] {
        let (r, c) = ([ohm, 7.0 * ohm], [farad, 3.0 * farad]);
        let slow = 21.0 * ohm * farad;
        for with_load in [false, true] {
            let mut circuit = Builder::new(&["in", "first", "second"]);
            circuit.voltage("source", "in", "gnd", VOLTAGE);
            circuit.resistor("r1", "in", "first", r[0]);
            circuit.capacitor("c1", "first", "gnd", c[0]);
            circuit.resistor("r2", "first", "second", r[1]);
            circuit.capacitor("c2", "second", "gnd", c[1]);
            if with_load {
                // It draws nothing as long as 20 V are not reached.
                let law = CurrentLaw::Knee { voltage: 20.0, conductance: 1.0, leakage: 0.0 };
                circuit.add("clamp", "second", "gnd", Element::Load(law));
            }
            circuit.see_voltage("second", None);
            for accuracy in [1e-3, 1e-5] {
                for method in [Method::Automatic, Method::Stepping] {
                    let seen = record(&circuit.network, &request(Start::Rest, 1e-6, accuracy, method));
                    for time in [0.1, 0.5, 1.0, 2.0, 4.0].map(|share| share * slow) {
                        let (found, known) = (seen.at(0, time), second_section(r, c, time));
                        assert!(
                            (found - known).abs() < accuracy * VOLTAGE,
                            "{ohm} ohm {farad:e} F {accuracy:e} {method:?} at {time:e}: {found}, not {known}"
                        );
                    }
                }
            }
        }
    }
}
