//! The camera's feed of a crawler in bare primitives: pack and lead, bulk capacitor, drives that draw pulses of 20 kHz, coil with winding capacitance,
//! capacitor, camera. 14 unknowns, 7 states.

pub(crate) mod bare;

use network::primitive::{Branch, ChargeLaw, Element, FluxLaw, Network, Probe, Signal, Term};
use network::waveform::{Pulse, PulseSettings, Waveform};

/// Pack, feed, coil, capacitors and what is drawn, in SI units.
pub(crate) const EMF: f64 = 14.8;
pub(crate) const MAIN: (f64, f64) = (0.09, 250e-9);
pub(crate) const BULK: (f64, f64) = (0.04, 220e-6);
pub(crate) const FEED: (f64, f64) = (0.034, 400e-9);
pub(crate) const CHOKE: (f64, f64, f64) = (0.12, 330e-6, 15e-12);
pub(crate) const STORE: (f64, f64) = (0.04, 330e-6);
pub(crate) const EYE: (f64, f64, f64) = (0.2, 10e-6, 0.11);
/// Current in ampere, period, width and edges in seconds of what the drives draw.
pub(crate) const DRAWN: (f64, f64, f64, f64) = (9.0, 50e-6, 30e-6, 200e-9);
/// How the coil saturates: henry left, weber that the core adds at most.
pub(crate) const SATURATION: (f64, f64) = (9e-6, 115e-6);

/// Inductance of a capacitor's leads in henry.
const LEAD: f64 = 12e-9;

/// Frequency in hertz at which even the far end of a ladder of 100 000 sections still answers. At a kilohertz nothing is left after 18 000: with
/// numbers too small to be normal a processor takes twice its time.
pub(crate) const LOW: f64 = 1e-3;

/// What the drives draw.
pub(crate) fn drawn() -> Waveform {
    let (level, period, width, edge) = DRAWN;
    let settings = PulseSettings { level, width, period, rise: edge, fall: edge, start: None };
    Waveform::Pulse(Box::new(Pulse::new(settings)))
}

/// The feed with a coil whose inductance stands.
pub(crate) fn crawler() -> Network {
    feed(FluxLaw::Linear { inductance: CHOKE.1 }, CHOKE, STORE)
}

/// The feed with an inductance of its leads in series with each capacitor to `gnd`: 20 unknowns, 10 states.
pub(crate) fn crawler_with_leads() -> Network {
    let mut network = crawler();
    for index in 0..network.branches.len() {
        let branch = &network.branches[index];
        if matches!(branch.element, Element::Capacitor(_)) && branch.right == 0 {
            let node = network.nodes.len();
            let element = Element::Inductor(FluxLaw::Linear { inductance: LEAD });
            network.branches.push(Branch { part: "lead".into(), left: branch.left, right: node, element });
            network.branches[index].left = node;
            network.nodes.push(format!("lead{node}"));
        }
    }
    network
}

/// So many feeds of one drawing, no two with the same coil and capacitor: inductance, winding capacitance, capacitance and ESR each within a fifth
/// of their values, spread evenly by multiples of irrational numbers.
pub(crate) fn crawlers(count: usize) -> Vec<Network> {
    let variant = |index: usize| {
        let near = |root: f64| 0.8 + 0.4 * (index as f64 * root.sqrt()).fract();
        let choke = (CHOKE.0, CHOKE.1 * near(2.0), CHOKE.2 * near(3.0));
        let store = (STORE.0 * near(5.0), STORE.1 * near(7.0));
        feed(FluxLaw::Linear { inductance: choke.1 }, choke, store)
    };
    (0..count).map(variant).collect()
}

/// The feed with a coil that saturates.
pub(crate) fn saturable_crawler() -> Network {
    feed(FluxLaw::tanh(CHOKE.1, SATURATION.0, SATURATION.1), CHOKE, STORE)
}

fn feed(law: FluxLaw, choke: (f64, f64, f64), store: (f64, f64)) -> Network {
    let names = ["gnd", "emf", "main", "bus", "bulk", "feed", "tap", "choke", "cam", "store", "eye"];
    let mut network = Network { nodes: names.map(String::from).to_vec(), ..Network::default() };
    let mut add = |left: usize, right: usize, element: Element| {
        network.branches.push(Branch { part: "crawler".into(), left, right, element });
    };
    let inductor = |inductance| Element::Inductor(FluxLaw::Linear { inductance });
    let capacitor = |capacitance| Element::Capacitor(ChargeLaw::Linear { capacitance });
    add(1, 0, Element::VoltageSource(Waveform::Constant(EMF)));
    add(1, 2, Element::Resistor(MAIN.0));
    add(2, 3, inductor(MAIN.1));
    add(3, 4, Element::Resistor(BULK.0));
    add(4, 0, capacitor(BULK.1));
    add(3, 0, Element::CurrentSource(drawn()));
    add(3, 5, Element::Resistor(FEED.0));
    add(5, 6, inductor(FEED.1));
    add(6, 7, Element::Resistor(choke.0));
    add(7, 8, Element::Inductor(law));
    add(6, 8, capacitor(choke.2));
    add(8, 9, Element::Resistor(store.0));
    add(9, 0, capacitor(store.1));
    add(8, 10, Element::Resistor(EYE.0));
    add(10, 0, capacitor(EYE.1));
    add(8, 0, Element::CurrentSource(Waveform::Constant(EYE.2)));
    let rail = Signal::Linear(vec![(1.0, Term::NodeVoltage(8))]);
    network.probes.push(Probe { signal: rail, bandwidth: None });
    network
}

/// Sections of 0.5 ohm and 1 uH in series with 1 uF to `gnd`, fed with 1 V at one end and open at the other, where they are looked at: three
/// unknowns a section.
pub(crate) fn ladder(sections: usize) -> Network {
    chain(sections, None)
}

/// The same with 20 mohm in series with each capacitor: four unknowns a section.
pub(crate) fn lossy_ladder(sections: usize) -> Network {
    chain(sections, Some(0.02))
}

fn chain(sections: usize, loss: Option<f64>) -> Network {
    let mut network = Network { nodes: vec!["gnd".into(), "in".into()], ..Network::default() };
    let mut add = |left: usize, right: usize, element: Element| {
        network.branches.push(Branch { part: "ladder".into(), left, right, element });
    };
    add(1, 0, Element::VoltageSource(Waveform::Constant(1.0)));
    let (mut left, mut nodes) = (1, 1);
    for _ in 0..sections {
        let (middle, shunt) = (nodes + 1, nodes + 2);
        let right = if loss.is_some() { nodes + 3 } else { shunt };
        add(left, middle, Element::Resistor(0.5));
        add(middle, right, Element::Inductor(FluxLaw::Linear { inductance: 1e-6 }));
        loss.into_iter().for_each(|loss| add(right, shunt, Element::Resistor(loss)));
        add(shunt, 0, Element::Capacitor(ChargeLaw::Linear { capacitance: 1e-6 }));
        (left, nodes) = (right, right);
    }
    network.nodes.extend((1..nodes).map(|k| format!("n{k}")));
    let end = Signal::Linear(vec![(1.0, Term::NodeVoltage(nodes))]);
    network.probes.push(Probe { signal: end, bandwidth: None });
    network
}
