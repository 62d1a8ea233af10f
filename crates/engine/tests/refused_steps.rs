//! A step with too large an error is refused. Each problem is quiet for long, so that steps grow, and then changes all at once: a step accepted
//! untested would leave an error of the order of the change itself.

use crate::common;

use common::{Builder, Recorder, request};
use engine::integrator::{Problem, Rule, Tolerances, integrate};
use engine::linear::Stamp;
use engine::{Method, Start};
use network::primitive::{Element, FluxLaw, Probe, Signal};

/// x' = (g(t) - x) / w after a front g = tanh((t - 1) / w): at rest at -1 for a thousand times the front's width.
struct Front;

impl Front {
    const WIDTH: f64 = 1e-3;

    fn level(time: f64) -> f64 {
        ((time - 1.0) / Self::WIDTH).tanh()
    }

    /// With s = (t - 1) / w the integral of tanh(s) e^s is e^s - 2 atan(e^s) up to a constant (by e^s tanh s = e^s - 2 e^s / (1 + e^(2s))),
    /// so x = 1 - 2 e^(-s) atan(e^s) is the solution that comes from -1.
    fn exact(time: f64) -> f64 {
        let growth = ((time - 1.0) / Self::WIDTH).exp();
        1.0 - 2.0 * growth.atan() / growth
    }
}

impl Problem for Front {
    fn size(&self) -> usize {
        1
    }
    fn charges(&self, x: &[f64], out: &mut [f64]) {
        out[0] = Self::WIDTH * x[0];
    }
    fn currents(&self, x: &[f64], time: f64, out: &mut [f64]) {
        out[0] = x[0] - Self::level(time);
    }
    fn charge_slopes(&self, _: &[f64], weight: f64, matrix: &mut impl Stamp<f64>) {
        matrix.add(0, 0, weight * Self::WIDTH);
    }
    fn current_slopes(&self, _: &[f64], _: f64, weight: f64, matrix: &mut impl Stamp<f64>) {
        matrix.add(0, 0, weight);
    }
}

#[test]
fn a_front_after_a_long_rest() {
    // One width behind the front, where what went wrong in it is not forgotten.
    let end = 1.0 + Front::WIDTH;
    for (rule, asked) in [(Rule::TrBdf2, 1e-5), (Rule::Trapezoidal, 1e-5), (Rule::BackwardEuler, 1e-4)] {
        let tolerances = Tolerances::uniform(asked, asked, 1);
        let solution = integrate(&Front, rule, 0.0, end, vec![-1.0], &tolerances).expect("it is smooth");
        assert!(solution.work.rejections > 0, "{rule:?}: {:?}", solution.work);
        // Every step may add its share of the tolerance, asked^(1/p).
        let share = asked.powf(1.0 / f64::from(rule.order()));
        let allowed = solution.work.steps as f64 * share * tolerances.weight(0, 1.0);
        let error = (solution.x[0] - Front::exact(end)).abs();
        assert!(error < allowed, "{rule:?}: {error} of {allowed}");
        assert!(allowed < 1e-2, "{rule:?}: {allowed} would let the front itself pass");
    }
}

/// A coil behind a small resistance: its current crawls for as long as the core takes flux, and shoots up when it is full. On the stepping
/// road, ended while it rises.
#[test]
fn a_core_that_fills_up() {
    let (volts, ohms) = (1.0, 1e-3);
    let law = FluxLaw::tanh(1.0, 1e-4, 1e-2);
    let mut circuit = Builder::new(&["in", "a"]);
    circuit.voltage("source", "in", "gnd", volts);
    circuit.resistor("r", "in", "a", ohms);
    let branch = circuit.add("choke", "a", "gnd", Element::Inductor(law.clone()));
    circuit.see_current(branch);
    circuit.network.probes.push(Probe { signal: Signal::Flux(1.0, branch), bandwidth: None });
    // Time to a current: the integral of L(x) / (V - R x), by Simpson's rule on cells far below the knee of 10 mA.
    let last = 2.0;
    let cells = 200_000;
    let f = |x: f64| law.inductance(x) / (volts - ohms * x);
    let h = last / f64::from(cells);
    let sum: f64 = (0..cells)
        .map(|k| {
            let x = f64::from(k) * h;
            f(x) + 4.0 * f(x + 0.5 * h) + f(x + h)
        })
        .sum();
    let span = sum * h / 6.0;
    for accuracy in [1e-3, 1e-4, 1e-5] {
        let mut seen = Recorder::default();
        let request = request(Start::Rest, span, accuracy, Method::Stepping);
        let summary = engine::run(&circuit.network, &request, &mut seen).expect("a run that works");
        let found = seen.stretches.last().expect("a stretch").2[0][2];
        assert!(summary.work.rejections > 0, "{accuracy}: {:?}", summary.work);
        assert!((found - last).abs() < accuracy * last, "{accuracy}: {found}");
    }
}
