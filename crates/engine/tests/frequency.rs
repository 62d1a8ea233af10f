//! Responses over frequency against closed forms, published examples, and the periodic steady state of the exact road.

use crate::common;

use common::{Builder, Recorder, record, request, tracks};
use engine::frequency::{Bias, Curves, Path};
use engine::{Complex, Failure, Method, Start, frequency_response};
use network::primitive::{Branch, ChargeLaw, CurrentLaw, Element, FluxLaw, Network};
use network::waveform::Waveform;
use std::f64::consts::TAU;

fn node(network: &Network, name: &str) -> usize {
    network.nodes.iter().position(|known| known == name).expect("known node")
}

fn curves(network: &Network, paths: &[Path], frequencies: &[f64]) -> Curves {
    let bias = Bias::resting(network).expect("a network that rests");
    frequency_response(network, &bias, paths, frequencies).expect("a sound drawing")
}

/// The only path's values where all of them exist.
fn values(network: &Network, path: Path, frequencies: &[f64]) -> Vec<Complex<f64>> {
    let found = curves(network, &[path], frequencies);
    assert_eq!(found.unanswered, []);
    found.values[0].iter().map(|value| value.expect("an answer")).collect()
}

fn impedance(circuit: &Builder, at: &str, frequencies: &[f64]) -> Vec<Complex<f64>> {
    values(&circuit.network, Path::impedance(node(&circuit.network, at), 0), frequencies)
}

#[track_caller]
fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() < relative, "{found}, expected {expected}");
}

/// ESR + j omega ESL + 1/(j omega C) of 470 uF, 30 mohm, 10 nH, by definition; printed to five digits.
#[test]
fn real_capacitor() {
    let mut circuit = Builder::new(&["top", "a", "b"]);
    circuit.resistor("c", "top", "a", 30e-3);
    circuit.inductor("c", "a", "b", 10e-9);
    circuit.capacitor("c", "b", "gnd", 470e-6);
    let resonance = 1.0 / (TAU * f64::sqrt(10e-9 * 470e-6));
    assert_close(resonance, 73.413e3, 2e-5);
    let found = impedance(&circuit, "top", &[1e3, 10e3, 1e6, resonance]);
    for (found, expected) in found.iter().zip([339.89e-3, 44.772e-3, 69.321e-3]) {
        assert_close(found.norm(), expected, 2e-5);
    }
    assert!((found[3] - Complex::new(30e-3, 0.0)).norm() < 1e-12, "{}", found[3]);
}

/// Bird, Electrical Circuit Theory and Technology (2nd ed.), example 29.1: a coil of 10 ohm and 5 mH in parallel with 0.25 uF
/// is a resistance of 2000 ohm at 4490.3 Hz; of 50 V it draws 25 mA, with Q = 14.11.
#[test]
fn coil_and_capacitor_in_parallel() {
    let (r, l, c) = (10.0, 5e-3, 0.25e-6);
    let mut circuit = Builder::new(&["top", "a"]);
    circuit.resistor("coil", "top", "a", r);
    circuit.inductor("coil", "a", "gnd", l);
    circuit.capacitor("c", "top", "gnd", c);
    let frequency = f64::sqrt(1.0 / (l * c) - r * r / (l * l)) / TAU;
    assert_close(frequency, 4490.3, 1e-5);
    let found = impedance(&circuit, "top", &[frequency])[0];
    // Rounding of the frequency moves the phase by Q times as much.
    assert_close(found.re, 2000.0, 1e-12);
    assert!(found.im.abs() < 1e-9, "{found}");
    assert_close(50.0 / found.re, 0.025, 1e-12);
    // Q is the coil's current over the whole, V / |R + j omega L| over V / 2000, here by its own impedance.
    let mut alone = Builder::new(&["top", "a"]);
    alone.resistor("coil", "top", "a", r);
    alone.inductor("coil", "a", "gnd", l);
    let own = impedance(&alone, "top", &[frequency])[0];
    assert_close(own.im / own.re, 14.11, 5e-4);
}

