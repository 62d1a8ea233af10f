//! Legs of femtoseconds beside one of a millisecond, against a closed form.

use crate::common::{Builder, record, request};
use engine::{Method, Start};
use network::primitive::Element;
use network::waveform::{Pulse, PulseSettings, Waveform};

/// Pulses of 1 nWb every millisecond into 1 kohm and 1 uF, the shorter the higher: each lifts the capacitor by E (1 - e^(-w/tau)), and what
/// is left of all those before makes it 1 / (1 - e^(-T/tau)) times that.
#[test]
fn areas_count_however_short() {
    let (area, period, r, c) = (1e-9, 1e-3, 1e3, 1e-6);
    let tau: f64 = r * c;
    for width in [1e-6, 1e-9, 1e-12, 2e-14] {
        let level = area / width;
        let settings = PulseSettings { level, width, period, rise: 0.0, fall: 0.0, start: None };
        let mut circuit = Builder::new(&["in", "out"]);
        let source = Element::VoltageSource(Waveform::Pulse(Box::new(Pulse::new(settings))));
        circuit.add("source", "in", "gnd", source);
        circuit.resistor("r", "in", "out", r);
        circuit.capacitor("c", "out", "gnd", c);
        circuit.see_voltage("out", None);
        let asked = request(Start::Steady { period: Some(period) }, period, 1e-6, Method::Automatic);
        let seen = record(&circuit.network, &asked);
        let high = -level * (-width / tau).exp_m1() / -(-period / tau).exp_m1();
        for k in 1..=50 {
            let time = width + (period - width) * f64::from(k) / 50.0;
            let known = high * (-(time - width) / tau).exp();
            assert!((seen.at(0, time) - known).abs() < 1e-6 * high, "{width:e} at {time:e}");
        }
    }
}
