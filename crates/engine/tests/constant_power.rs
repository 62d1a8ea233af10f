//! A constant-power load behind an L-C filter: unstable where its negative resistance outweighs the damping (Middlebrook, IEEE
//! IAS 1976). With v0 the operating voltage and g = P/v0^2, the small-signal matrix is [[-R/L, -1/L], [1/C, g/C]].

use crate::common;

use common::{Builder, Recorder, request};
use engine::{Failure, Method, Start};
use nalgebra::Matrix2;
use network::primitive::{CurrentLaw, Element, Network};
use network::waveform::{Pulse, PulseSettings, Waveform};

const EMF: f64 = 12.0;
const POWER: f64 = 20.0;
const L: f64 = 100e-6;
const C: f64 = 100e-6;
const PERIOD: f64 = 50e-6;

fn filter(resistance: f64) -> Network {
    let mut circuit = Builder::new(&["emf", "a", "out"]);
    circuit.voltage("pack", "emf", "gnd", EMF);
    circuit.resistor("pack", "emf", "a", resistance);
    circuit.inductor("choke", "a", "out", L);
    circuit.capacitor("store", "out", "gnd", C);
    let law = CurrentLaw::Power { power: POWER, threshold: 3.0 };
    circuit.add("regulator", "out", "gnd", Element::Load(law));
    let pulse =
        PulseSettings { level: 0.1, width: 20e-6, period: PERIOD, rise: 1e-6, fall: 1e-6, start: None };
    circuit.add("ripple", "out", "gnd", Element::CurrentSource(Waveform::Pulse(Box::new(Pulse::new(pulse)))));
    circuit.see_voltage("out", None);
    circuit.network
}

/// The pulse's mean is 0.1 A times 20/50: equal edges lose and gain the same.
fn operating_voltage(resistance: f64, ripple: f64) -> f64 {
    // v^2 - (E - R I) v + R P = 0, the upper root.
    let emf = EMF - resistance * ripple;
    0.5 * (emf + (emf * emf - 4.0 * resistance * POWER).sqrt())
}

fn attempt(resistance: f64) -> (Result<(), Failure>, Recorder) {
    let mut seen = Recorder::default();
    let start = Start::Steady { period: Some(PERIOD) };
    let outcome = engine::run(&filter(resistance), &request(start, 1e-3, 1e-4, Method::Automatic), &mut seen);
    (outcome.map(|_| ()), seen)
}

/// R > L g / C = 0.1389 ohm at 12 V is needed; 0.05 ohm grows, and the failure tells the pole.
#[test]
fn lightly_damped_grows() {
    let resistance = 0.05;
    let (Err(Failure::Growing { frequency, rate, parts, loads }), _) = attempt(resistance) else {
        panic!("expected a growing mode");
    };
    let mean = filter(resistance).branches.iter().find_map(|branch| match &branch.element {
        Element::CurrentSource(waveform) => waveform.mean(),
        _ => None,
    });
    let v = operating_voltage(resistance, mean.expect("a pulse"));
    let conductance = POWER / (v * v);
    let matrix = Matrix2::new(-resistance / L, -1.0 / L, 1.0 / C, conductance / C);
    let pole = matrix.complex_eigenvalues()[0];
    assert!((rate - pole.re).abs() < 1e-9 * pole.norm(), "{rate} against {}", pole.re);
    let omega = std::f64::consts::TAU * frequency;
    assert!((omega - pole.im.abs()).abs() < 1e-9 * pole.norm(), "{omega} against {}", pole.im);
    assert!(parts.contains(&"choke".to_owned()) && parts.contains(&"store".to_owned()), "{parts:?}");
    assert_eq!(loads, ["regulator"]);
}

/// Rn = -V^2/P is -7.2 ohm for 20 W at 12 V; with 100 uH and 100 uF, R / L must outweigh 1 / (C |Rn|): 0.1389 ohm is the least (Routh's
/// criterion on the matrix above). The battery is chosen so that the load has its 12 V, nothing pulsates, and a thousandth to either side decides.
#[test]
fn least_damping() {
    let least = L * POWER / (C * 144.0);
    assert!((least - 0.1389).abs() < 0.5e-4, "{least}");
    let attempt = |resistance: f64| {
        let mut circuit = Builder::new(&["emf", "a", "out"]);
        circuit.voltage("pack", "emf", "gnd", 12.0 + resistance * POWER / 12.0);
        circuit.resistor("pack", "emf", "a", resistance);
        circuit.inductor("choke", "a", "out", L);
        circuit.capacitor("store", "out", "gnd", C);
        circuit.add(
            "regulator",
            "out",
            "gnd",
            Element::Load(CurrentLaw::Power { power: POWER, threshold: 3.0 }),
        );
        circuit.see_voltage("out", None);
        let mut seen = Recorder::default();
        let start = Start::Steady { period: Some(PERIOD) };
        let outcome =
            engine::run(&circuit.network, &request(start, 1e-3, 1e-6, Method::Automatic), &mut seen);
        (outcome, seen)
    };
    let (outcome, _) = attempt(0.999 * least);
    let Err(Failure::Growing { rate, .. }) = outcome else { panic!("expected a growing mode: {outcome:?}") };
    // Half the trace of the matrix.
    let expected = 0.5 * (POWER / 144.0 / C - 0.999 * least / L);
    assert!((rate - expected).abs() < 1e-9 / (L * C).sqrt(), "{rate} against {expected}");
    let (outcome, seen) = attempt(1.001 * least);
    outcome.expect("a steady state");
    let (low, high) = seen.extremes(0);
    assert!((low - 12.0).abs() < 12e-6 && (high - 12.0).abs() < 12e-6, "{low} to {high}");
}

/// 0.3 ohm is stable. The capacitor takes the pulses' departure from their mean, the coil 1 / (omega^2 L C) = 0.6 % of the first harmonic and
/// less of the others; so the ripple is the area of the pulse above its mean m over C, to twice that share. A trapezoid of height I with edges e
/// and a flat top w - e has the area (I - m) (w - e + e (1 - m / I)).
#[test]
fn damped_is_steady() {
    let (outcome, seen) = attempt(0.3);
    outcome.expect("a steady state");
    let (low, high) = seen.extremes(0);
    let ripple = high - low;
    let (height, width, edge, mean_current) = (0.1, 20e-6, 1e-6, 0.04);
    let area = (height - mean_current) * (width - edge + edge * (1.0 - mean_current / height));
    let omega = std::f64::consts::TAU / PERIOD;
    let share = 1.0 / (omega * omega * L * C);
    assert!((ripple * C / area - 1.0).abs() < 2.0 * share, "{ripple} against {}", area / C);
    // The mean of P / v over a ripple is above P / mean(v) by at most (ripple / v)^2 / 4, and the wire turns that into volts; the
    // accuracy asked for is 1e-4 of the ripple.
    let mean = seen.integral(0) / PERIOD;
    let v = operating_voltage(0.3, mean_current);
    let bend = 0.3 * POWER / v * (ripple / v).powi(2) / 4.0;
    assert!((mean - v).abs() < 1e-4 * ripple + bend, "{mean} against {v}");
}
