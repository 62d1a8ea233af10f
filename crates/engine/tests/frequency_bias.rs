//! Where bent laws are linearised: at rest, or at the means of the periodic steady state.

use crate::common;

use common::{Builder, record, request, tracks};
use engine::frequency::{Bias, Means, Path, frequency_response};
use engine::{Complex, Failure, Method, Request, Start, run};
use network::primitive::{ChargeLaw, CurrentLaw, Element, FluxLaw, Network};
use network::waveform::Waveform;
use std::f64::consts::TAU;

const PERIOD: f64 = 50e-6;
const LAW: FluxLaw = FluxLaw::tanh(330e-6, 9e-6, 1e-4);

/// 12 V through 0.5 ohm onto a drive; behind it a coil that saturates feeds a camera that draws more where it is given more.
fn network(law: CurrentLaw) -> (Network, usize, usize) {
    let mut circuit = Builder::new(&["emf", "bus", "cam"]);
    circuit.voltage("pack", "emf", "gnd", 12.0);
    circuit.resistor("pack", "emf", "bus", 0.5);
    circuit.add("tracks", "bus", "gnd", tracks(4.0, 0.5, 200e-9));
    let coil = circuit.add("coil", "bus", "cam", Element::Inductor(LAW));
    circuit.capacitor("store", "cam", "gnd", 20e-6);
    let load = circuit.add("eye", "cam", "gnd", Element::Load(law));
    (circuit.network, coil, load)
}

/// The slopes are those of the laws at means that a recorder takes of the same run; accuracy 1e-6 of swings below 10 V and 5 A, through
/// slopes that change by at most their own size over a tenth of that.
#[test]
fn slopes_stand_at_the_means() {
    let law = CurrentLaw::Power { power: 6.0, threshold: 3.0 };
    let (mut network, coil, load) = network(law);
    let steady = Bias::steady(&network, PERIOD, 1e-6).expect("a steady state");
    let mut circuit = Builder { network: network.clone() };
    circuit.see_current(coil);
    circuit.see_voltage("cam", None);
    let seen = record(
        &circuit.network,
        &request(Start::Steady { period: Some(PERIOD) }, 1e-3, 1e-6, Method::Automatic),
    );
    let mean = |probe: usize| seen.integral(probe) / PERIOD;
    assert!(steady.is_steady());
    assert!((steady.slope(coil) / LAW.inductance(mean(0)) - 1.0).abs() < 1e-3);
    assert!((steady.slope(load) / law.conductance(mean(1)) - 1.0).abs() < 1e-3);
    // Beside another observer that one sees what it sees alone.
    let mut means = Means::new(&mut circuit.network);
    let mut recorder = common::Recorder::default();
    let request: Request = request(Start::Steady { period: Some(PERIOD) }, 1e-3, 1e-6, Method::Automatic);
    run(&circuit.network, &request, &mut means.beside(&mut recorder)).expect("a steady state");
    assert!(recorder.stretches.iter().all(|(_, _, values)| values.len() == 2));
    let beside = means.bias(&circuit.network).expect("a bias");
    assert!((beside.slope(coil) / steady.slope(coil) - 1.0).abs() < 1e-3);
    // What is asked of the network's own probes does not matter.
    network.probes.clone_from(&circuit.network.probes);
    assert_eq!(Bias::steady(&network, PERIOD, 1e-6).expect("a steady state"), steady);
}

/// A load that draws in proportion below 9.8 V and no more above it: a swing around the corner draws less on average than rest does
/// (Jensen's inequality), so the coil's mean current is smaller and its inductance greater.
#[test]
fn a_ripple_moves_the_mean_away_from_rest() {
    let mut circuit = Builder::new(&["emf", "bus", "cam"]);
    circuit.voltage("pack", "emf", "gnd", 12.0);
    circuit.resistor("pack", "emf", "bus", 0.5);
    circuit.add("tracks", "bus", "gnd", tracks(8.0, 0.5, 200e-9));
    let coil = circuit.add("coil", "bus", "cam", Element::Inductor(FluxLaw::tanh(20e-6, 1e-6, 1e-5)));
    circuit.capacitor("store", "cam", "gnd", 0.2e-6);
    let law = CurrentLaw::Constant { current: 0.6, threshold: 9.8 };
    circuit.add("eye", "cam", "gnd", Element::Load(law));
    let rest = Bias::resting(&circuit.network).expect("rest");
    let steady = Bias::steady(&circuit.network, PERIOD, 1e-4).expect("a steady state");
    assert!(steady.slope(coil) > 1.02 * rest.slope(coil), "{} {}", steady.slope(coil), rest.slope(coil));
}

/// Straight lines answer alike everywhere; a ramp, which has no steady state, is in the way as soon as something bends.
#[test]
fn nothing_is_run_where_nothing_bends() {
    let mut circuit = Builder::new(&["emf", "bus"]);
    circuit.voltage("pack", "emf", "gnd", 12.0);
    circuit.resistor("pack", "emf", "bus", 0.5);
    circuit.capacitor("store", "bus", "gnd", 10e-6);
    circuit.add("ramp", "bus", "gnd", Element::CurrentSource(Waveform::Ramp { level: 1.0, rise: 1e-3 }));
    let bias = Bias::steady(&circuit.network, PERIOD, 1e-4).expect("straight lines rest everywhere");
    assert_eq!(bias, Bias::resting(&circuit.network).expect("rest"));
    assert!(!bias.is_steady());
    let law = ChargeLaw::Ceramic { capacitance: 10e-6, half_voltage: 4.0, floor: 0.1 };
    circuit.add("ceramic", "bus", "gnd", Element::Capacitor(law));
    assert_eq!(Bias::steady(&circuit.network, PERIOD, 1e-4), Err(Failure::Aperiodic));
}

/// A ceramic at its mean voltage, and a constant power taken out of what is looked at: the impedance is that of 0.5 ohm beside
/// C(12 V) alone.
#[test]
fn without_its_load() {
    let law = ChargeLaw::Ceramic { capacitance: 10e-6, half_voltage: 4.0, floor: 0.1 };
    let mut circuit = Builder::new(&["emf", "bus"]);
    circuit.voltage("pack", "emf", "gnd", 13.0);
    circuit.resistor("pack", "emf", "bus", 0.5);
    let ceramic = circuit.add("ceramic", "bus", "gnd", Element::Capacitor(law.clone()));
    // 24 W at 12 V draw the 2 A that leave 12 V.
    let load =
        circuit.add("eye", "bus", "gnd", Element::Load(CurrentLaw::Power { power: 24.0, threshold: 6.0 }));
    let bias = Bias::resting(&circuit.network).expect("rest");
    assert!((bias.slope(ceramic) - law.capacitance(12.0)).abs() < 1e-15);
    assert!((bias.slope(load) + 1.0 / 6.0).abs() < 1e-12);
    let at = |bias: &Bias| {
        let curves =
            frequency_response(&circuit.network, bias, &[Path::impedance(2, 0)], &[50e3]).expect("sound");
        curves.values[0][0].expect("an answer")
    };
    let alone = Complex::new(2.0, TAU * 50e3 * law.capacitance(12.0));
    assert!((at(&bias.without_load(load)) - alone.inv()).norm() < 1e-12);
    assert!((at(&bias) - (alone - 1.0 / 6.0).inv()).norm() < 1e-12);
}
