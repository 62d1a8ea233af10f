//! Many frequencies in one go against dense solutions (nalgebra's full pivoting) of equations that are written here, and what becomes of
//! those that have no answer.

use crate::common;

use common::Builder;
use engine::Complex;
use engine::frequency::{Bias, Path, frequency_response};
use nalgebra::{DMatrix, DVector};
use network::primitive::{Branch, ChargeLaw, Element, Network};
use std::f64::consts::TAU;

/// A pseudo-random number in 0 .. 1 (Knuth's linear congruence), the same on every run.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn below(&mut self, limit: usize) -> usize {
        (self.next() * limit as f64) as usize % limit
    }

    /// Evenly over decades.
    fn decades(&mut self, low: f64, high: f64) -> f64 {
        low * (high / low).powf(self.next())
    }
}

/// A chain of resistors, inductors and capacitors with bridges, each node with a way to ground.
fn mesh(nodes: usize, numbers: &mut Numbers) -> Builder {
    let names: Vec<String> = (1..=nodes).map(|k| format!("n{k}")).collect();
    let mut circuit = Builder::new(&names.iter().map(String::as_str).collect::<Vec<_>>());
    circuit.voltage("source", "n1", "gnd", 1.0);
    let mut join = |left: &str, right: &str| match numbers.below(3) {
        0 => circuit.resistor("r", left, right, numbers.decades(0.1, 1e3)),
        1 => circuit.inductor("l", left, right, numbers.decades(1e-5, 1e-3)),
        _ => circuit.capacitor("c", left, right, numbers.decades(1e-11, 1e-4)),
    };
    for k in 1..nodes {
        join(&names[k - 1], &names[k]);
    }
    let mut ends = Numbers(nodes as u64);
    for _ in 0..nodes / 2 {
        let (a, b) = (ends.below(nodes), ends.below(nodes));
        if a != b {
            join(&names[a], &names[b]);
        }
    }
    for name in &names {
        circuit.resistor("leak", name, "gnd", 1e4);
        circuit.capacitor("stray", name, "gnd", 20e-12);
    }
    circuit
}

/// Admittances of all branches: node voltages, and the current of the one source; inductors as admittances, which is not how the engine
/// writes them.
fn dense(network: &Network, omega: f64) -> DMatrix<Complex<f64>> {
    let nodes = network.nodes.len() - 1;
    let mut matrix = DMatrix::zeros(nodes + 1, nodes + 1);
    for branch in &network.branches {
        let admittance = match &branch.element {
            Element::Resistor(resistance) => Complex::new(1.0 / resistance, 0.0),
            Element::Capacitor(law) => Complex::new(0.0, omega * law.capacitance(0.0)),
            Element::Inductor(law) => Complex::new(0.0, -1.0 / (omega * law.inductance(0.0))),
            _ => {
                matrix[(branch.left - 1, nodes)] = Complex::new(1.0, 0.0);
                matrix[(nodes, branch.left - 1)] = Complex::new(1.0, 0.0);
                continue;
            }
        };
        for (row, sign) in [(branch.left, 1.0), (branch.right, -1.0)] {
            for (column, other) in [(branch.left, 1.0), (branch.right, -1.0)] {
                if row > 0 && column > 0 {
                    matrix[(row - 1, column - 1)] += admittance * (sign * other);
                }
            }
        }
    }
    matrix
}

