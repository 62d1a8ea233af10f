//! Coupled windings against published circuits, and a saturable pair against the conservation of energy.

use crate::common;

use common::{Builder, record, request};
use engine::frequency::{Bias, Path};
use engine::{Complex, Method, Start, frequency_response};
use network::primitive::{Core, Element, FluxLaw, Network, Probe, Signal, Term};
use network::waveform::{Points, Waveform};
use std::f64::consts::{PI, TAU};

/// Two windings of `first` and `second` henry with `mutual` between them, as leakages and a core: with k = M / sqrt(L1 L2) and turns
/// n = sqrt(L2 / L1) the leakages are (1 - k) L, the core has k L1. Returns both branches.
fn pair(circuit: &mut Builder, ends: [(&str, &str); 2], first: f64, second: f64, mutual: f64) -> [usize; 2] {
    let coupling = mutual / (first * second).sqrt();
    let turns = (second / first).sqrt();
    let one = circuit.inductor("pair", ends[0].0, ends[0].1, (1.0 - coupling) * first);
    let other = circuit.inductor("pair", ends[1].0, ends[1].1, (1.0 - coupling) * second);
    let law = FluxLaw::Linear { inductance: coupling * first };
    circuit.network.cores.push(Core { part: "pair".into(), windings: vec![(one, 1.0), (other, turns)], law });
    [one, other]
}

fn node(network: &Network, name: &str) -> usize {
    network.nodes.iter().position(|known| known == name).expect("known node")
}

fn answer(network: &Network, path: Path, frequency: f64) -> Complex<f64> {
    let bias = Bias::resting(network).expect("a network that rests");
    let found = frequency_response(network, &bias, &[path], &[frequency]).expect("a sound drawing");
    found.values[0][0].expect("an answer")
}

/// Voltage between two nodes for one volt of a source.
fn transfer(circuit: &Builder, source: usize, plus: &str, minus: &str, frequency: f64) -> Complex<f64> {
    let path = Path::transfer(source, node(&circuit.network, plus), node(&circuit.network, minus));
    answer(&circuit.network, path, frequency)
}

#[track_caller]
fn assert_polar(found: Complex<f64>, size: f64, degrees: f64, relative: f64) {
    assert!((found.norm() / size - 1.0).abs() < relative, "{} instead of {size}", found.norm());
    let angle = found.arg().to_degrees();
    // The printed hundredth of a degree.
    assert!((angle - degrees).abs() < 0.006, "{angle} degrees instead of {degrees}");
}

/// Two meshes: 1 through R1, L1 and the source, 2 through R2 and L2. The second's resistor shows its current, which flows into the
/// winding's left node where it is positive.
fn two_meshes(resistances: [f64; 2], inductances: [f64; 2], mutual: f64) -> (Builder, usize) {
    let mut circuit = Builder::new(&["in", "a", "b"]);
    let source = circuit.voltage("source", "in", "gnd", 0.0);
    circuit.resistor("first", "in", "a", resistances[0]);
    circuit.resistor("second", "gnd", "b", resistances[1]);
    pair(&mut circuit, [("a", "gnd"), ("b", "gnd")], inductances[0], inductances[1], mutual);
    (circuit, source)
}

/// Bird, Electrical Circuit Theory and Technology (2nd ed.), example 43.10: 2 V at 1000/pi Hz; the secondary of 66 ohm and 10 mH
/// carries j w M I1 / Z2, 4.0854 mA at 28.55 degrees.
#[test]
fn secondary_current() {
    let (circuit, source) = two_meshes([20.0, 66.0], [10e-3, 10e-3], 2e-3);
    let second = 2.0 * transfer(&circuit, source, "b", "gnd", 1000.0 / PI) / 66.0;
    assert_polar(second, 4.0854e-3, 28.55, 2e-5);
}

/// Bird, example 43.15: 50 V at 150 rad/s, 25 ohm with 0.2 H and 45 ohm with 0.4 H, M = 0.1 H. The windings are unequal, so the
/// turns are too: 1 to sqrt 2. Printed to five digits.
#[test]
fn unequal_windings() {
    let (circuit, source) = two_meshes([25.0, 45.0], [0.2, 0.4], 0.1);
    let frequency = 150.0 / TAU;
    let first = 50.0 * transfer(&circuit, source, "in", "a", frequency) / 25.0;
    assert_polar(first, 1.2997, -45.84, 5e-5);
    let second = 50.0 * transfer(&circuit, source, "b", "gnd", frequency) / 45.0;
    assert_polar(second, 0.259_94, -8.97, 5e-5);
}