/// 50 ohm beside 5 uH, the artificial network of CISPR 25 without its capacitors.
#[test]
fn artificial_network() {
    let mut circuit = Builder::new(&["port"]);
    circuit.inductor("l", "port", "gnd", 5e-6);
    circuit.resistor("r", "port", "gnd", 50.0);
    let found = impedance(&circuit, "port", &[100e3, 1e6, 10e6]);
    for (found, expected) in found.iter().zip([3.1354, 26.601, 49.379]) {
        assert_close(found.norm(), expected, 2e-5);
    }
}

/// The voltage at a load of 50 ohm for 1 V of a source of 50 ohm, with the filter between its nodes `a` and `b`.
fn between(circuit: &Builder, frequencies: &[f64]) -> Vec<f64> {
    let mut circuit = Builder { network: circuit.network.clone() };
    circuit.network.nodes.push("emf".into());
    let source = circuit.voltage("generator", "emf", "gnd", 0.0);
    circuit.resistor("generator", "emf", "a", 50.0);
    circuit.resistor("receiver", "b", "gnd", 50.0);
    let path = Path::transfer(source, node(&circuit.network, "b"), 0);
    values(&circuit.network, path, frequencies).iter().map(|value| value.norm()).collect()
}

/// Insertion loss by CISPR 17: how much more the load sees without the filter.
fn insertion_loss(filter: &Builder, frequencies: &[f64]) -> Vec<f64> {
    let mut through = Builder::new(&["a", "b"]);
    through.voltage("through", "a", "b", 0.0);
    let (without, with) = (between(&through, frequencies), between(filter, frequencies));
    without.iter().zip(with).map(|(without, with)| 20.0 * (without / with).log10()).collect()
}

#[track_caller]
fn assert_decibels(found: &[f64], expected: &[f64]) {
    for (found, expected) in found.iter().zip(expected) {
        assert!((found - expected).abs() < 1e-3, "{found} dB, expected {expected} dB");
    }
}

/// Single elements in 50/50 ohm: 20 lg |1 + Z/100| in series, 20 lg |1 + 25 Y| across.
#[test]
fn insertion_loss_of_single_elements() {
    let mut series = Builder::new(&["a", "b"]);
    series.inductor("l", "a", "b", 10e-6);
    assert_decibels(&insertion_loss(&series, &[100e3, 1e6, 10e6]), &[0.017112, 1.4451, 16.072]);
    let mut across = Builder::new(&["a", "b"]);
    across.voltage("through", "a", "b", 0.0);
    across.capacitor("c", "b", "gnd", 1e-6);
    assert_decibels(&insertion_loss(&across, &[10e3, 100e3, 1e6]), &[5.4, 23.94, 43.923]);
}

/// 100 uH in series toward the source, 470 uF across the load, ideal and with 50 mohm, 30 mohm and 10 nH.
#[test]
fn insertion_loss_of_an_l_section() {
    let frequencies = [1e3, 10e3, 100e3];
    let mut ideal = Builder::new(&["a", "b"]);
    ideal.inductor("l", "a", "b", 100e-6);
    ideal.capacitor("c", "b", "gnd", 470e-6);
    assert_decibels(&insertion_loss(&ideal, &frequencies), &[37.3651, 57.4317, 81.4788]);
    let mut real = Builder::new(&["a", "b", "m1", "m2", "m3"]);
    real.resistor("l", "a", "m1", 50e-3);
    real.inductor("l", "m1", "b", 100e-6);
    real.resistor("c", "b", "m2", 30e-3);
    real.inductor("c", "m2", "m3", 10e-9);
    real.capacitor("c", "m3", "gnd", 470e-6);
    assert_decibels(&insertion_loss(&real, &frequencies), &[37.3518, 55.0249, 62.5017]);
}

/// Greatest impedance of an L-C filter whose capacitor has `damping` ohm with n C beside it, as a multiple of sqrt(L/C).
fn damped_peak(l: f64, c: f64, n: f64, damping: f64) -> f64 {
    let mut circuit = Builder::new(&["out", "d"]);
    circuit.inductor("l", "out", "gnd", l);
    circuit.capacitor("c", "out", "gnd", c);
    circuit.resistor("damper", "out", "d", damping);
    circuit.capacitor("damper", "d", "gnd", n * c);
    let natural = 1.0 / (TAU * f64::sqrt(l * c));
    // 1000 points an octave: near the top the curve falls by less than 1e-6 between two of them.
    let frequencies: Vec<f64> =
        (-2000..2000).map(|k| natural * f64::powf(2.0, f64::from(k) / 1000.0)).collect();
    let peak = impedance(&circuit, "out", &frequencies).iter().map(|value| value.norm()).fold(0.0, f64::max);
    peak / f64::sqrt(l / c)
}

