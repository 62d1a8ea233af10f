//! Extremes, means and mean squares that the engine tells without drawing, against closed forms and against what is drawn.

use crate::common::{Builder, Recorder, request, tracks};
use engine::observe::{Enough, Totals};
use engine::{Method, Observer, Start, Stretch};
use network::primitive::{Element, FluxLaw, Network};
use network::waveform::{Pulse, PulseSettings, Waveform};

/// Is content with totals.
#[derive(Default)]
struct Content(Vec<Option<Totals>>);

impl Observer for Content {
    fn restart(&mut self) {
        self.0.clear();
    }

    fn stretch(&mut self, _: &Stretch<'_>) {}

    fn enough(&mut self, probes: usize) -> Vec<Enough> {
        self.0 = vec![None; probes];
        vec![Enough::Totals; probes]
    }

    fn totals(&mut self, probe: usize, totals: &Totals) {
        self.0[probe] = Some(*totals);
    }
}

fn totals(network: &Network, start: Start, span: f64, accuracy: f64) -> Vec<Totals> {
    let mut content = Content::default();
    engine::run(network, &request(start, span, accuracy, Method::Automatic), &mut content).expect("it runs");
    content.0.into_iter().map(|totals| totals.expect("every probe has totals")).collect()
}

fn mean(totals: &Totals) -> f64 {
    totals.first + totals.integral / totals.duration
}

fn mean_square(totals: &Totals) -> f64 {
    let departure = totals.integral / totals.duration;
    totals.first * (totals.first + 2.0 * departure) + totals.square / totals.duration
}

/// 10 V for 40 us of every 100 us through 1 kohm into 50 nF, tau = 50 us. In the periodic steady state the capacitor swings between
/// V2 = 10 (1 - a) / (1 - a b) and V1 = V2 b, a = e^(-40/50), b = e^(-60/50); its mean is that of the source, 4 V; and of
/// v = 10 - (10 - V1) e^(-t/tau), then V2 e^(-t/tau), the mean square is had by integrating (elementary).
#[test]
fn charging_and_discharging() {
    let mut circuit = Builder::new(&["in", "out"]);
    let settings =
        PulseSettings { level: 10.0, width: 40e-6, period: 1e-4, rise: 0.0, fall: 0.0, start: None };
    let pulse = Pulse::new(settings);
    circuit.add("source", "in", "gnd", Element::VoltageSource(Waveform::Pulse(Box::new(pulse))));
    circuit.resistor("r", "in", "out", 1e3);
    circuit.capacitor("c", "out", "gnd", 50e-9);
    circuit.see_voltage("out", None);
    circuit.see_voltage("in", None);
    let found = totals(&circuit.network, Start::Steady { period: Some(1e-4) }, 1e-4, 1e-4);
    let (a, b) = (f64::exp(-0.8), f64::exp(-1.2));
    let high = 10.0 * (1.0 - a) / (1.0 - a * b);
    let low = high * b;
    let tau = 50e-6;
    let rest = 10.0 - low;
    let square = (100.0 * 40e-6 - 20.0 * rest * tau * (1.0 - a)
        + rest * rest * 0.5 * tau * (1.0 - a * a)
        + high * high * 0.5 * tau * (1.0 - b * b))
        / 1e-4;
    assert!((found[0].least - low).abs() < 1e-12 * high, "{}", found[0].least);
    assert!((found[0].greatest - high).abs() < 1e-12 * high, "{}", found[0].greatest);
    assert!((found[0].time_of_greatest - 40e-6).abs() < 1e-12);
    assert!((mean(&found[0]) - 4.0).abs() < 1e-11, "{}", mean(&found[0]));
    // Quadrature of the squares errs by less than 1e-9.
    assert!((mean_square(&found[0]) - square).abs() < 1e-9 * square, "{} {square}", mean_square(&found[0]));
    assert_eq!((found[1].least, found[1].greatest), (0.0, 10.0));
    assert!((mean_square(&found[1]) - 40.0).abs() < 1e-10);
}

/// A series R-L-C on a step of 10 V rings to 10 (1 + e^(-pi alpha / omega)) at pi / omega (any textbook on linear systems); with little
/// resistance hundreds of tops follow that are hardly lower.
#[test]
fn overshoot() {
    for (r, span) in [(100.0, 2e-3), (0.1, 20e-3)] {
        let (l, c): (f64, f64) = (2e-3, 50e-9);
        let mut circuit = Builder::new(&["in", "a", "out"]);
        circuit.voltage("source", "in", "gnd", 10.0);
        circuit.resistor("r", "in", "a", r);
        circuit.inductor("l", "a", "out", l);
        circuit.capacitor("c", "out", "gnd", c);
        circuit.see_voltage("out", None);
        let alpha = r / (2.0 * l);
        let omega = (1.0 / (l * c) - alpha * alpha).sqrt();
        let found = totals(&circuit.network, Start::Rest, span, 1e-5)[0];
        let top = 10.0 * (1.0 + (-std::f64::consts::PI * alpha / omega).exp());
        assert!((found.greatest - top).abs() < 1e-5 * 10.0, "{} {top}", found.greatest);
        // At the top a departure of d in height is one of sqrt(2 d / curvature) in time.
        assert!((found.time_of_greatest - std::f64::consts::PI / omega).abs() < 5e-3 / omega);
        assert!(found.least.abs() < 1e-12);
    }
}

/// A coil that saturates behind a rail, with winding capacitance: totals are what the other road's parabolas come to, which knows no
/// modes and takes many short steps.
#[test]
fn saturating_as_stepped() {
    let mut circuit = Builder::new(&["emf", "bus", "esr", "in", "cam", "store"]);
    circuit.voltage("pack", "emf", "gnd", 14.8);
    circuit.resistor("pack", "emf", "bus", 0.06);
    circuit.resistor("bulk", "bus", "esr", 0.04);
    circuit.capacitor("bulk", "esr", "gnd", 220e-6);
    circuit.add("tracks", "bus", "gnd", tracks(9.0, 0.6, 200e-9));
    circuit.resistor("choke", "bus", "in", 0.12);
    circuit.add("choke", "in", "cam", Element::Inductor(FluxLaw::tanh(100e-6, 9e-6, 20e-6)));
    circuit.capacitor("choke", "in", "cam", 2e-9);
    circuit.resistor("store", "cam", "store", 0.04);
    circuit.capacitor("store", "store", "gnd", 47e-6);
    circuit.resistor("eye", "cam", "gnd", 100.0);
    circuit.see_voltage("cam", None);
    circuit.see_voltage("bus", None);
    circuit.see_voltage("in", Some(1e6));
    let (period, accuracy) = (5e-5, 1e-5);
    let start = Start::Steady { period: Some(period) };
    let found = totals(&circuit.network, start, period, accuracy);
    let mut stepped = Recorder::default();
    engine::run(&circuit.network, &request(start, period, accuracy, Method::Stepping), &mut stepped)
        .expect("it runs");
    for (probe, found) in found.iter().enumerate() {
        let (least, greatest) = stepped.extremes(probe);
        // Each road keeps to the accuracy, and to a tenth of it in drawing.
        let allowed = 2.2 * accuracy * (greatest - least);
        assert!((found.least - least).abs() < allowed, "{probe}: {} {least}", found.least);
        assert!((found.greatest - greatest).abs() < allowed, "{probe}: {} {greatest}", found.greatest);
        let integral = stepped.integral(probe);
        assert!((mean(found) * period - integral).abs() < allowed * period, "{probe}: {integral}");
    }
}

/// Two drives on a bus with a ringing tail, with and without a low-pass: totals are what the drawn parabolas come to.
#[test]
fn as_what_is_drawn() {
    let mut circuit = Builder::new(&["emf", "bus", "esr", "tap", "cam"]);
    circuit.voltage("pack", "emf", "gnd", 14.8);
    circuit.resistor("pack", "emf", "bus", 0.06);
    circuit.resistor("bulk", "bus", "esr", 0.04);
    circuit.capacitor("bulk", "esr", "gnd", 220e-6);
    circuit.add("tracks", "bus", "gnd", tracks(9.0, 0.6, 200e-9));
    circuit.resistor("feed", "bus", "tap", 0.05);
    circuit.inductor("feed", "tap", "cam", 400e-9);
    circuit.capacitor("eye", "cam", "gnd", 1e-6);
    circuit.see_voltage("cam", None);
    circuit.see_voltage("bus", None);
    circuit.see_voltage("cam", Some(100e3));
    circuit.see_voltage("bus", Some(20e6));
    let period = 5e-5;
    for (start, span) in
        [(Start::Steady { period: Some(period) }, period), (Start::Rest, 4e-4), (Start::Operating, 4e-4)]
    {
        let accuracy = 1e-5;
        let found = totals(&circuit.network, start, span, accuracy);
        let mut drawn = Recorder::default();
        engine::run(&circuit.network, &request(start, span, accuracy, Method::Automatic), &mut drawn)
            .expect("it runs");
        for (probe, found) in found.iter().enumerate() {
            let (least, greatest) = drawn.extremes(probe);
            let allowed = accuracy * (greatest - least);
            assert!((found.least - least).abs() < allowed, "{start:?} {probe}: {} {least}", found.least);
            assert!((found.greatest - greatest).abs() < allowed, "{start:?} {probe}: {}", found.greatest);
            assert!((found.duration - span).abs() < 1e-12 * span);
            let integral = drawn.integral(probe);
            assert!((mean(found) * span - integral).abs() < allowed * span, "{start:?} {probe}: {integral}");
            let (mut square, origin) = (0.0, mean(found));
            for (start, end, values) in &drawn.stretches {
                // Gauss-Legendre with three nodes is exact for the square of a parabola.
                let [a, m, b] = values[probe].map(|value| value - origin);
                for (place, weight) in
                    [(-0.6f64.sqrt(), 5.0 / 18.0), (0.0, 4.0 / 9.0), (0.6f64.sqrt(), 5.0 / 18.0)]
                {
                    let x = 0.5 + 0.5 * place;
                    let value = a + x * ((4.0 * m - 3.0 * a - b) + x * 2.0 * (a + b - 2.0 * m));
                    square += weight * (end - start) * value * value;
                }
            }
            let departure = found.integral / found.duration;
            let ours = found.square / found.duration - departure * departure;
            let swing = greatest - least;
            assert!(
                (ours - square / span).abs() < 2.0 * accuracy * swing * swing,
                "{start:?} {probe}: {ours} {}",
                square / span
            );
        }
    }
}
