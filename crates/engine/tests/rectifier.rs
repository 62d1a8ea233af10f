//! A full-wave rectifier with its smoothing capacitor, against the textbooks' formula and the exact solution of its ideal form.

use crate::common;

use common::{Builder, record, request};
use engine::{Method, Start};
use network::primitive::{CurrentLaw, Element};
use network::waveform::{Points, Waveform};
use std::f64::consts::{PI, TAU};

/// Straight pieces a period of the sine. Between its points the arc bulges by 1 - cos(pi / n), a hundred-thousandth of the peak.
const PIECES: u32 = 720;

fn sine(peak: f64, frequency: f64, periods: u32) -> Waveform {
    let point = |k: u32| {
        let turns = f64::from(k) / f64::from(PIECES);
        (turns / frequency, peak * (TAU * turns).sin())
    };
    Waveform::Points(Points::new((0..=PIECES * periods).map(point).collect()))
}

/// Peak-to-peak ripple across the load in the periods after the first, on a bridge of diodes that drop nothing.
fn ripple(peak: f64, frequency: f64, load: f64, capacitance: f64, method: Method) -> f64 {
    let periods = 4;
    let mut circuit = Builder::new(&["one", "other", "top"]);
    circuit.add("mains", "one", "other", Element::VoltageSource(sine(peak, frequency, periods)));
    let law = CurrentLaw::Knee { voltage: 0.0, conductance: 100.0, leakage: 1e-9 };
    for (name, anode, cathode) in
        [("d1", "one", "top"), ("d2", "other", "top"), ("d3", "gnd", "one"), ("d4", "gnd", "other")]
    {
        circuit.add(name, anode, cathode, Element::Load(law));
    }
    circuit.capacitor("store", "top", "gnd", capacitance);
    circuit.resistor("load", "top", "gnd", load);
    circuit.see_voltage("top", None);
    let span = f64::from(periods) / frequency;
    let mut seen = record(&circuit.network, &request(Start::Operating, span, 1e-6, method));
    seen.stretches.retain(|(start, _, _)| *start > 1.0 / frequency);
    let (low, high) = seen.extremes(0);
    high - low
}

/// The ripple of ideal diodes: past its peak the sine carries the load until it falls faster than e^(-t / RC), where
/// tan(w t) = -w R C; the capacitor then discharges until the next half wave meets it. By bisection.
fn ideal(peak: f64, frequency: f64, load: f64, capacitance: f64) -> f64 {
    let omega = TAU * frequency;
    let leaves = PI - (omega * load * capacitance).atan();
    let discharged =
        |angle: f64| peak * leaves.sin() * (-(angle - leaves) / (omega * load * capacitance)).exp();
    let (mut low, mut high) = (PI, 1.5 * PI);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if discharged(middle) > -peak * middle.sin() {
            low = middle;
        } else {
            high = middle;
        }
    }
    peak - discharged(low)
}

/// Neamen, Electronic Circuit Analysis and Design, example 2.2 (10 V, 10 kohm, 60 Hz, 0.2 V: 41.67 uF) and Malvino and Bates,
/// Electronic Principles, example 4-8 (24 V rms, 5 kohm, 100 uF: 0.57 V on 34 V). Both use Vr = V / (2 f R C), which lets the
/// capacitor discharge for the whole half period; it does so only until the next half wave meets it, acos(1 - Vr / V) earlier.
#[test]
fn a_bridge_ripples_as_the_textbooks_say() {
    for (peak, load, capacitance, printed) in
        [(10.0, 10e3, 41.67e-6, 0.2), (24.0 * f64::sqrt(2.0), 5e3, 100e-6, 0.566)]
    {
        let textbook = peak / (2.0 * 60.0 * load * capacitance);
        assert!((textbook / printed - 1.0).abs() < 1e-3, "{textbook}");
        let exact = ideal(peak, 60.0, load, capacitance);
        for method in [Method::Automatic, Method::Stepping] {
            let found = ripple(peak, 60.0, load, capacitance, method);
            // The straight pieces miss 1e-5 of the peak, at most 1e-3 of the ripple; two diodes of 10 mohm drop less.
            assert!((found / exact - 1.0).abs() < 2e-3, "{found}, exactly {exact}");
            // The textbooks' formula is an upper bound; shortened by the charging angle it is good to the square of
            // Vr / V, which the straight line for the exponential and the flat top of the sine neglect: 1 %.
            let charging = (1.0 - textbook / peak).acos() / PI;
            assert!(found < textbook);
            assert!((found / (textbook * (1.0 - charging)) - 1.0).abs() < 0.01, "{found}");
        }
    }
}