/// Middlebrook 1978; Erickson and Maksimovic, Fundamentals of Power Electronics (2nd ed.) ch. 10: the best damping
/// Rd/R0 = sqrt((4+3n)(2+n)/(2n^2(4+n))) leaves a peak of sqrt(2(2+n))/n; any other leaves more.
#[test]
fn best_damping() {
    for (n, damping, peak) in [(1.0, 1.4491, 2.4495), (2.5, 0.7981, 1.2000), (4.0, 0.6124, 0.8660)] {
        let formula = f64::sqrt((4.0 + 3.0 * n) * (2.0 + n) / (2.0 * n * n * (4.0 + n)));
        assert_close(damping, formula, 1e-4);
        assert_close(damped_peak(1.0, 1.0, n, formula), peak, 1e-4);
        assert!(damped_peak(1.0, 1.0, n, 0.8 * formula) > 1.01 * peak);
        assert!(damped_peak(1.0, 1.0, n, 1.25 * formula) > 1.01 * peak);
    }
}

/// The worked example of the same book, section 10.4: 330 uH, 470 uF, n = 2.5 with 0.67 ohm peak at about 1 ohm.
#[test]
fn worked_damping() {
    let r0 = f64::sqrt(330e-6_f64 / 470e-6);
    assert_close(r0, 0.8379, 5e-3);
    assert_close(r0 * damped_peak(330e-6, 470e-6, 2.5, 0.669), 1.006, 5e-3);
}

/// A drive's ampere pulls the voltage down; a volt of a battery arrives whole.
#[test]
fn signs() {
    let mut circuit = Builder::new(&["emf", "bus"]);
    let battery = circuit.voltage("pack", "emf", "gnd", 12.0);
    circuit.resistor("pack", "emf", "bus", 0.1);
    let drive = circuit.add("drive", "bus", "gnd", Element::CurrentSource(Waveform::Constant(5.0)));
    let bus = node(&circuit.network, "bus");
    let paths = [Path::transfer(drive, bus, 0), Path::transfer(battery, bus, 0), Path::impedance(bus, 0)];
    let found = curves(&circuit.network, &paths, &[0.0, 1e3]).values;
    for (path, (values, expected)) in found.iter().zip([-0.1, 1.0, 0.1]).enumerate() {
        for value in values {
            let value = value.expect("an answer");
            assert!((value - Complex::new(expected, 0.0)).norm() < 1e-15, "path {path}: {value}");
        }
    }
}

/// Between two nodes of which neither is `gnd`; both ways alike.
#[test]
fn impedance_between_nodes() {
    let mut circuit = Builder::new(&["a", "b"]);
    circuit.resistor("r1", "a", "gnd", 3.0);
    circuit.resistor("r2", "b", "gnd", 5.0);
    circuit.inductor("l", "a", "b", 1e-3);
    let expected = Complex::new(1.0 / 8.0, -1.0 / (TAU * 1e3 * 1e-3)).inv();
    for (plus, minus) in [(1, 2), (2, 1)] {
        let found = values(&circuit.network, Path::impedance(plus, minus), &[1e3])[0];
        assert!((found - expected).norm() < 1e-12, "{found}");
    }
}

/// Bent laws count with their slope where the network rests: a coil at its direct current, a constant power with -V^2/P
/// (Middlebrook, IEEE IAS 1976).
#[test]
fn slopes_at_rest() {
    let law = FluxLaw::tanh(330e-6, 9e-6, 1e-4);
    let mut circuit = Builder::new(&["emf", "a", "cam"]);
    let battery = circuit.voltage("pack", "emf", "gnd", 12.0);
    circuit.resistor("wire", "emf", "a", 0.5);
    circuit.add("coil", "a", "cam", Element::Inductor(law.clone()));
    let power = CurrentLaw::Power { power: 4.0, threshold: 6.0 };
    circuit.add("regulator", "cam", "gnd", Element::Load(power));
    // 12 V - 0.5 ohm i = 4 W / i.
    let current = 12.0 - f64::sqrt(144.0 - 8.0);
    let voltage = 4.0 / current;
    let found = values(&circuit.network, Path::transfer(battery, 3, 0), &[2e3])[0];
    let load = -voltage * voltage / 4.0;
    let expected = load / (Complex::new(0.5, TAU * 2e3 * law.inductance(current)) + load);
    assert!((found - expected).norm() < 1e-10, "{found}, expected {expected}");
}

