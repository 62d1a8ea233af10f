//! Resonances against textbook examples and the eigenvalues of state equations written by hand.

use crate::common;

use common::Builder;
use engine::frequency::{Bias, Resonance, resonances};
use nalgebra::Matrix4;
use network::primitive::{Core, CurrentLaw, Element, FluxLaw, Network};
use std::f64::consts::TAU;

fn found(network: &Network) -> Vec<Resonance> {
    let bias = Bias::resting(network).expect("a network that rests");
    resonances(network, &bias).expect("a sound drawing")
}

#[track_caller]
fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() < relative, "{found}, expected {expected}");
}

/// Nilsson and Riedel, Electric Circuits, chapter 8 (series natural response): 560 ohm, 100 mH and 0.1 uF swing with
/// alpha = 2800 1/s and 9600 rad/s. The matrix is 2 by 2; its eigenvalues come to rounding.
#[test]
fn series_circuit() {
    let mut circuit = Builder::new(&["a", "b"]);
    circuit.resistor("r", "gnd", "a", 560.0);
    circuit.inductor("coil", "a", "b", 100e-3);
    circuit.capacitor("c", "b", "gnd", 0.1e-6);
    let [only] = found(&circuit.network).try_into().expect("one resonance");
    assert_close(only.pole.re, -2800.0, 1e-12);
    assert_close(only.pole.im, 9600.0, 1e-12);
    assert_close(only.frequency, 1e4 / TAU, 1e-12);
    assert_close(only.quality, 1e4 / 5600.0, 1e-12);
    assert_eq!(only.parts, ["coil", "c"]);
    assert_close(only.impedance.expect("a capacitor"), f64::sqrt(100e-3 / 0.1e-6), 1e-12);
}

/// Bird, Electrical Circuit Theory and Technology (2nd ed.), example 29.1: 10 ohm and 5 mH in parallel with 0.25 uF. The loop is a
/// series circuit with w0^2 = 1/LC; the book's Q = 14.11 is that of the coil at the frequency of unity power factor, w_r L / R
/// with w_r^2 = w0^2 - (R/L)^2, so that the Q of the pole, w0 L / R, is the root of 14.11^2 + 1 to the book's four digits.
#[test]
fn coil_and_capacitor_in_parallel() {
    let mut circuit = Builder::new(&["top", "a"]);
    circuit.resistor("coil", "top", "a", 10.0);
    circuit.inductor("coil", "a", "gnd", 5e-3);
    circuit.capacitor("c", "top", "gnd", 0.25e-6);
    let [only] = found(&circuit.network).try_into().expect("one resonance");
    assert_close(only.quality, f64::sqrt(14.11 * 14.11 + 1.0), 5e-4);
    let unity = f64::sqrt((TAU * only.frequency).powi(2) - f64::powi(10.0 / 5e-3, 2)) / TAU;
    assert_close(unity, 4490.3, 1e-5);
    assert_eq!(only.parts, ["coil", "c"]);
}

/// A tank across a resistance has Q = R / w0 L (any textbook); without the resistance it has no end.
#[test]
fn tank_of_known_quality() {
    let mut circuit = Builder::new(&["top"]);
    circuit.inductor("coil", "top", "gnd", 1e-3);
    circuit.capacitor("c", "top", "gnd", 1e-9);
    let [lossless] = found(&circuit.network).try_into().expect("one resonance");
    assert_close(lossless.frequency, 1e6 / TAU, 1e-12);
    assert!(lossless.quality > 1e12, "{}", lossless.quality);
    circuit.resistor("r", "top", "gnd", 50e3);
    let [damped] = found(&circuit.network).try_into().expect("one resonance");
    assert_close(damped.quality, 50.0, 1e-12);
    // Q below one half does not swing at all.
    circuit.resistor("brake", "top", "gnd", 450.0);
    assert_eq!(found(&circuit.network), []);
}

