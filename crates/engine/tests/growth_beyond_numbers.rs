//! A mode that grows: while numbers can hold it, it follows its closed form; where they can't any more the run fails, and says so.

use crate::common::{Builder, Recorder, request};
use engine::{Failure, Method, Start};
use network::primitive::{Branch, CurrentLaw, Element, FluxLaw, Network};
use network::waveform::Waveform;

const TAU: f64 = 1e-3;

/// 1 mA into 1 uF beside -1 mS: v = e^(t / 1 ms) - 1 in volts. A coil elsewhere that could saturate has the run take the semilinear road.
fn grower(bent: bool) -> Network {
    let mut circuit = Builder::new(&["out", "aside"]);
    circuit.add("source", "gnd", "out", Element::CurrentSource(Waveform::Constant(1e-3)));
    circuit.resistor("feeder", "out", "gnd", -1e3);
    circuit.capacitor("store", "out", "gnd", 1e-6);
    circuit.resistor("aside", "aside", "gnd", 10.0);
    if bent {
        circuit.add("bent", "aside", "gnd", Element::Inductor(FluxLaw::tanh(1e-3, 1e-4, 1.0)));
    }
    circuit.see_voltage("out", None);
    circuit.network
}

const ROADS: [(bool, Method); 3] =
    [(false, Method::Automatic), (true, Method::Automatic), (false, Method::Stepping)];

#[test]
fn growth_without_bounds_is_refused() {
    for (bent, method) in ROADS {
        for start in [Start::Rest, Start::Operating] {
            let mut seen = Recorder::default();
            let outcome = engine::run(&grower(bent), &request(start, 0.8, 1e-4, method), &mut seen);
            let Err(Failure::Unbounded { time, part }) = outcome else {
                panic!("{start:?} {bent} {method:?}: {outcome:?}, {} stretches", seen.stretches.len())
            };
            // The greatest double is 1.8e308, its logarithm 709.8; from the operating point rounding is what grows.
            assert!(part == "store" && time > 0.69 && time < 0.8 + 1e-9, "{part} at {time}");
            assert!(
                seen.stretches.iter().all(|(_, _, values)| values[0].iter().all(|value| value.is_finite()))
            );
        }
    }
}

/// In a period such a mode grows as far.
#[test]
fn no_steady_state_of_what_grows_without_bounds() {
    for (bent, method) in ROADS {
        for period in [Some(0.8), None] {
            let start = Start::Steady { period };
            let outcome =
                engine::run(&grower(bent), &request(start, 0.8, 1e-4, method), &mut Recorder::default());
            outcome.expect_err("there is none");
        }
    }
}

/// An error of the rate adds up in the exponent: the error allowed once every time constant.
#[test]
fn growth_within_bounds_is_followed() {
    for (bent, method) in ROADS {
        for time in [0.02, 0.3] {
            let mut seen = Recorder::default();
            let outcome = engine::run(&grower(bent), &request(Start::Rest, time, 1e-4, method), &mut seen);
            outcome.expect("it runs");
            let (found, known) = (seen.at(0, time), (time / TAU).exp_m1());
            assert!(
                (found - known).abs() < 1e-4 * (1.0 + time / TAU) * known,
                "{bent} {method:?}: {found:e}, not {known:e}"
            );
        }
    }
}

/// What would outgrow numbers is held at 100 V by 10 mS: it ends where 1 mA + v / 1 kohm = 10 mS (v - 100 V).
#[test]
fn growth_that_is_caught_is_followed() {
    for (bent, method) in ROADS {
        let mut network = grower(bent);
        let law = CurrentLaw::Knee { voltage: 100.0, conductance: 10e-3, leakage: 0.0 };
        let ends = network.branches[1].clone();
        network.branches.push(Branch { part: "clamp".into(), element: Element::Load(law), ..ends });
        let mut seen = Recorder::default();
        let outcome = engine::run(&network, &request(Start::Rest, 0.8, 1e-4, method), &mut seen);
        assert!(outcome.is_ok(), "{bent} {method:?}: {outcome:?}");
        let (found, known) = (seen.at(0, 0.8), (1e-3 + 1.0) / 9e-3);
        assert!((found - known).abs() < 1e-4 * known, "{bent} {method:?}: {found}, not {known}");
    }
}

/// A clamp of 0.5 mS does not hold it: it halves its rate.
#[test]
fn growth_that_is_not_caught_is_refused() {
    for (bent, method) in ROADS {
        let mut network = grower(bent);
        let law = CurrentLaw::Knee { voltage: 100.0, conductance: 0.5e-3, leakage: 0.0 };
        let ends = network.branches[1].clone();
        network.branches.push(Branch { part: "clamp".into(), element: Element::Load(law), ..ends });
        let outcome =
            engine::run(&network, &request(Start::Rest, 1.6, 1e-4, method), &mut Recorder::default());
        assert!(matches!(outcome, Err(Failure::Unbounded { .. })), "{bent} {method:?}: {outcome:?}");
    }
}