/// An ideal resonance has no answer there, and says whose; its neighbours have theirs.
#[test]
fn ideal_resonance_is_told() {
    let (l, c) = (1.0, 1.0);
    let mut circuit = Builder::new(&["top"]);
    circuit.inductor("coil", "top", "gnd", l);
    circuit.capacitor("c", "top", "gnd", c);
    let frequencies = [0.5 / TAU, 1.0 / TAU, 2.0 / TAU];
    let found = curves(&circuit.network, &[Path::impedance(1, 0)], &frequencies);
    assert_eq!(found.values[0].iter().map(Option::is_some).collect::<Vec<_>>(), [true, false, true]);
    assert_eq!(found.unanswered.len(), 1);
    assert_eq!(found.unanswered[0].frequency, frequencies[1]);
    assert!(["node top", "coil"].contains(&found.unanswered[0].place.as_str()), "{:?}", found.unanswered);
}

/// A ladder of sections, each 0.5 ohm and 2 uH in series and 3 uF across, ended by 1 ohm; its input impedance by the recursion
/// of ladders, from the far end.
#[test]
fn long_ladder() {
    const SECTIONS: usize = 20_000;
    let (resistance, inductance, capacitance) = (0.5, 2e-6, 3e-6);
    let mut network = Network { nodes: vec!["gnd".into(), "in".into()], ..Network::default() };
    let mut add = |left: usize, right: usize, element: Element| {
        network.branches.push(Branch { part: "ladder".into(), left, right, element });
    };
    for section in 0..SECTIONS {
        let (left, middle, right) = (2 * section + 1, 2 * section + 2, 2 * section + 3);
        add(left, middle, Element::Resistor(resistance));
        add(middle, right, Element::Inductor(FluxLaw::Linear { inductance }));
        add(right, 0, Element::Capacitor(ChargeLaw::Linear { capacitance }));
    }
    add(2 * SECTIONS + 1, 0, Element::Resistor(1.0));
    network.nodes.extend((0..2 * SECTIONS).map(|k| format!("n{k}")));
    let frequencies = [100.0, 1e3, 1e5, 1e6];
    let found = values(&network, Path::impedance(1, 0), &frequencies);
    for (frequency, found) in frequencies.iter().zip(found) {
        let omega = TAU * frequency;
        let mut expected = Complex::new(1.0, 0.0);
        for _ in 0..SECTIONS {
            let shunt = expected.inv() + Complex::new(0.0, omega * capacitance);
            expected = Complex::new(resistance, omega * inductance) + shunt.inv();
        }
        assert!((found / expected - 1.0).norm() < 1e-12, "{found}, expected {expected} at {frequency} Hz");
    }
}

#[test]
fn a_floating_node_is_told() {
    let mut circuit = Builder::new(&["a", "b", "c"]);
    circuit.resistor("r", "a", "gnd", 1.0);
    circuit.resistor("lost", "b", "c", 1.0);
    let failure = Bias::resting(&circuit.network);
    assert!(matches!(failure, Err(Failure::FloatingNode { .. })), "{failure:?}");
}

const PERIOD: f64 = 50e-6;
const EDGE: f64 = 200e-9;
const DUTY: f64 = 0.6;
const DRIVE: f64 = 18.0;