/// Two sections of coil and capacitor against the eigenvalues of their state equations, written here by hand; the parasitics of a
/// third section, ten thousand times faster, must not disturb them. Rounding is that of the fastest mode: 1e-16 times 1e4 of Q.
#[test]
fn two_coupled_sections() {
    let (r1, l1, c1, r2, l2, c2, load) = (0.1, 100e-6, 220e-6, 0.3, 330e-6, 470e-6, 12.0);
    let mut circuit = Builder::new(&["bus", "a", "mid", "b", "cam"]);
    circuit.voltage("pack", "bus", "gnd", 12.0);
    circuit.resistor("first", "bus", "a", r1);
    circuit.inductor("first", "a", "mid", l1);
    circuit.capacitor("store", "mid", "gnd", c1);
    circuit.resistor("second", "mid", "b", r2);
    circuit.inductor("second", "b", "cam", l2);
    circuit.capacitor("last", "cam", "gnd", c2);
    circuit.resistor("eye", "cam", "gnd", load);
    // i1, v1, i2, v2.
    #[rustfmt::skip]
    let matrix = Matrix4::new(
        -r1 / l1, -1.0 / l1, 0.0, 0.0,
        1.0 / c1, 0.0, -1.0 / c1, 0.0,
        0.0, 1.0 / l2, -r2 / l2, -1.0 / l2,
        0.0, 0.0, 1.0 / c2, -1.0 / (load * c2),
    );
    let mut expected: Vec<_> =
        matrix.complex_eigenvalues().iter().copied().filter(|it| it.im > 0.0).collect();
    expected.sort_by(|one, other| one.norm().total_cmp(&other.norm()));
    let check = |network: &Network, count: usize| {
        let found = found(network);
        assert_eq!(found.len(), count);
        for (found, expected) in found.iter().zip(&expected) {
            assert!((found.pole - expected).norm() < 1e-10 * expected.norm(), "{} {expected}", found.pole);
        }
        found
    };
    check(&circuit.network, 2);
    // A tank of 0.1 uH and 10 pF of its own beside it: 159 MHz.
    circuit.network.nodes.push("far".into());
    circuit.resistor("stray", "far", "gnd", 1e3);
    circuit.inductor("stray", "far", "gnd", 0.1e-6);
    circuit.capacitor("stray", "far", "gnd", 10e-12);
    let all = check(&circuit.network, 3);
    assert_close(all[2].frequency, 1e9 / TAU, 1e-12);
    assert_eq!(all[2].parts, ["stray"]);
}

/// A coil in series with a piece of wire and nothing between them: their currents are one state, and the energy is the coil's,
/// whichever of the two stands for it.
#[test]
fn bound_currents_count_with_their_energy() {
    for wire_first in [true, false] {
        let mut circuit = Builder::new(&["bus", "tap", "cam"]);
        circuit.voltage("pack", "bus", "gnd", 12.0);
        let ends = if wire_first {
            [("feed", 0.5e-6), ("choke", 330e-6)]
        } else {
            [("choke", 330e-6), ("feed", 0.5e-6)]
        };
        circuit.inductor(ends[0].0, "bus", "tap", ends[0].1);
        circuit.inductor(ends[1].0, "tap", "cam", ends[1].1);
        circuit.capacitor("store", "cam", "gnd", 330e-6);
        circuit.resistor("eye", "cam", "gnd", 50.0);
        let [only] = found(&circuit.network).try_into().expect("one resonance");
        assert_close(TAU * only.frequency, 1.0 / f64::sqrt(330.5e-6 * 330e-6), 1e-12);
        assert_eq!(only.parts, ["choke", "store"]);
    }
}

/// A constant power is a negative conductance (Middlebrook, IEEE IAS 1976): with 12 V, 20 W, 100 uH and 100 uF a coil of less than
/// 0.1389 ohm grows.
#[test]
fn a_constant_power_undamps() {
    let law = CurrentLaw::Power { power: 20.0, threshold: 6.0 };
    for (resistance, grows) in [(0.137, true), (0.141, false)] {
        let mut circuit = Builder::new(&["emf", "a", "cam"]);
        // The load stands at 12 V.
        circuit.voltage("pack", "emf", "gnd", 12.0 + resistance * 20.0 / 12.0);
        circuit.resistor("coil", "emf", "a", resistance);
        circuit.inductor("coil", "a", "cam", 100e-6);
        circuit.capacitor("c", "cam", "gnd", 100e-6);
        circuit.add("regulator", "cam", "gnd", Element::Load(law));
        let [only] = found(&circuit.network).try_into().expect("one resonance");
        assert_eq!(only.pole.re > 0.0, grows, "{}", only.pole);
        // 2 Re p = 1/(C Rn) - R/L.
        let expected = (1.0 / (100e-6 * 7.2) - resistance / 100e-6) / 2.0;
        assert!((only.pole.re - expected).abs() < 1e-9 * only.pole.norm(), "{} {expected}", only.pole);
    }
}

/// Two equal tanks whose coils share a core swing in step with the leakage and twice the core, and against each other with the leakage
/// alone: w^2 = 1 / (L +- M) C (any textbook of coupled circuits).
#[test]
fn coupled_tanks_split() {
    let (leakage, core, capacitance) = (20e-6, 80e-6, 1e-6);
    let mut circuit = Builder::new(&["a", "b"]);
    let windings = ["a", "b"].map(|node| {
        circuit.capacitor(node, node, "gnd", capacitance);
        (circuit.inductor("choke", node, "gnd", leakage), 1.0)
    });
    let law = FluxLaw::Linear { inductance: core };
    circuit.network.cores.push(Core { part: "choke".into(), windings: windings.to_vec(), law });
    let [together, apart] = found(&circuit.network).try_into().expect("two resonances");
    assert_close(TAU * together.frequency, 1.0 / f64::sqrt((leakage + 2.0 * core) * capacitance), 1e-12);
    assert_close(TAU * apart.frequency, 1.0 / f64::sqrt(leakage * capacitance), 1e-12);
    assert_eq!(together.parts, ["a", "choke", "b"]);
}
