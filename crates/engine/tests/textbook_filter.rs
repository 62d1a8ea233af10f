//! The constant-k low-pass section over frequency.

use crate::common;

use common::Builder;
use engine::frequency::{Bias, Path, frequency_response};

/// Input impedance of a T section (half the inductance on each side of the capacitance), its far end open or shorted. Losses that
/// nothing measures keep the ideal section's resonances away.
fn input(l: f64, c: f64, shorted: bool, frequency: f64) -> engine::Complex<f64> {
    let mut circuit = Builder::new(&["in", "mid", "out"]);
    circuit.inductor("l", "in", "mid", 0.5 * l);
    circuit.capacitor("c", "mid", "gnd", c);
    circuit.inductor("l", "mid", "out", 0.5 * l);
    if shorted {
        circuit.voltage("short", "out", "gnd", 0.0);
    } else {
        circuit.resistor("open", "out", "gnd", 1e15);
    }
    let bias = Bias::resting(&circuit.network).expect("straight lines rest everywhere");
    let found = frequency_response(&circuit.network, &bias, &[Path::impedance(1, 0)], &[frequency]);
    found.expect("a section answers").values[0][0].expect("an answer")
}

/// Nominal impedance and cut-off: the characteristic impedance, the root of open times shorted input impedance, is R0 sqrt(1 -
/// (f / fc)^2), so its square is a straight line in f^2 (Zobel 1923; any book on filters): read from two frequencies, checked at more.
fn section(l: f64, c: f64, scale: f64) -> (f64, f64) {
    let square = |f: f64| {
        let product = input(l, c, false, f) * input(l, c, true, f);
        // Without loss both impedances are imaginary.
        assert!(product.im.abs() < 1e-9 * product.norm(), "{product} at {f} Hz");
        product.re
    };
    let [low, high] = [0.1 * scale, 0.7 * scale].map(|f| (f * f, square(f)));
    let slope = (high.1 - low.1) / (high.0 - low.0);
    let zero = low.1 - slope * low.0;
    for share in [0.3, 0.9, 1.2, 3.0] {
        let f = share * scale;
        let line = zero + slope * f * f;
        assert!((square(f) - line).abs() < 1e-9 * (zero.abs() + line.abs()), "{share}");
    }
    (zero.sqrt(), (-zero / slope).sqrt())
}

/// Bird, Electrical Circuit Theory and Technology (2nd ed.), examples 42.1 and 42.2: 0.2 H and 0.2 uF cut off at 1591.5 Hz on 1000 ohm; 600 ohm
/// and 5 MHz ask for 106.1 pF and 38.2 uH. The printed digits are the tolerance.
#[test]
fn constant_k_low_pass() {
    let (nominal, cutoff) = section(0.2, 0.2e-6, 1500.0);
    assert!((nominal - 1000.0).abs() < 1e-6 * 1000.0, "{nominal}");
    assert!((cutoff - 1591.5).abs() < 0.1, "{cutoff}");
    let exact = 1.0 / (std::f64::consts::PI * f64::sqrt(0.2 * 0.2e-6));
    assert!((cutoff / exact - 1.0).abs() < 1e-8, "{cutoff} against {exact}");
    let (nominal, cutoff) = section(38.2e-6, 106.1e-12, 5e6);
    assert!((nominal / 600.0 - 1.0).abs() < 1e-3, "{nominal}");
    assert!((cutoff / 5e6 - 1.0).abs() < 1e-3, "{cutoff}");
}
