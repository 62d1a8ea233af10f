//! Sources that jump where storage elements are bound to them, against closed forms: charges and fluxes that no source can change stay.

use crate::common::{Builder, record, request};
use engine::observe::Ignore;
use engine::{Method, Road, Start};
use network::primitive::Element;
use network::waveform::{Pulse, PulseSettings, Waveform};

/// A pulse without edges; the first stands at t = 0.
fn pulse(level: f64, width: f64, period: f64) -> Waveform {
    Waveform::Pulse(Box::new(Pulse::new(PulseSettings {
        level,
        width,
        period,
        rise: 0.0,
        fall: 0.0,
        start: None,
    })))
}

/// What is left of a pulse behind a divider of share k that forgets with tau, in the periodic steady state: it jumps by k E up and down
/// and decays in between, a from k E (1 - q) / (1 - p q) with p = e^(-width/tau), q = e^(-(period - width)/tau).
fn divided(height: f64, width: f64, period: f64, tau: f64, time: f64) -> f64 {
    let (p, q) = ((-width / tau).exp(), (-(period - width) / tau).exp());
    let first = height * (1.0 - q) / (1.0 - p * q);
    if time <= width {
        first * (-time / tau).exp()
    } else {
        (first * p - height) * (-(time - width) / tau).exp()
    }
}

/// 10 V pulses across two capacitors in series, the lower with a resistor across it: a third of each jump comes through.
#[test]
fn capacitors_in_series_across_a_pulse() {
    let (level, width, period, upper, lower, r) = (10.0, 30e-6, 1e-4, 10e-9, 20e-9, 2e3);
    let mut circuit = Builder::new(&["in", "out"]);
    circuit.add("source", "in", "gnd", Element::VoltageSource(pulse(level, width, period)));
    circuit.capacitor("upper", "in", "out", upper);
    circuit.capacitor("lower", "out", "gnd", lower);
    let load = circuit.resistor("r", "out", "gnd", r);
    circuit.see_voltage("out", None);
    let (height, tau) = (level * upper / (upper + lower), r * (upper + lower));
    // Without a product, with one (which is no sum of modes), and by steps.
    for (method, squared) in [(Method::Automatic, false), (Method::Automatic, true), (Method::Stepping, true)]
    {
        if squared && circuit.network.probes.len() == 1 {
            circuit.see_current_squared(load);
        }
        let asked = request(Start::Steady { period: Some(period) }, period, 1e-6, method);
        let seen = record(&circuit.network, &asked);
        let summary = engine::run(&circuit.network, &asked, &mut Ignore).expect("it runs");
        assert_eq!(summary.road, if method == Method::Automatic { Road::Exact } else { Road::Stepping });
        for k in 1..=100 {
            let time = period * (f64::from(k) - 0.5) / 100.0;
            let known = divided(height, width, period, tau, time);
            let found = seen.at(0, time);
            assert!((found - known).abs() < 1e-6 * level, "{method:?} at {time:e}: {found}, not {known}");
        }
    }
}

/// The same with currents: pulses of 2 A into two coils side by side, one of them with a resistance.
#[test]
fn coils_side_by_side_fed_by_a_pulse() {
    let (level, width, period, lossy, other, r) = (2.0, 30e-6, 1e-4, 1e-3, 2e-3, 50.0);
    let mut circuit = Builder::new(&["top", "a"]);
    circuit.add("source", "gnd", "top", Element::CurrentSource(pulse(level, width, period)));
    let coil = circuit.inductor("lossy", "top", "a", lossy);
    circuit.resistor("r", "a", "gnd", r);
    circuit.inductor("other", "top", "gnd", other);
    circuit.see_current(coil);
    let (height, tau) = (level * other / (lossy + other), (lossy + other) / r);
    for method in [Method::Automatic, Method::Stepping] {
        let asked = request(Start::Steady { period: Some(period) }, period, 1e-6, method);
        let seen = record(&circuit.network, &asked);
        for k in 1..=100 {
            let time = period * (f64::from(k) - 0.5) / 100.0;
            let known = divided(height, width, period, tau, time);
            let found = seen.at(0, time);
            assert!((found - known).abs() < 1e-6 * level, "{method:?} at {time:e}: {found}, not {known}");
        }
    }
}
