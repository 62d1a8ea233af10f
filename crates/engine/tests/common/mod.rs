//! Small networks and a recorder for the engine's tests.
#![allow(dead_code, unreachable_pub)]

use engine::{Method, Observer, Request, Start, Stretch};
use network::primitive::{Branch, ChargeLaw, Element, FluxLaw, Network, Probe, Signal, Term};
use network::waveform::{Drive, DriveSettings, Waveform};

/// Builds a network branch by branch.
#[derive(Default)]
pub struct Builder {
    pub network: Network,
}

impl Builder {
    pub fn new(nodes: &[&str]) -> Self {
        let mut network = Network::default();
        network.nodes.push("gnd".into());
        network.nodes.extend(nodes.iter().map(ToString::to_string));
        Self { network }
    }

    pub fn add(&mut self, part: &str, left: &str, right: &str, element: Element) -> usize {
        let node =
            |name: &str| self.network.nodes.iter().position(|known| known == name).expect("known node");
        let branch = Branch { part: part.into(), left: node(left), right: node(right), element };
        self.network.branches.push(branch);
        self.network.branches.len() - 1
    }

    pub fn resistor(&mut self, part: &str, left: &str, right: &str, ohm: f64) -> usize {
        self.add(part, left, right, Element::Resistor(ohm))
    }

    pub fn capacitor(&mut self, part: &str, left: &str, right: &str, farad: f64) -> usize {
        self.add(part, left, right, Element::Capacitor(ChargeLaw::Linear { capacitance: farad }))
    }

    pub fn inductor(&mut self, part: &str, left: &str, right: &str, henry: f64) -> usize {
        self.add(part, left, right, Element::Inductor(FluxLaw::Linear { inductance: henry }))
    }

    pub fn voltage(&mut self, part: &str, left: &str, right: &str, volt: f64) -> usize {
        self.add(part, left, right, Element::VoltageSource(Waveform::Constant(volt)))
    }

    pub fn see_voltage(&mut self, node: &str, bandwidth: Option<f64>) {
        let node = self.network.nodes.iter().position(|known| known == node).expect("known node");
        let signal = Signal::Linear(vec![(1.0, Term::NodeVoltage(node))]);
        self.network.probes.push(Probe { signal, bandwidth });
    }

    pub fn see_current(&mut self, branch: usize) {
        let signal = Signal::Linear(vec![(1.0, Term::BranchCurrent(branch))]);
        self.network.probes.push(Probe { signal, bandwidth: None });
    }

    /// The square of a branch's current, for its rms value.
    pub fn see_current_squared(&mut self, branch: usize) {
        let current = vec![(1.0, Term::BranchCurrent(branch))];
        self.network
            .probes
            .push(Probe { signal: Signal::Product(current.clone(), current), bandwidth: None });
    }
}

/// Keeps every stretch of every probe.
#[derive(Default)]
pub struct Recorder {
    pub stretches: Vec<(f64, f64, Vec<[f64; 3]>)>,
}

impl Observer for Recorder {
    fn restart(&mut self) {
        self.stretches.clear();
    }

    fn stretch(&mut self, stretch: &Stretch<'_>) {
        self.stretches.push((stretch.start, stretch.end, stretch.values.to_vec()));
    }
}

impl Recorder {
    /// Value of a probe at a time, on the parabola there; just before a corner.
    pub fn at(&self, probe: usize, time: f64) -> f64 {
        let index = self.stretches.partition_point(|(_, end, _)| *end < time).min(self.stretches.len() - 1);
        let (start, end, values) = &self.stretches[index];
        let [a, m, b] = values[probe];
        let x = (time - start) / (end - start);
        a + x * ((4.0 * m - 3.0 * a - b) + x * 2.0 * (a + b - 2.0 * m))
    }

    /// Least and greatest value, those where parabolas turn included.
    pub fn extremes(&self, probe: usize) -> (f64, f64) {
        let all = self.stretches.iter().flat_map(|(_, _, values)| {
            let [a, m, b] = values[probe];
            let (slope, bend) = (4.0 * m - 3.0 * a - b, 2.0 * (a + b - 2.0 * m));
            let turn = -slope / (2.0 * bend);
            let top = if turn > 0.0 && turn < 1.0 { a + turn * (slope + turn * bend) } else { a };
            [a, m, b, top]
        });
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
    }

    /// The first time in a range at which a probe has a value, where it passes it once there; by bisection.
    pub fn time_of(&self, probe: usize, value: f64, range: (f64, f64)) -> f64 {
        let (mut low, mut high) = range;
        let above = |time: f64| self.at(probe, time) > value;
        let rises = above(high);
        assert_ne!(above(low), rises, "probe {probe} does not pass {value}");
        // Each halving gains a bit: all of them.
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if above(middle) == rises { high = middle } else { low = middle }
        }
        0.5 * (low + high)
    }

    /// Fourier integral of a probe times e^(-j omega t) as real and imaginary part: Gauss-Legendre with five nodes (Abramowitz and
    /// Stegun, table 25.4) on pieces shorter than half a radian, where its error is below 1e-12 of the amplitude.
    pub fn fourier(&self, probe: usize, omega: f64) -> (f64, f64) {
        const NODES: [(f64, f64); 5] = [
            (0.0, 128.0 / 225.0),
            (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
            (-0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
            (0.906_179_845_938_664, 0.236_926_885_056_189_08),
            (-0.906_179_845_938_664, 0.236_926_885_056_189_08),
        ];
        let mut sum = (0.0, 0.0);
        for (start, end, values) in &self.stretches {
            let [a, m, b] = values[probe];
            let length = end - start;
            let pieces = (2.0 * omega * length).ceil().max(1.0);
            let half = 0.5 / pieces;
            for piece in 0..pieces as u64 {
                let middle = (piece as f64 + 0.5) / pieces;
                for (node, weight) in NODES {
                    let x = middle + half * node;
                    let value = a + x * ((4.0 * m - 3.0 * a - b) + x * 2.0 * (a + b - 2.0 * m));
                    let (sin, cos) = (omega * (start + x * length)).sin_cos();
                    sum.0 += weight * half * length * value * cos;
                    sum.1 -= weight * half * length * value * sin;
                }
            }
        }
        sum
    }

    /// Integral over time (Simpson's rule is exact on parabolas).
    pub fn integral(&self, probe: usize) -> f64 {
        let piece = |(start, end, values): &(f64, f64, Vec<[f64; 3]>)| {
            let [a, m, b] = values[probe];
            (end - start) * (a + 4.0 * m + b) / 6.0
        };
        self.stretches.iter().map(piece).sum()
    }
}

pub fn request(start: Start, span: f64, accuracy: f64, method: Method) -> Request {
    Request { start, span, accuracy, method }
}

/// Runs and records.
pub fn record(network: &Network, request: &Request) -> Recorder {
    let mut recorder = Recorder::default();
    engine::run(network, request, &mut recorder).expect("a run that works");
    recorder
}

/// Two motors that together draw `current` ampere in step at 20 kHz, with equal edges.
pub fn tracks(current: f64, duty: f64, edge: f64) -> Element {
    let drive = Drive::new(&DriveSettings {
        motors: 2,
        current: current / 2.0,
        pwm: 20e3,
        duty,
        rise: edge,
        fall: edge,
        phase: 0.0,
        stagger: 0.0,
        current_exponent: 0.0,
        ripple: 0.0,
        commutation: None,
        throttle: None,
        starts: None,
        ..DriveSettings::default()
    });
    Element::CurrentSource(Waveform::Drive(Box::new(drive)))
}