/// The crawler of the demo with a linear coil, and its drive's branch.
fn crawler() -> (Network, usize) {
    let mut circuit = Builder::new(&["emf", "a", "bus", "b1", "b2", "tap", "t1", "cam", "c1", "s1", "s2"]);
    circuit.voltage("pack", "emf", "gnd", 15.2);
    circuit.resistor("pack", "emf", "a", 0.1);
    circuit.inductor("main", "a", "bus", 0.42e-6);
    circuit.resistor("bulk", "bus", "b1", 0.04);
    circuit.inductor("bulk", "b1", "b2", 15e-9);
    circuit.capacitor("bulk", "b2", "gnd", 220e-6);
    let drive = circuit.add("tracks", "bus", "gnd", tracks(DRIVE, DUTY, EDGE));
    circuit.inductor("feed", "bus", "tap", 0.5e-6);
    circuit.resistor("choke", "tap", "t1", 0.42);
    circuit.inductor("choke", "t1", "cam", 330e-6);
    let law = CurrentLaw::Constant { current: 0.16, threshold: 9.0 };
    circuit.add("eye", "cam", "gnd", Element::Load(law));
    circuit.resistor("eye", "cam", "c1", 0.2);
    circuit.capacitor("eye", "c1", "gnd", 10e-6);
    circuit.resistor("store", "cam", "s1", 0.08);
    circuit.inductor("store", "s1", "s2", 12e-9);
    circuit.capacitor("store", "s2", "gnd", 330e-6);
    circuit.see_voltage("cam", None);
    circuit.see_voltage("bus", None);
    (circuit.network, drive)
}

/// Pivots are kept from frequency to frequency; over eight decades nothing of a value's digits is lost to that. A network of twelve
/// nodes has rounding of some hundred units.
#[test]
fn a_sweep_is_as_exact_as_each_frequency_alone() {
    let (network, drive) = crawler();
    let frequencies: Vec<f64> = (0..160).map(|k| f64::powf(10.0, f64::from(k) / 20.0)).collect();
    let path = Path::transfer(drive, node(&network, "cam"), 0);
    for (frequency, found) in frequencies.iter().zip(values(&network, path, &frequencies)) {
        let alone = values(&network, path, &[*frequency])[0];
        assert!((found / alone - 1.0).norm() < 1e-12, "{found} and {alone} at {frequency} Hz");
    }
}

