//! What a series remembers changes no result: every run of it is, to the last bit, what a run by itself gives.

use crate::common::{Builder, Recorder, request, tracks};
use engine::{Method, Observer, Series, Start, Stretch};
use network::primitive::{CurrentLaw, Element, FluxLaw, Network};

/// Pack, drives, and one of three filters: none, a coil with winding capacitance and a capacitor, the same with a coil that saturates. The first has
/// other unknowns than the others; of the others values alone differ, by orders of magnitude.
fn feed(filter: usize, value: f64, current: f64) -> Network {
    let mut circuit = Builder::new(&["emf", "bus", "cam", "store"]);
    circuit.voltage("pack", "emf", "gnd", 14.8);
    circuit.resistor("lead", "emf", "bus", 0.09 * value);
    circuit.capacitor("bulk", "bus", "gnd", 220e-6);
    circuit.add("tracks", "bus", "gnd", tracks(current, 0.6, 200e-9));
    match filter {
        0 => circuit.resistor("link", "bus", "cam", 1e-3 * value),
        kind => {
            let law = FluxLaw::tanh(330e-6 * value, 9e-6, 115e-6);
            let straight = FluxLaw::Linear { inductance: 330e-6 * value };
            circuit.capacitor("winding", "bus", "cam", 15e-12 * value);
            circuit.add("choke", "bus", "cam", Element::Inductor(if kind == 1 { straight } else { law }))
        }
    };
    circuit.resistor("esr", "cam", "store", 0.04 * value);
    circuit.capacitor("store", "store", "gnd", 330e-6);
    circuit.resistor("eye", "cam", "gnd", 100.0);
    circuit.see_voltage("cam", None);
    circuit.see_voltage("bus", Some(20e6));
    circuit.network
}

#[test]
fn remembering_changes_nothing() {
    let series = Series::default();
    let starts = [Start::Steady { period: Some(50e-6) }, Start::Rest, Start::Operating];
    let mut runs = 0;
    for value in [1.0, 0.7, 3e4, 1e-3, 1.3] {
        for filter in [0, 1, 2, 1] {
            // Corners stay for some time, then they change.
            for current in [4.5, 6.0] {
                let start = starts[runs % starts.len()];
                let network = feed(filter, value, current);
                let request = request(start, 200e-6, 1e-4, Method::Automatic);
                let (mut alone, mut among) = (Recorder::default(), Recorder::default());
                let one = engine::run(&network, &request, &mut alone).expect("it runs");
                let other = series.run(&network, &request, &mut among).expect("it runs");
                assert_eq!(one, other);
                assert!(alone.stretches == among.stretches, "filter {filter}, {value}, {current} A");
                runs += 1;
            }
        }
    }
}

/// What lies between a source and two nodes; of some nothing is to be found.
fn small(kind: usize, value: f64) -> Network {
    let mut circuit = Builder::new(&["in", "a", "b"]);
    circuit.add("source", "in", "gnd", tracks(3.0, 0.4, 100e-9));
    circuit.resistor("shunt", "in", "gnd", 2.0);
    match kind {
        // The same branches in another order, so that as many unknowns have another pattern.
        0 | 1 => {
            let [first, second] = if kind == 0 { ["a", "b"] } else { ["b", "a"] };
            circuit.resistor("r", "in", first, value);
            circuit.capacitor("c", first, second, 1e-6);
            circuit.resistor("q", second, "gnd", 2.0 * value);
        }
        // Nothing holds the voltage of a, or nothing damps the tank.
        2 => {
            circuit.resistor("q", "in", "b", value);
            circuit.capacitor("c", "a", "gnd", 1e-6);
        }
        _ => {
            circuit.resistor("q", "in", "b", value);
            circuit.inductor("l", "a", "gnd", 1e-3);
            circuit.capacitor("c", "a", "gnd", 1e-6);
        }
    }
    circuit.see_voltage("b", None);
    circuit.network
}

#[test]
fn failures_and_other_patterns_leave_nothing_behind() {
    let series = Series::default();
    let starts = [Start::Steady { period: Some(50e-6) }, Start::Operating, Start::Steady { period: None }];
    let mut failures = 0;
    for kind in [0, 2, 0, 1, 3, 1, 2, 3, 0, 1] {
        for (run, start) in starts.into_iter().enumerate() {
            let network = small(kind, 1.0 + run as f64);
            let asked = request(start, 100e-6, 1e-4, Method::Automatic);
            let (mut alone, mut among) = (Recorder::default(), Recorder::default());
            let one = engine::run(&network, &asked, &mut alone);
            let other = series.run(&network, &asked, &mut among);
            failures += usize::from(one.is_err());
            assert_eq!(
                one.map_err(|failure| failure.to_string()),
                other.map_err(|failure| failure.to_string())
            );
            assert!(alone.stretches == among.stretches, "{kind} from {start:?}");
        }
    }
    // Without a voltage at a there is no operating point; the tank rests, but never settles.
    assert_eq!(failures, 2 * 3 + 2 * 2);
}

/// Looks at another network, with other sources, whenever the outer run begins anew.
struct Inner<'s> {
    series: &'s Series,
    seen: Recorder,
    runs: usize,
}

impl Observer for Inner<'_> {
    fn restart(&mut self) {
        self.seen.restart();
        self.runs += 1;
        let request = request(Start::Operating, 100e-6, 1e-3, Method::Automatic);
        self.series.run(&feed(1, 1.0, 9.0), &request, &mut Recorder::default()).expect("it runs");
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        self.seen.stretch(stretch);
    }
}

/// A load of constant power has a run begin anew by steps: what ran in between is nothing to it.
#[test]
fn runs_inside_a_run_change_nothing() {
    let mut circuit = Builder::new(&["emf", "bus"]);
    circuit.voltage("pack", "emf", "gnd", 14.8);
    circuit.resistor("lead", "emf", "bus", 0.09);
    circuit.capacitor("bulk", "bus", "gnd", 220e-6);
    circuit.add("tracks", "bus", "gnd", tracks(4.5, 0.6, 200e-9));
    let law = CurrentLaw::Power { power: 5.0, threshold: 3.0 };
    circuit.add("camera", "bus", "gnd", Element::Load(law));
    circuit.see_voltage("bus", None);
    for start in [Start::Operating, Start::Steady { period: Some(50e-6) }] {
        let request = request(start, 100e-6, 1e-3, Method::Automatic);
        let mut alone = Recorder::default();
        let one = engine::run(&circuit.network, &request, &mut alone).expect("it runs");
        let series = Series::default();
        let mut inner = Inner { series: &series, seen: Recorder::default(), runs: 0 };
        let other = series.run(&circuit.network, &request, &mut inner).expect("it runs");
        assert_eq!((one, inner.runs), (other, 1));
        assert!(alone.stretches == inner.seen.stretches, "{start:?}");
    }
}
