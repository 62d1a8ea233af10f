//! Order of the exponential collocation by halving its step.
//!
//! The semilinear road walks a leg between two corners in one step where that is good enough; with an accuracy of a tenth it is. So corners
//! that bend nothing, set on a straight line, are steps of a known length. What the laws bend is a parabola through its values at the
//! start, the middle and the end of a step: with the weights of its integral exact the ends converge like Simpson's rule, by order 4 (Lobatto
//! collocation with three points; Hairer, Norsett and Wanner, Solving Ordinary Differential Equations I, section II.7; for exponential
//! collocation Hochbruck and Ostermann, Applied Numerical Mathematics 53, 2005, from memory).

use crate::common;

use common::{Builder, Recorder, request};
use engine::{Method, Road, Start};
use network::primitive::{ChargeLaw, Element, FluxLaw};
use network::waveform::{Points, Waveform};

const SPAN: f64 = 100e-6;

/// Current and voltage at the end of a jump to 6 V and a ramp to 18 V across R, L and C in series, by that many steps.
fn end(coil: FluxLaw, store: ChargeLaw, steps: u32) -> [f64; 2] {
    let points = (0..=steps).map(|k| {
        let share = f64::from(k) / f64::from(steps);
        (share * SPAN, 6.0 + 12.0 * share)
    });
    let mut circuit = Builder::new(&["in", "a", "out"]);
    let ramp = Waveform::Points(Points::new(points.collect()));
    circuit.add("source", "in", "gnd", Element::VoltageSource(ramp));
    circuit.resistor("r", "in", "a", 2.0);
    let branch = circuit.add("choke", "a", "out", Element::Inductor(coil));
    circuit.add("store", "out", "gnd", Element::Capacitor(store));
    circuit.see_current(branch);
    circuit.see_voltage("out", None);
    let mut seen = Recorder::default();
    let request = request(Start::Rest, SPAN, 0.1, Method::Automatic);
    let summary = engine::run(&circuit.network, &request, &mut seen).expect("a run that works");
    assert_eq!((summary.road, summary.work.steps), (Road::Semilinear, steps as usize), "one step a leg");
    [0, 1].map(|probe| seen.stretches.last().expect("a stretch").2[probe][2])
}

#[test]
fn the_ends_of_steps_converge_by_order_four() {
    let coil = FluxLaw::Linear { inductance: 100e-6 };
    let store = ChargeLaw::Linear { capacitance: 4e-6 };
    let saturable = FluxLaw::tanh(100e-6, 20e-6, 60e-6);
    let ceramic = ChargeLaw::Ceramic { capacitance: 10e-6, half_voltage: 4.0, floor: 0.2 };
    for (name, coil, store) in
        [("coil", saturable.clone(), store), ("ceramic", coil, ceramic.clone()), ("both", saturable, ceramic)]
    {
        // Order 4 makes it 4096 times closer than the finest below.
        let reference = end(coil.clone(), store.clone(), 2048);
        let sizes = [32, 64, 128, 256];
        // Both states as one vector in volts, by way of sqrt(L / C): one alone may pass by the turn of its error.
        let errors = sizes.map(|steps| {
            let found = end(coil.clone(), store.clone(), steps);
            (5.0 * (found[0] - reference[0])).hypot(found[1] - reference[1])
        });
        // Slope by least squares of log error over the number of halvings, 0 to 3: weights -3, -1, 1, 3 over 10.
        let logs = errors.map(f64::log2);
        let order = (3.0 * (logs[0] - logs[3]) + logs[1] - logs[2]) / 10.0;
        assert!((order - 4.0).abs() < 0.1, "{name}: order {order} of {errors:?}");
    }
}