/// Fourier coefficient (1/T) int p e^(-j omega t) dt of a probe: Gauss-Legendre with five nodes on pieces shorter than half a
/// radian, where its error is below 1e-12 of the amplitude.
fn coefficient(seen: &Recorder, probe: usize, omega: f64) -> Complex<f64> {
    const NODES: [(f64, f64); 5] = [
        (0.0, 128.0 / 225.0),
        (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
        (-0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
        (0.906_179_845_938_664, 0.236_926_885_056_189_08),
        (-0.906_179_845_938_664, 0.236_926_885_056_189_08),
    ];
    let mut sum = Complex::new(0.0, 0.0);
    for (start, end, values) in &seen.stretches {
        let [a, m, b] = values[probe];
        let length = end - start;
        let pieces = (2.0 * omega * length).ceil().max(1.0);
        let half = 0.5 / pieces;
        for piece in 0..pieces as u64 {
            let middle = (piece as f64 + 0.5) / pieces;
            for (node, weight) in NODES {
                let x = middle + half * node;
                let value = a + x * ((4.0 * m - 3.0 * a - b) + x * 2.0 * (a + b - 2.0 * m));
                sum += Complex::from_polar(weight * half * length * value, -omega * (start + x * length));
            }
        }
    }
    sum / PERIOD
}

/// The drive's own coefficient, from the derivative of its trapezoid: A/(tau T (j omega)^2) (1 - e^(-j omega tau))
/// (1 - e^(-j omega D T)).
fn drive_coefficient(omega: f64) -> Complex<f64> {
    let lag = |time: f64| Complex::new(1.0, 0.0) - Complex::from_polar(1.0, -omega * time);
    -lag(EDGE) * lag(DUTY * PERIOD) * DRIVE / (EDGE * PERIOD * omega * omega)
}

/// Each harmonic of the periodic steady state is the drive's harmonic times the transfer: two roads with no common formula.
#[test]
fn harmonics_of_the_steady_state() {
    let (network, drive) = crawler();
    let start = Start::Steady { period: Some(PERIOD) };
    let seen = record(&network, &request(start, 1e-3, 1e-7, Method::Automatic));
    let orders: Vec<u32> = (1..=200).collect();
    let frequencies: Vec<f64> = orders.iter().map(|order| f64::from(*order) / PERIOD).collect();
    for (probe, name) in ["cam", "bus"].into_iter().enumerate() {
        let transfer = values(&network, Path::transfer(drive, node(&network, name), 0), &frequencies);
        let pairs: Vec<_> = frequencies
            .iter()
            .zip(&transfer)
            .map(|(frequency, transfer)| {
                let omega = TAU * frequency;
                (coefficient(&seen, probe, omega), transfer * drive_coefficient(omega))
            })
            .collect();
        let largest = pairs.iter().map(|(_, expected)| expected.norm()).fold(0.0, f64::max);
        for (order, (found, expected)) in orders.iter().zip(&pairs) {
            let error = (found - expected).norm() / largest;
            assert!(error < 1e-6, "{name}, harmonic {order}: {error:.1e} of the largest");
        }
    }
}

/// Mean square of a probe's departure from its mean: Simpson's rule with the Gauss points that are exact for squares of parabolas.
fn mean_square(seen: &Recorder, probe: usize, period: f64) -> f64 {
    let mean = seen.integral(probe) / period;
    let square = |(start, end, values): &(f64, f64, Vec<[f64; 3]>)| {
        let [a, m, b] = values[probe];
        let at = |x: f64| a + x * ((4.0 * m - 3.0 * a - b) + x * 2.0 * (a + b - 2.0 * m)) - mean;
        let off = 0.5 * 0.6f64.sqrt();
        let [early, middle, late] = [0.5 - off, 0.5, 0.5 + off].map(|x| at(x).powi(2));
        (end - start) * (5.0 * early + 8.0 * middle + 5.0 * late) / 18.0
    };
    seen.stretches.iter().map(square).sum::<f64>() / period
}

/// Parseval: the rms of the ripple from the waveform is that of its harmonics, each the drive's times the transfer. At the camera they
/// fall with the fourth power of their order or faster (the drive's with the second beyond its edges, the filter's with the
/// second), so those above the last are less than (1/N)^7 / 7 of the sum of squares.
#[test]
fn rms_from_the_waveform_is_that_of_the_harmonics() {
    let (network, drive) = crawler();
    let start = Start::Steady { period: Some(PERIOD) };
    let seen = record(&network, &request(start, 1e-3, 1e-7, Method::Automatic));
    let frequencies: Vec<f64> = (1..=2000).map(|order| f64::from(order) / PERIOD).collect();
    let transfer = values(&network, Path::transfer(drive, node(&network, "cam"), 0), &frequencies);
    let squares = frequencies.iter().zip(&transfer).map(|(frequency, transfer)| {
        // Two-sided coefficients: each order counts twice.
        2.0 * (transfer * drive_coefficient(TAU * frequency)).norm_sqr()
    });
    let harmonics = squares.sum::<f64>().sqrt();
    let waveform = mean_square(&seen, 0, PERIOD).sqrt();
    assert!((waveform / harmonics - 1.0).abs() < 1e-6, "{waveform} {harmonics}");
}

/// A battery's slow pair of 20 mohm and 5 F in front of 1 uH and 100 uF, against the chain of impedances: at 30 MHz what gets through
/// is 3e-7 of the source, in the presence of a thousand million siemens.
#[test]
fn farads_cost_no_digits() {
    let mut circuit = Builder::new(&["emf", "slow", "pos", "cam"]);
    let source = circuit.voltage("pack", "emf", "gnd", 12.0);
    circuit.resistor("pack_r", "emf", "slow", 0.06);
    circuit.resistor("slow_r", "slow", "pos", 0.02);
    circuit.capacitor("slow_c", "slow", "pos", 5.0);
    circuit.inductor("lead", "pos", "cam", 1e-6);
    circuit.capacitor("store", "cam", "gnd", 100e-6);
    let frequencies = [0.0, 1e-3, 1.0, 1e3, 1e6, 30e6];
    let found =
        values(&circuit.network, Path::transfer(source, node(&circuit.network, "cam"), 0), &frequencies);
    for (frequency, found) in frequencies.iter().zip(&found) {
        let s = Complex::new(0.0, TAU * frequency);
        let slow = (Complex::new(1.0 / 0.02, 0.0) + s * 5.0).inv();
        let expected = (Complex::new(1.0, 0.0) + s * 100e-6 * (slow + 0.06 + s * 1e-6)).inv();
        assert!((found - expected).norm() < 1e-12 * expected.norm(), "{frequency}: {found} {expected}");
    }
}
