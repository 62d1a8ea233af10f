//! A switch that moves while no voltage lies across it, against a closed form: it draws nothing just then, open or closed.

use crate::common::{Builder, Recorder, request};
use engine::{Method, Road, Start};
use network::primitive::{Element, FluxLaw};
use network::waveform::{Points, Waveform};

/// 2 A flow from t = 0 on into 1 uF beside 10 ohm, and beside a switch of 5 ohm that closes at once and opens after 20 us: towards
/// I R with R C, R being 10/3 ohm first and 10 ohm then.
#[test]
fn closes_before_there_is_a_voltage() {
    let (current, c, r, closed, opens): (f64, f64, f64, f64, f64) = (2.0, 1e-6, 10.0, 5.0, 20e-6);
    let step = |height: f64, end: f64| {
        Waveform::Points(Points::new(vec![(0.0, 0.0), (0.0, height), (end, height), (end, 0.0)]))
    };
    let both = r * closed / (r + closed);
    let at_opening = current * both * (1.0 - (-opens / (both * c)).exp());
    let known = |time: f64| {
        if time <= opens {
            current * both * (1.0 - (-time / (both * c)).exp())
        } else {
            current * r + (at_opening - current * r) * (-(time - opens) / (r * c)).exp()
        }
    };
    for bent in [false, true] {
        let mut circuit = Builder::new(&["out", "aside"]);
        circuit.add("source", "gnd", "out", Element::CurrentSource(step(current, 1.0)));
        circuit.capacitor("c", "out", "gnd", c);
        circuit.resistor("r", "out", "gnd", r);
        let control = step(1.0, opens);
        circuit.add("s", "out", "gnd", Element::Switch { closed: 1.0 / closed, open: 1e-12, control });
        circuit.resistor("aside", "aside", "gnd", 10.0);
        if bent {
            circuit.add("bent", "aside", "gnd", Element::Inductor(FluxLaw::tanh(1e-3, 1e-4, 1.0)));
        }
        circuit.see_voltage("out", None);
        let fast = if bent { Road::Semilinear } else { Road::Exact };
        for start in [Start::Rest, Start::Operating] {
            for (method, road) in [(Method::Automatic, fast), (Method::Stepping, Road::Stepping)] {
                let mut seen = Recorder::default();
                let summary = engine::run(&circuit.network, &request(start, 60e-6, 1e-6, method), &mut seen);
                assert_eq!(summary.expect("it runs").road, road);
                for k in 1..=60 {
                    let time = 1e-6 * (f64::from(k) - 0.5);
                    let (found, known) = (seen.at(0, time), known(time));
                    assert!(
                        (found - known).abs() < 2e-6 * current * r,
                        "{start:?} {road:?} at {time:e}: {found}, not {known}"
                    );
                }
            }
        }
    }
}