/// Impedances and transfers at any number of frequencies. What the dense solution loses by rounding, in the scale of its greatest voltage,
/// is some condition times 2e-16; frequencies and values here keep that below 1e-9.
#[test]
fn many_frequencies_are_as_dense_solutions() {
    for (nodes, count) in [(2, 3), (5, 4), (9, 9), (14, 17), (20, 40), (60, 25)] {
        let mut numbers = Numbers(count as u64);
        let network = mesh(nodes, &mut numbers).network;
        let bias = Bias::resting(&network).expect("straight lines rest");
        let far = nodes;
        let paths = [
            Path::transfer(0, far, 0),
            Path::transfer(0, 0, far),
            Path::impedance(far, 0),
            Path::impedance(far, 1 + nodes / 2),
            Path { minus: 0, plus: 1 + nodes / 2, ..Path::impedance(far, 0) },
        ];
        let frequencies: Vec<f64> = (0..count).map(|_| numbers.decades(1e3, 1e7)).collect();
        let found = frequency_response(&network, &bias, &paths, &frequencies).expect("sound");
        assert_eq!(found.unanswered, []);
        for (k, frequency) in frequencies.iter().enumerate() {
            let factors = dense(&network, TAU * frequency).full_piv_lu();
            let solved = |entries: &[(usize, f64)]| {
                let mut right = DVector::zeros(nodes + 1);
                entries.iter().for_each(|(row, value)| right[*row] += Complex::new(*value, 0.0));
                factors.solve(&right).expect("regular")
            };
            let (driven, injected) = (solved(&[(nodes, 1.0)]), solved(&[(far - 1, 1.0)]));
            let middle = nodes / 2;
            let between = solved(&[(far - 1, 1.0), (middle, -1.0)]);
            let expected = [
                driven[far - 1],
                -driven[far - 1],
                injected[far - 1],
                between[far - 1] - between[middle],
                injected[middle],
            ];
            let scales = [&driven, &driven, &injected, &between, &injected].map(|x| x.rows(0, nodes).camax());
            for ((path, expected), scale) in expected.iter().enumerate().zip(scales) {
                let value = found.values[path][k].expect("an answer");
                let error = (value - expected).norm();
                assert!(
                    error <= 1e-9 * scale,
                    "{nodes} nodes, path {path}, {frequency} Hz: {value} {expected}"
                );
            }
        }
    }
}

/// The nodes of a ladder by the chain of sections from its open end back (see `ladder.rs`), at a hundred frequencies at once; of short ones,
/// of long ones through which groups of frequencies go together, and of those where nearly every unknown is solved back.
#[test]
fn ladders_at_a_hundred_frequencies() {
    for (sections, looked_at) in [(50, [50, 20, 49]), (400, [400, 390, 399]), (600, [600, 1, 300])] {
        let circuit = ladder(sections);
        let bias = Bias::resting(&circuit.network).expect("a ladder rests");
        let frequencies: Vec<f64> = (0..100).map(|k| 10f64.powf(f64::from(k) / 20.0)).collect();
        let paths = looked_at.map(|section| Path::transfer(0, 2 * section + 1, 0));
        let found = frequency_response(&circuit.network, &bias, &paths, &frequencies).expect("an answer");
        for (k, frequency) in frequencies.iter().enumerate() {
            let voltages = chain(sections, TAU * frequency);
            for (section, found) in looked_at.iter().zip(&found.values) {
                let (found, expected) = (found[k].expect("an answer"), voltages[*section]);
                // The condition of a second difference of N points is N^2.
                let error = (found - expected).norm() / expected.norm();
                let bound = f64::EPSILON * (sections * sections) as f64;
                assert!(error < bound, "{section} of {sections}, {frequency} Hz: {found} {expected}");
            }
        }
    }
}

const SERIES: (f64, f64) = (0.5, 1e-6);
const SHUNT: f64 = 1e-6;

fn ladder(sections: usize) -> Builder {
    let mut names = vec!["in".to_owned()];
    names.extend((1..=sections).flat_map(|k| [format!("m{k}"), format!("n{k}")]));
    let mut circuit = Builder::new(&names.iter().map(String::as_str).collect::<Vec<_>>());
    circuit.voltage("source", "in", "gnd", 1.0);
    let mut before = "in".to_owned();
    for k in 1..=sections {
        let (middle, node) = (format!("m{k}"), format!("n{k}"));
        circuit.resistor("r", &before, &middle, SERIES.0);
        circuit.inductor("l", &middle, &node, SERIES.1);
        circuit.capacitor("c", &node, "gnd", SHUNT);
        before = node;
    }
    circuit
}

