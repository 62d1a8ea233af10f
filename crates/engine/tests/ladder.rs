//! Long ladders: a thousand sections in time, a hundred thousand in frequency.
//!
//! N sections of series R and L with C to ground, driven at one end and open at the other, have modes in closed form: the second
//! difference matrix has eigenvectors sin((2k-1) pi j / (2N+1)) with eigenvalues mu_k = 4 sin^2((2k-1) pi / (2(2N+1))), and each
//! mode answers a step like a series R-L-C circuit with mu_k in the place of 1 (elementary; Strang, Introduction to
//! Applied Mathematics, section 5.5, from memory, for the eigenvectors).

use crate::common;

use common::{Builder, record, request};
use engine::{Method, Start};

const R: f64 = 0.5;
const L: f64 = 1e-6;
const C: f64 = 1e-6;

fn ladder(sections: usize) -> Builder {
    let mut names = vec!["in".to_owned()];
    for k in 1..=sections {
        names.push(format!("m{k}"));
        names.push(format!("n{k}"));
    }
    let mut circuit = Builder::new(&names.iter().map(String::as_str).collect::<Vec<_>>());
    circuit.voltage("source", "in", "gnd", 1.0);
    // By index: looking names up would take longer than the run.
    use network::primitive::{Branch, ChargeLaw, Element, FluxLaw};
    for k in 1..=sections {
        let before = if k == 1 { 1 } else { 2 * k - 1 };
        let (middle, node) = (2 * k, 2 * k + 1);
        let mut add = |left, right, element| {
            circuit.network.branches.push(Branch { part: format!("s{k}"), left, right, element });
        };
        add(before, middle, Element::Resistor(R));
        add(middle, node, Element::Inductor(FluxLaw::Linear { inductance: L }));
        add(node, 0, Element::Capacitor(ChargeLaw::Linear { capacitance: C }));
    }
    circuit
}

/// Open-end voltage `time` after a 1 V step.
fn open_end(sections: usize, time: f64) -> f64 {
    let denominator = 2.0 * sections as f64 + 1.0;
    let mode = |k: usize| {
        let angle = (2 * k - 1) as f64 * std::f64::consts::PI / denominator;
        let mu = 4.0 * (0.5 * angle).sin().powi(2);
        // Weight of the mode at the open end in a vector of ones.
        let end = (angle * sections as f64).sin();
        let ones: f64 = (1..=sections).map(|j| (angle * j as f64).sin()).sum();
        let weight = 4.0 / denominator * end * ones;
        // L C s'' + R C s' + mu s = 0 from s = 1, s' = 0.
        let alpha = R / (2.0 * L);
        let square = alpha * alpha - mu / (L * C);
        let left = if square > 0.0 {
            let beta = square.sqrt();
            let (fast, slow) = (-alpha - beta, -mu / (L * C) / (alpha + beta));
            (fast * (slow * time).exp() - slow * (fast * time).exp()) / (fast - slow)
        } else {
            let omega = (-square).sqrt();
            (-alpha * time).exp() * ((omega * time).cos() + alpha / omega * (omega * time).sin())
        };
        weight * left
    };
    1.0 - (1..=sections).map(mode).sum::<f64>()
}

#[test]
fn a_thousand_sections_in_time() {
    let sections = 1000;
    let mut circuit = ladder(sections);
    circuit.see_voltage(&format!("n{sections}"), None);
    // The diffusion time of the whole ladder is R C N^2, half a second.
    let span = 0.4;
    let accuracy = 1e-4;
    let seen = record(&circuit.network, &request(Start::Rest, span, accuracy, Method::Automatic));
    for share in [0.02, 0.1, 0.3, 0.6, 0.99] {
        let (time, value) = (share * span, seen.at(0, share * span));
        let expected = open_end(sections, time);
        assert!((value - expected).abs() < accuracy, "{time} s: {value} against {expected}");
    }
}

/// The small ladder takes the exact road, the large one steps: the closed form holds for both.
#[test]
fn ten_sections_in_time() {
    let mut circuit = ladder(10);
    circuit.see_voltage("n10", None);
    for method in [Method::Automatic, Method::Stepping] {
        let seen = record(&circuit.network, &request(Start::Rest, 1e-4, 1e-5, method));
        for k in 1..20 {
            let time = f64::from(k) * 5e-6;
            let (value, expected) = (seen.at(0, time), open_end(10, time));
            assert!((value - expected).abs() < 1e-5 * 1.5, "{method:?} {time} s: {value} against {expected}");
        }
    }
}

/// Open-end voltage for 1 V at the driven end, by the chain of sections from the open end back: i += Y v, v += Z i.
#[test]
fn a_hundred_thousand_sections_in_frequency() {
    use engine::frequency::{Bias, Path, frequency_response};
    for (sections, frequency) in [(1_000, 3.0), (100_000, 3e-4)] {
        let circuit = ladder(sections);
        let end = circuit.network.nodes.len() - 1;
        let paths = [Path::transfer(0, end, 0)];
        let bias = Bias::resting(&circuit.network).expect("a ladder rests");
        let curves =
            frequency_response(&circuit.network, &bias, &paths, &[frequency]).expect("a ladder answers");
        let value = curves.values[0][0].expect("an answer");
        let omega = std::f64::consts::TAU * frequency;
        let (series, shunt) = (engine::Complex::new(R, omega * L), engine::Complex::new(0.0, omega * C));
        let (mut v, mut i) = (engine::Complex::new(1.0, 0.0), engine::Complex::new(0.0, 0.0));
        for _ in 0..sections {
            i += shunt * v;
            v += series * i;
        }
        let expected = 1.0 / v;
        // A second difference of N points has a condition of N^2 (its smallest eigenvalue is (pi / 2N)^2), which is what
        // rounding may be multiplied by.
        let error = (value - expected).norm() / expected.norm();
        let condition = (sections as f64).powi(2);
        assert!(error < f64::EPSILON * condition, "{sections} sections: {value} against {expected}");
    }
}