/// Bird, example 43.5: 40 mH and 10 mH with M = 5 mH make 60 mH in series, and 40 mH with one of them turned round.
#[test]
fn windings_in_series() {
    for (far_ends, expected) in [([("a", "b"), ("b", "gnd")], 60e-3), ([("a", "b"), ("gnd", "b")], 40e-3)] {
        let mut circuit = Builder::new(&["a", "b"]);
        pair(&mut circuit, far_ends, 40e-3, 10e-3, 5e-3);
        let path = Path::impedance(node(&circuit.network, "a"), 0);
        let value = answer(&circuit.network, path, 50.0);
        assert!((value.im / (TAU * 50.0 * expected) - 1.0).abs() < 1e-12, "{value}");
    }
}

const CORE: FluxLaw = FluxLaw::tanh(330e-6, 9e-6, 1.5e-4);
const LEAKAGES: [f64; 2] = [10e-6, 20e-6];
const TURNS: f64 = 1.5;
const RESISTANCES: [f64; 2] = [2.0, 5.0];

/// A source that ramps up and down behind 2 ohm, and 5 ohm on the second winding of a core that saturates. Probes: power delivered,
/// power into either resistor, current of either winding.
fn saturable_pair() -> Network {
    let mut circuit = Builder::new(&["in", "a", "b"]);
    let ramp = Points::new(vec![(0.0, 0.0), (20e-6, 12.0), (150e-6, 9.0), (300e-6, 0.0)]);
    circuit.add("source", "in", "gnd", Element::VoltageSource(Waveform::Points(ramp)));
    let resistors = [
        circuit.resistor("r1", "in", "a", RESISTANCES[0]),
        circuit.resistor("r2", "b", "gnd", RESISTANCES[1]),
    ];
    let first = circuit.inductor("pair", "a", "gnd", LEAKAGES[0]);
    let second = circuit.inductor("pair", "b", "gnd", LEAKAGES[1]);
    circuit.network.cores.push(Core {
        part: "pair".into(),
        windings: vec![(first, 1.0), (second, TURNS)],
        law: CORE,
    });
    let (current, voltage) =
        (|branch| vec![(1.0, Term::BranchCurrent(branch))], |node| (1.0, Term::NodeVoltage(node)));
    let signals = [
        Signal::Product(vec![voltage(1)], current(resistors[0])),
        Signal::Product(vec![voltage(1), (-1.0, Term::NodeVoltage(2))], current(resistors[0])),
        Signal::Product(vec![voltage(3)], current(resistors[1])),
        Signal::Linear(current(first)),
        Signal::Linear(current(second)),
    ];
    circuit.network.probes.extend(signals.map(|signal| Probe { signal, bandwidth: None }));
    circuit.network
}

/// Energy of the core: the integral of current over flux, by Simpson's rule on x times the law's slope.
fn stored(law: &FluxLaw, current: f64) -> f64 {
    let cells = 20_000;
    let h = current / f64::from(cells);
    let f = |x: f64| x * law.inductance(x);
    let sum: f64 = (0..cells)
        .map(|k| {
            let x = f64::from(k) * h;
            f(x) + 4.0 * f(x + 0.5 * h) + f(x + h)
        })
        .sum();
    sum * h / 6.0
}

/// What the source delivers is heat in both resistors, the energy of both leakages, and that of the core by its sum of currents.
#[test]
fn a_saturable_pair_keeps_its_energy() {
    let network = saturable_pair();
    let span = 250e-6;
    for (name, method, accuracy) in
        [("semilinear", Method::Automatic, 1e-7), ("stepping", Method::Stepping, 1e-8)]
    {
        let seen = record(&network, &request(Start::Rest, span, accuracy, method));
        let delivered = seen.integral(0);
        let heat = seen.integral(1) + seen.integral(2);
        let currents = [seen.at(3, span), seen.at(4, span)];
        let leakage: f64 = (0..2).map(|k| LEAKAGES[k] * currents[k] * currents[k] / 2.0).sum();
        let core_current = currents[0] + TURNS * currents[1];
        let missing = delivered - heat - leakage - stored(&CORE, core_current);
        assert!(CORE.inductance(core_current) < 0.5 * 330e-6, "{name}: without saturation nothing is proved");
        // Ten times the accuracy asked for: it holds for each waveform, and powers are products of them.
        assert!(missing.abs() < 1e-6 * delivered, "{name}: {missing} J of {delivered} J missing");
    }
}

/// Two roads that share no formula see the same currents.
#[test]
fn roads_agree_on_a_saturable_pair() {
    let network = saturable_pair();
    let span = 250e-6;
    let [fast, steps] = [(Method::Automatic, 1e-6), (Method::Stepping, 1e-6)]
        .map(|(method, accuracy)| record(&network, &request(Start::Rest, span, accuracy, method)));
    for probe in [3, 4] {
        let (low, high) = steps.extremes(probe);
        for k in 1..50 {
            let time = span * f64::from(k) / 50.0;
            let apart = (fast.at(probe, time) - steps.at(probe, time)).abs();
            // Each keeps to its accuracy step by step; where the core saturates the current follows the flux 35-fold.
            assert!(apart < 1e-4 * (high - low), "probe {probe} at {time}: {apart} A apart");
        }
    }
}