/// The voltages behind each section for 1 V in front of the first.
fn chain(sections: usize, omega: f64) -> Vec<Complex<f64>> {
    let (series, shunt) = (Complex::new(SERIES.0, omega * SERIES.1), Complex::new(0.0, omega * SHUNT));
    let (mut v, mut i) = (Complex::new(1.0, 0.0), Complex::new(0.0, 0.0));
    let mut voltages = vec![v];
    for _ in 0..sections {
        i += shunt * v;
        v += series * i;
        voltages.push(v);
    }
    voltages.reverse();
    voltages.iter().map(|other| other / v).collect()
}

/// A network in which everything is joined to everything has no plan, and answers: 240 nodes with 1 nF between any two and 1 ohm from each to
/// `gnd` are, for a current into one node, that node beside 239 that are all alike, y = 1 + j omega C 239 and -j omega C between them.
#[test]
fn full_networks_are_answered_one_by_one() {
    let nodes = 240;
    let names: Vec<String> = (1..=nodes).map(|k| format!("n{k}")).collect();
    let mut circuit = Builder::new(&names.iter().map(String::as_str).collect::<Vec<_>>());
    for (k, name) in names.iter().enumerate() {
        circuit.resistor("r", name, "gnd", 1.0);
        // By number: looking names up would take longer than the rest.
        for other in k + 1..nodes {
            let element = Element::Capacitor(ChargeLaw::Linear { capacitance: 1e-9 });
            let branch = Branch { part: "c".into(), left: k + 1, right: other + 1, element };
            circuit.network.branches.push(branch);
        }
    }
    let bias = Bias::resting(&circuit.network).expect("it rests");
    let frequencies = [1e4, 1e5, 1e6, 1e7, 1e8];
    let paths = [Path::impedance(1, 0), Path { plus: 2, ..Path::impedance(1, 0) }];
    let found = frequency_response(&circuit.network, &bias, &paths, &frequencies).expect("an answer");
    for (k, frequency) in frequencies.iter().enumerate() {
        // (1 + j omega C n) v - j omega C sum(v) = i, and sum(v) = 1 ohm times sum(i).
        let own = Complex::new(0.0, TAU * frequency * 1e-9);
        let all = Complex::new(1.0, 0.0) + own * nodes as f64;
        for (path, expected) in [(1.0 + own) / all, own / all].into_iter().enumerate() {
            let found = found.values[path][k].expect("an answer");
            assert!((found - expected).norm() < 1e-11, "{frequency} Hz: {found} {expected}");
        }
    }
}

/// Of many frequencies the one at which the network resonates without loss has no answer, and all others have theirs: 1 H beside C is
/// j omega / (1 - omega^2 C). A large capacitor is written in one way below its farads and in another above, a small one in one alone.
#[test]
fn one_of_many_has_no_answer() {
    for (capacitance, own) in [(1.0, 1.0), (1.0 / 1024.0, 32.0)] {
        let mut circuit = Builder::new(&["top"]);
        circuit.inductor("coil", "top", "gnd", 1.0);
        circuit.capacitor("c", "top", "gnd", capacitance);
        let bias = Bias::resting(&circuit.network).expect("it rests");
        for resonance in 0..30 {
            let omega = |k: usize| own * (1.0 + (k as f64 - resonance as f64) / 64.0);
            let frequencies: Vec<f64> = (0..30).map(|k| omega(k) / TAU).collect();
            let paths = [Path::impedance(1, 0)];
            let found = frequency_response(&circuit.network, &bias, &paths, &frequencies).expect("sound");
            for (k, value) in found.values[0].iter().enumerate() {
                if k == resonance {
                    assert_eq!(*value, None);
                    continue;
                }
                let omega = TAU * frequencies[k];
                let loss = 1.0 - omega * omega * capacitance;
                let expected = omega / loss;
                let value = value.expect("an answer");
                // The difference of squares has lost what it is smaller than one.
                let error = (value - Complex::new(0.0, expected)).norm();
                assert!(error < 1e-14 * (expected / loss).abs(), "{omega}: {value} {expected}");
            }
            assert_eq!(found.unanswered.len(), 1);
            assert_eq!(found.unanswered[0].frequency, frequencies[resonance]);
        }
    }
}
