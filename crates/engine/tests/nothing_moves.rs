//! A steady state in which nothing moves: every state repeats to rounding, at any accuracy that can be asked for, on every road.

use crate::common::{Builder, Recorder, request};
use engine::sensitivity::{Orbit, Variation};
use engine::{Method, Road, Start};
use network::primitive::{CurrentLaw, Element, FluxLaw, Network, Probe, Signal, Term};

const EMF: f64 = 14.2;
const TAKEN: f64 = 0.11;
/// Pack, main wire, feed, coil.
const OHM: [f64; 4] = [0.18, 3.6e-3, 69e-3, 0.12];

/// A pack that feeds a camera through the wires and the coil of a vehicle whose drives stand still. Currents in inductances of
/// nanohenries beside charges of millifarads: their energies, and with them what rounding leaves of each, lie far apart.
fn vehicle(coil: FluxLaw, factor: f64) -> Network {
    let mut builder =
        Builder::new(&["emf", "a", "pos", "b", "bus", "c", "d", "e", "tap", "f", "cam", "g", "h"]);
    builder.voltage("pack", "emf", "gnd", EMF);
    builder.resistor("pack", "emf", "a", OHM[0]);
    builder.inductor("pack", "a", "pos", 120e-9);
    builder.resistor("main", "pos", "b", OHM[1]);
    builder.inductor("main", "b", "bus", 130e-9);
    builder.resistor("bulk", "bus", "c", 40e-3);
    let bulk = builder.inductor("bulk", "c", "d", 15e-9);
    builder.capacitor("bulk", "d", "gnd", 220e-6);
    builder.resistor("feed", "bus", "e", OHM[2]);
    builder.inductor("feed", "e", "tap", 330e-9);
    builder.resistor("choke", "tap", "f", factor * OHM[3]);
    builder.add("choke", "f", "cam", Element::Inductor(coil));
    builder.resistor("store", "cam", "g", 40e-3);
    builder.inductor("store", "g", "h", 12e-9);
    builder.capacitor("store", "h", "gnd", 330e-6);
    builder.add("eye", "cam", "gnd", Element::Load(CurrentLaw::Constant { current: TAKEN, threshold: 9.0 }));
    builder.see_voltage("cam", Some(20e6));
    builder.see_voltage("bus", None);
    let current = Signal::Linear(vec![(1.0, Term::BranchCurrent(bulk))]);
    builder.network.probes.push(Probe { signal: current, bandwidth: Some(20e6) });
    builder.network
}

fn laws() -> [FluxLaw; 2] {
    [FluxLaw::Linear { inductance: 330e-6 }, FluxLaw::tanh(330e-6, 9e-6, 1.2e-4)]
}

/// V = E - I R: Ohm's law.
#[test]
fn a_vehicle_at_rest() {
    let expected = [EMF - TAKEN * OHM.iter().sum::<f64>(), EMF - TAKEN * (OHM[0] + OHM[1]), 0.0];
    let mut faults = Vec::new();
    for (law, bends) in laws().into_iter().zip([false, true]) {
        let network = vehicle(law, 1.0);
        for method in [Method::Automatic, Method::Stepping] {
            for accuracy in [1e-3, 1e-6, 1e-8, 1e-9] {
                let start = Start::Steady { period: Some(1e-3) };
                let mut seen = Recorder::default();
                let which = format!("{bends} {method:?} {accuracy:e}");
                match engine::run(&network, &request(start, 1e-3, accuracy, method), &mut seen) {
                    Err(failure) => faults.push(format!("{which}: {failure}")),
                    Ok(summary) => {
                        // Rounding does not send a network from a fast road to steps.
                        if method == Method::Automatic && summary.road == Road::Stepping {
                            faults.push(format!("{which}: by steps"));
                        }
                        for (probe, expected) in expected.into_iter().enumerate() {
                            let (least, greatest) = seen.extremes(probe);
                            let apart = (least - expected).abs().max((greatest - expected).abs());
                            // Newton's method on the steps stops at 1e-11 of each voltage; across 40 mohm that is a current.
                            let allowed = 1e-10 * if probe == 2 { EMF / 40e-3 } else { EMF };
                            if apart >= allowed {
                                faults.push(format!("{which} {probe}: {apart:e}"));
                            }
                        }
                    }
                }
            }
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
}

/// 1 % more of the coil's resistance costs 1 % more of its voltage, I R.
#[test]
fn sensitivity_of_a_vehicle_at_rest() {
    const SMALL: f64 = 1e-6;
    let period = 1e-3;
    for law in laws() {
        let network = vehicle(law.clone(), 1.0);
        let orbit = Orbit::new(&network, period, 1e-6).expect("an orbit");
        for probe in 0..3 {
            assert!(orbit.extremes(probe, &[(0.0, period)]).expect("extremes").still, "{law:?} {probe}");
        }
        let (mean, value) = orbit.mean(0, &[(0.0, period)]);
        assert!((value - (EMF - TAKEN * OHM.iter().sum::<f64>())).abs() < 1e-9, "{law:?}: {value}");
        let networks = [1.0 - SMALL, 1.0 + SMALL].map(|factor| vehicle(law.clone(), factor));
        let variation =
            Variation { networks: [&networks[0], &networks[1]], periods: [period; 2], width: 2.0 * SMALL };
        let effect = orbit.effect(&variation).expect("sound").expect("alike");
        let found = orbit.sensitivities(&[mean], &mut [effect]).expect("solvable")[0][0];
        assert!((found / (-TAKEN * OHM[3]) - 1.0).abs() < 1e-6, "{law:?}: {found}");
    }
}
