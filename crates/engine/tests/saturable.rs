//! A saturable coil against closed forms: flux rises as the voltage says, current is the inverse of the flux law.

use crate::common;

use common::{Builder, record, request};
use engine::{Method, Start};
use network::primitive::{Element, FluxLaw, FluxTable, Probe, SaturationCurve, Signal};
use std::sync::Arc;

fn coil(initial: f64, residual: f64, saturation_flux: f64) -> FluxLaw {
    FluxLaw::tanh(initial, residual, saturation_flux)
}

/// Voltage step across the bare coil: flux is V t (Faraday), so the law at the current seen must give V t.
#[test]
fn flux_rises_linearly() {
    let law = coil(330e-6, 9e-6, 1.2e-4);
    let mut circuit = Builder::new(&["in"]);
    circuit.voltage("source", "in", "gnd", 12.0);
    let branch = circuit.add("choke", "in", "gnd", Element::Inductor(law.clone()));
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
/// quadrature of t = int (Ps/I0) sech^2(x/I0) / (V - R x) dx, on both roads.
#[test]
fn resistor_and_saturable_coil() {
    // The law wants some residual inductance: Lr adds Lr/R ln(V / (V - R i)), here at most 4e-9 of the time.
    let (v, r, flux, knee, residual) = (12.0, 0.5, 1e-3, 5.0, 1e-13);
    let law = coil(flux / knee + residual, residual, flux);
    let mut circuit = Builder::new(&["in", "a"]);
    circuit.voltage("source", "in", "gnd", v);
    circuit.resistor("r", "in", "a", r);
    let branch = circuit.add("choke", "a", "gnd", Element::Inductor(law.clone()));
    circuit.see_current(branch);
    circuit.network.probes.push(Probe { signal: Signal::Flux(1.0, branch), bandwidth: None });
    let accuracy = 1e-6;
    for road in [Method::Automatic, Method::Stepping] {
        let seen = record(&circuit.network, &request(Start::Rest, 101e-6, accuracy, road));
        for (current, published) in
            [(2.0, 33.02252e-6), (5.0, 70.00393e-6), (10.0, 93.68978e-6), (20.0, 100.0325e-6)]
        {
            // The current rises a thousandfold faster in saturation, so the time at which the flux is that of the current is what is
            // known well: an error of the flux, `accuracy` of it, over the voltage that moves it, V - R i.
            let time = seen.time_of(1, law.flux(current), (0.0, 101e-6));
            let allowed = accuracy * flux / (v - r * current);
            // Seven digits are published.
            assert!((time - published).abs() < allowed + 0.5e-6 * published, "{road:?} {current} A: {time}");
        }
        // In saturation the current itself goes where V/R says.
        let (_, top) = seen.extremes(0);
        assert!(top > 20.0 && top < v / r, "{road:?}: {top}");
    }
}

/// Every shape of saturation and both kinds of table, across a bare coil and on both roads: flux is V t (Faraday), and the current is that at
/// which the law has this flux.
#[test]
fn every_law_turns_flux_into_its_current() {
    use SaturationCurve::{Arctan, Froehlich, Langevin, Tanh};
    let shaped =
        |curve| FluxLaw::Saturable { curve, initial: 330e-6, residual: 9e-6, saturation_flux: 1.2e-4 };
    let by_flux = FluxTable::of_flux("flux_table", &[(0.0, 0.0), (0.3, 90e-6), (0.8, 120e-6), (2.0, 130e-6)]);
    let by_inductance = FluxTable::of_inductance(
        "inductance_table",
        &[(0.0, 330e-6), (0.3, 250e-6), (0.8, 60e-6), (2.0, 9e-6)],
    );
    let laws = [Tanh, Arctan, Froehlich, Langevin]
        .map(shaped)
        .into_iter()
        .chain([by_flux, by_inductance].map(|table| FluxLaw::Table(Arc::new(table.unwrap()))));
    for law in laws {
        let mut circuit = Builder::new(&["in"]);
        circuit.voltage("source", "in", "gnd", 12.0);
        let branch = circuit.add("choke", "in", "gnd", Element::Inductor(law.clone()));
        circuit.see_current(branch);
        let (end, accuracy) = (12e-6, 1e-6);
        for road in [Method::Automatic, Method::Stepping] {
            let seen = record(&circuit.network, &request(Start::Rest, end, accuracy, road));
            // At the ends of stretches, where nothing is drawn between: the accuracy is one of the current's swing, which counts as flux by the
            // inductance there.
            for (_, time, values) in &seen.stretches {
                let current = values[0][2];
                let allowed = accuracy * (12.0 * end + law.inductance(current) * law.current(12.0 * end));
                assert!(
                    (law.flux(current) - 12.0 * time).abs() < allowed,
                    "{road:?} {law:?} at {time}: {current}"
                );
            }
        }
    }
}
