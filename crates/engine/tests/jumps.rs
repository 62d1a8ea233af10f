//! Sources that jump where storage elements are bound to them, against closed forms: charges and fluxes that no source can change stay.

use crate::common::{Builder, Recorder, request};
use engine::{Method, Road, Start};
use network::primitive::{Element, FluxLaw, Network};
use network::waveform::{Pulse, PulseSettings, Waveform};

const WIDTH: f64 = 30e-6;
const PERIOD: f64 = 1e-4;
const STARTS: [Start; 3] = [Start::Steady { period: Some(PERIOD) }, Start::Operating, Start::Rest];

/// A pulse of which the first stands at t = 0, with edges that take as long as is said.
fn pulse(level: f64, edge: f64) -> Waveform {
    let settings = PulseSettings { level, width: WIDTH, period: PERIOD, rise: edge, fall: edge, start: None };
    Waveform::Pulse(Box::new(Pulse::new(settings)))
}

/// What is left of a pulse behind a divider that forgets with tau: it jumps by the height up and down and decays in between. After a start
/// it begins with the height; in the periodic steady state with h (1 - q) / (1 - p q), p = e^(-width/tau), q = e^(-(period - width)/tau).
fn divided(start: Start, height: f64, tau: f64, time: f64) -> f64 {
    let (p, q) = ((-WIDTH / tau).exp(), (-(PERIOD - WIDTH) / tau).exp());
    let steady = matches!(start, Start::Steady { .. });
    let first = if steady { height * (1.0 - q) / (1.0 - p * q) } else { height };
    if time <= WIDTH {
        first * (-time / tau).exp()
    } else {
        (first * p - height) * (-(time - WIDTH) / tau).exp()
    }
}

/// Holds the first probe against the closed form, from all starts; the road is that of [`Method::Automatic`].
fn check(network: &Network, height: f64, tau: f64, road: Road) {
    for start in STARTS {
        for (method, road) in [(Method::Automatic, road), (Method::Stepping, Road::Stepping)] {
            let mut seen = Recorder::default();
            let summary = engine::run(network, &request(start, PERIOD, 1e-6, method), &mut seen);
            assert_eq!(summary.expect("it runs").road, road);
            for k in 1..=100 {
                let time = PERIOD * (f64::from(k) - 0.5) / 100.0;
                let (found, known) = (seen.at(0, time), divided(start, height, tau, time));
                assert!(
                    (found - known).abs() < 2e-6 * height,
                    "{start:?} {road:?} at {time:e}: {found}, not {known}"
                );
            }
        }
    }
}

/// 10 V pulses across two capacitors in series, the lower with a resistor across it: a third of each jump comes through. An edge of
/// some femtoseconds is a jump too, and one of picoseconds nearly. With a product beside it the voltage is no sum of modes.
#[test]
fn capacitors_in_series_across_a_pulse() {
    let (level, upper, lower, r) = (10.0, 10e-9, 20e-9, 2e3);
    for edge in [0.0, 5e-15, 1e-11] {
        let mut circuit = Builder::new(&["in", "out"]);
        circuit.add("source", "in", "gnd", Element::VoltageSource(pulse(level, edge)));
        circuit.capacitor("upper", "in", "out", upper);
        circuit.capacitor("lower", "out", "gnd", lower);
        let load = circuit.resistor("r", "out", "gnd", r);
        circuit.see_voltage("out", None);
        let (height, tau) = (level * upper / (upper + lower), r * (upper + lower));
        check(&circuit.network, height, tau, Road::Exact);
        circuit.see_current_squared(load);
        check(&circuit.network, height, tau, Road::Exact);
    }
}

/// The same with currents: pulses of 2 A into two coils side by side, one of them with a resistance. A coil elsewhere that could saturate has
/// the run take the semilinear road.
#[test]
fn coils_side_by_side_fed_by_a_pulse() {
    let (level, lossy, other, r) = (2.0, 1e-3, 2e-3, 50.0);
    for road in [Road::Exact, Road::Semilinear] {
        let mut circuit = Builder::new(&["top", "a", "aside"]);
        circuit.add("source", "gnd", "top", Element::CurrentSource(pulse(level, 0.0)));
        let coil = circuit.inductor("lossy", "top", "a", lossy);
        circuit.resistor("r", "a", "gnd", r);
        circuit.inductor("other", "top", "gnd", other);
        circuit.resistor("aside", "aside", "gnd", 10.0);
        if road == Road::Semilinear {
            circuit.add("bent", "aside", "gnd", Element::Inductor(FluxLaw::tanh(1e-3, 1e-4, 1.0)));
        }
        circuit.see_current(coil);
        check(&circuit.network, level * other / (lossy + other), (lossy + other) / r, road);
    }
}

/// Amperes that discharge picofarads: where parts react within a nanosecond, a jump takes no time either.
#[test]
fn fast_capacitors_across_a_pulse() {
    let (level, upper, lower, r) = (10.0, 143e-12, 288e-12, 1.1);
    let (height, tau) = (level * upper / (upper + lower), r * (upper + lower));
    let mut circuit = Builder::new(&["in", "out"]);
    circuit.add("source", "in", "gnd", Element::VoltageSource(pulse(level, 0.0)));
    circuit.capacitor("upper", "in", "out", upper);
    circuit.capacitor("lower", "out", "gnd", lower);
    circuit.resistor("r", "out", "gnd", r);
    circuit.see_voltage("out", None);
    for start in STARTS {
        for method in [Method::Automatic, Method::Stepping] {
            let mut seen = Recorder::default();
            engine::run(&circuit.network, &request(start, PERIOD, 1e-6, method), &mut seen).expect("it runs");
            for time in
                [0.01, 0.1, 0.5, 2.0].map(|share| share * tau).map(|late| [late, WIDTH + late]).as_flattened()
            {
                let (found, known) = (seen.at(0, *time), divided(start, height, tau, *time));
                assert!(
                    (found - known).abs() < 2e-6 * height,
                    "{start:?} {method:?} at {time:e}: {found}, not {known}"
                );
            }
        }
    }
}
