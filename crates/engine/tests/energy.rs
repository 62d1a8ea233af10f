//! Conservation of energy: what the source delivers is what resistors turn to heat and what storage gains, the latter from the
//! flux and charge laws at the ends. (That powers sum to zero at each instant is Kirchhoff's law alone and would prove nothing.)

use crate::common;

use common::{Builder, record, request};
use engine::{Method, Start};
use network::primitive::{ChargeLaw, Element, FluxLaw, Network, Probe, Signal, Term};
use network::waveform::{Points, Waveform};

/// A source that ramps up and down again, a resistor, a coil and a capacitor, all in series.
/// Probes: power delivered, power into the resistor, current, capacitor voltage.
fn circuit(coil: FluxLaw, capacitor: ChargeLaw) -> Network {
    let mut circuit = Builder::new(&["in", "a", "b"]);
    let ramp = Points::new(vec![(0.0, 0.0), (20e-6, 12.0), (150e-6, 9.0), (300e-6, 0.0)]);
    circuit.add("source", "in", "gnd", Element::VoltageSource(Waveform::Points(ramp)));
    let resistor = circuit.resistor("r", "in", "a", 2.0);
    let branch = circuit.add("choke", "a", "b", Element::Inductor(coil));
    circuit.add("store", "b", "gnd", Element::Capacitor(capacitor));
    let current = vec![(1.0, Term::BranchCurrent(branch))];
    let heat = vec![(1.0, Term::NodeVoltage(1)), (-1.0, Term::NodeVoltage(2))];
    let products = [
        (vec![(1.0, Term::NodeVoltage(1))], current.clone()),
        (heat, vec![(1.0, Term::BranchCurrent(resistor))]),
    ];
    for (voltage, current) in products {
        let signal = Signal::Product(voltage, current);
        circuit.network.probes.push(Probe { signal, bandwidth: None });
    }
    circuit.network.probes.push(Probe { signal: Signal::Linear(current), bandwidth: None });
    circuit.see_voltage("b", None);
    circuit.network
}

/// Energy of a law: the integral of current over flux (or voltage over charge), by Simpson's rule on x times the law's slope.
fn stored(slope: impl Fn(f64) -> f64, x: f64) -> f64 {
    let cells = 20_000;
    let h = x / f64::from(cells);
    let f = |x: f64| x * slope(x);
    let sum: f64 = (0..cells)
        .map(|k| {
            let x = f64::from(k) * h;
            f(x) + 4.0 * f(x + 0.5 * h) + f(x + h)
        })
        .sum();
    sum * h / 6.0
}

#[test]
fn delivered_is_dissipated_and_stored() {
    let straight = FluxLaw::Linear { inductance: 100e-6 };
    let bent = FluxLaw::tanh(330e-6, 9e-6, 1.5e-4);
    let plain = ChargeLaw::Linear { capacitance: 10e-6 };
    let ceramic = ChargeLaw::Ceramic { capacitance: 22e-6, half_voltage: 4.0, floor: 0.1 };
    // Of such curves as are read off data sheets; the voltage goes beyond the last point.
    let table = ChargeLaw::table(&[(0.0, 22e-6), (2.0, 19e-6), (4.0, 11e-6), (6.0, 7e-6)]).expect("a table");
    let cases = [
        ("exact", straight.clone(), plain.clone(), Method::Automatic, 1e-7),
        ("semilinear coil", bent.clone(), plain, Method::Automatic, 1e-7),
        ("semilinear ceramic", straight.clone(), ceramic.clone(), Method::Automatic, 1e-7),
        ("semilinear both", bent.clone(), ceramic.clone(), Method::Automatic, 1e-7),
        ("stepping both", bent.clone(), ceramic, Method::Stepping, 1e-8),
        ("semilinear table", straight.clone(), table.clone(), Method::Automatic, 1e-7),
        ("stepping table", straight.clone(), table, Method::Stepping, 1e-8),
    ];
    for (name, coil, capacitor, method, accuracy) in cases {
        let network = circuit(coil.clone(), capacitor.clone());
        let span = 250e-6;
        let seen = record(&network, &request(Start::Rest, span, accuracy, method));
        let (delivered, heat) = (seen.integral(0), seen.integral(1));
        let (current, voltage) = (seen.at(2, span), seen.at(3, span));
        let stored = stored(|i| coil.inductance(i), current) + stored(|v| capacitor.capacitance(v), voltage);
        let missing = delivered - heat - stored;
        assert!(delivered > 1e-6, "{name}: a case without energy proves nothing");
        assert!(missing.abs() < 1e-6 * delivered, "{name}: {missing} J of {delivered} J missing");
    }
}
