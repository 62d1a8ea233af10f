//! A saturable coil against closed forms: flux rises as the voltage says, current is the inverse of the flux law.

mod common;

use common::{Builder, record, request};
use engine::{Method, Start};
use network::primitive::{Element, FluxLaw, Probe, Signal};

fn coil(initial: f64, residual: f64, saturation_flux: f64) -> FluxLaw {
    FluxLaw::Saturable { initial, residual, saturation_flux }
}

/// Voltage step across the bare coil: flux is V t (Faraday), so the law at the current seen must give V t.
#[test]
fn flux_rises_linearly() {
    let law = coil(330e-6, 9e-6, 1.2e-4);
    let mut circuit = Builder::new(&["in"]);
    circuit.voltage("source", "in", "gnd", 12.0);
    let branch = circuit.add("choke", "in", "gnd", Element::Inductor(law));
    circuit.see_current(branch);
    circuit.network.probes.push(Probe { signal: Signal::Flux(1.0, branch), bandwidth: None });
    let accuracy = 1e-6;
    let seen = record(&circuit.network, &request(Start::Rest, 40e-6, accuracy, Method::Automatic));
    let end = 12.0 * 40e-6;
    for (start, stop, values) in &seen.stretches {
        for (time, flux, current) in
            [(*start, values[1][0], values[0][0]), (*stop, values[1][2], values[0][2])]
        {
            // The integrator moves flux itself, and V t is a polynomial of first degree: exact but for Newton's tolerance.
            assert!((flux - 12.0 * time).abs() < 1e-9 * end, "flux at {time}");
            assert!((law.flux(current) - 12.0 * time).abs() < 1e-9 * end, "current at {time}");
        }
    }
    // Far in saturation the slope is V / Lr: 12 V / 9 uH.
    let slope = (seen.at(0, 40e-6) - seen.at(0, 39e-6)) / 1e-6;
    assert!((slope - 12.0 / 9e-6).abs() < 1e-3 * 12.0 / 9e-6, "{slope}");
}

/// Resistor and coil with flux Ps tanh(i / I0) on 12 V: 0.5 ohm, Ps = 1 mWb, I0 = 5 A: times to 2, 5, 10 and 20 A by
/// quadrature of t = int (Ps/I0) sech^2(x/I0) / (V - R x) dx, computed here by Simpson's rule (residual inductance added).
#[test]
fn resistor_and_saturable_coil() {
    let (v, r, flux, knee, residual) = (12.0, 0.5, 1e-3, 5.0, 1e-9);
    let law = coil(flux / knee + residual, residual, flux);
    let mut circuit = Builder::new(&["in", "a"]);
    circuit.voltage("source", "in", "gnd", v);
    circuit.resistor("r", "in", "a", r);
    let branch = circuit.add("choke", "a", "gnd", Element::Inductor(law));
    circuit.see_current(branch);
    let accuracy = 1e-6;
    let seen = record(&circuit.network, &request(Start::Rest, 101e-6, accuracy, Method::Automatic));
    let time_to = |current: f64| {
        let cells = 20_000;
        let f = |x: f64| law.inductance(x) / (v - r * x);
        let h = current / f64::from(cells);
        let sum: f64 = (0..cells)
            .map(|k| {
                let x = f64::from(k) * h;
                f(x) + 4.0 * f(x + 0.5 * h) + f(x + h)
            })
            .sum();
        sum * h / 6.0
    };
    for (current, published) in
        [(2.0, 33.02252e-6), (5.0, 70.00393e-6), (10.0, 93.68978e-6), (20.0, 100.0325e-6)]
    {
        let time = time_to(current);
        assert!((time - published).abs() < 2e-4 * published, "quadrature {time}");
        // Compared in flux, where the run is smooth: the current rises a hundredfold faster in saturation.
        let seen_flux = law.flux(seen.at(0, time));
        assert!((seen_flux - law.flux(current)).abs() < 1e-5 * flux, "{current} A: {seen_flux}");
    }
}
