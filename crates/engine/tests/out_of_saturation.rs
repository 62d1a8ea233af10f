//! A coil that comes out of deep saturation within one leg: what needs steps of nanoseconds at first needs none of them later.

use crate::common::{Builder, record, request};
use engine::{Method, Start};
use network::primitive::{Element, FluxLaw};
use network::waveform::{Pulse, PulseSettings, Waveform};

/// 12 V across 0.5 ohm and the coil fall to nothing: R i = -L(i) i', so that i is reached after the integral of L(x) / (R x) from i to 24 A,
/// here over ln x by Simpson's rule.
#[test]
fn current_decays_as_the_law_says() {
    let (volt, ohm) = (12.0, 0.5);
    for (residual, accuracy) in [(3.3e-8, 1e-6), (3.3e-8, 1e-9), (3.3e-10, 1e-9)] {
        let law = FluxLaw::tanh(330e-6, residual, 1.2e-4);
        let mut circuit = Builder::new(&["in", "mid", "a"]);
        let off = PulseSettings { level: -volt, width: 0.8, period: 1.0, rise: 0.0, fall: 0.0, start: None };
        circuit.voltage("source", "in", "gnd", volt);
        let off = Element::VoltageSource(Waveform::Pulse(Box::new(Pulse::new(off))));
        circuit.add("off", "mid", "in", off);
        circuit.resistor("r", "mid", "a", ohm);
        let coil = circuit.add("choke", "a", "gnd", Element::Inductor(law.clone()));
        circuit.see_current(coil);
        let seen = record(&circuit.network, &request(Start::Operating, 5e-3, accuracy, Method::Automatic));
        let first = volt / ohm;
        for current in [12.0f64, 3.0, 1.0, 0.3, 0.1, 0.01] {
            let pieces = 20_000;
            let width = (first / current).ln() / f64::from(pieces);
            let value = |k: u32| law.inductance(current * (f64::from(k) * width).exp()) / ohm;
            let weight = |k: u32| if k == 0 || k == pieces { 1.0 } else { f64::from(2 + 2 * (k % 2)) };
            let time = (0..=pieces).map(|k| weight(k) * value(k)).sum::<f64>() * width / 3.0;
            // The current is known to the accuracy of its swing, and the flux to the rounding, 1e-14 of it, of some hundred steps.
            let rounding = 1e-12 * law.flux(current) / law.inductance(current);
            let found = seen.at(0, time);
            assert!(
                (found - current).abs() < 2.0 * accuracy * first + rounding,
                "{residual:e} H: {found} A, not {current}"
            );
        }
    }
}
