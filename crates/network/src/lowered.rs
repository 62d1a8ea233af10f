//! What the lowering of one study point gives: the network, and how parts and test points are found in it.

use crate::primitive::{BranchIndex, GND, Network, NodeIndex, Signal, Term};
use crate::waveform::period::Period;
use language::Kind;
pub use parts::Fact;
pub use parts::battery::Limits as PackLimits;
use parts::capacitor::life::Life;
use parts::flux_law::FluxLaw;

/// A weighted sum of node voltages and branch currents.
pub type Sum = Vec<(f64, Term)>;

/// One study point as a network, with what is needed to read results in the user's terms.
#[derive(Clone, Debug)]
pub struct Lowered {
    /// The network; its `probes` are empty, the study adds what it wants to see.
    pub network: Network,
    /// One entry a part, in the harness' order.
    pub parts: Vec<LoweredPart>,
    /// Defaults and simplifications that were taken, as sentences: `eye: input capacitance 10 uF with 0.2 ohm`.
    pub assumptions: Vec<String>,
    /// Remarks on values outside a model's range or on models that had to guess.
    pub warnings: Vec<Warning>,
    /// Periods of all periodic sources that are on.
    pub periods: Vec<Period>,
    /// Whether a source is neither constant nor periodic, so that no steady state exists.
    pub aperiodic: Option<String>,
}

/// Something the user should know.
#[derive(Clone, Debug, PartialEq)]
pub struct Warning {
    /// Stable code, words joined by `_`.
    pub code: &'static str,
    /// The part (or reading, or requirement) that it speaks of; empty where it speaks of the whole harness.
    pub about: String,
    /// How bad it is, greater is worse; comparable among warnings of one code, 0 where one is as bad as the other.
    pub weight: f64,
    /// One or two plain sentences: what, how much, what to try.
    pub text: String,
}

/// Where a part is found in the network; signs as the language defines them.
#[derive(Clone, Debug)]
pub struct LoweredPart {
    /// Its name in the harness.
    pub name: String,
    /// What it is.
    pub kind: Kind,
    /// Node left of the arrow.
    pub left: NodeIndex,
    /// Node right of the arrow.
    pub right: NodeIndex,
    /// Its voltage.
    pub voltage: Sum,
    /// Its current; absorbed for parts that draw, delivered for parts that push.
    pub current: Sum,
    /// What magnetises the core of a coil, a bead or a coupled pair.
    pub inductor: Option<Magnetised>,
    /// The source of a part that drives the network. One unit of it is one ampere drawn by a drive, or one volt pushed by a
    /// battery, supply or generator.
    pub source: Option<BranchIndex>,
    /// Voltage across a capacitor's own charge (between its inner terminals), for its rating; that of a battery without what the
    /// inductance of its leads takes, for its cells.
    pub charge_voltage: Option<Sum>,
    /// Voltage and current of further ports whose power counts with the part's: what a regulator takes to `gnd` for itself.
    pub also: Vec<[Sum; 2]>,
    /// The ripple that is left behind a camera's rejection, as a voltage.
    pub picture: Option<Sum>,
    /// What its values come to, such as the resistance of a wire given by length and size; its mass stands in `mass`.
    pub facts: Vec<Fact>,
    /// Its mass in kilogram, where it is stated or follows from its making.
    pub mass: Option<f64>,
    /// What it withstands and needs.
    pub limits: Limits,
}

/// A core as a part's readings see it.
#[derive(Clone, Debug, PartialEq)]
pub struct Magnetised {
    /// The inductor branch whose flux linkage is the part's.
    pub branch: BranchIndex,
    /// The current that magnetises the core: the branch's own, or the sum over all windings in terms of the first one's turns.
    pub current: Sum,
    /// Flux linkage by that current.
    pub law: FluxLaw,
    /// Flux linkage a flux density of the core, turns times area, in square metre, where the core is known.
    pub linked_area: Option<f64>,
}

impl Magnetised {
    /// A core with a single winding.
    #[must_use]
    pub fn alone(branch: BranchIndex, law: FluxLaw) -> Self {
        Self { branch, current: vec![(1.0, Term::BranchCurrent(branch))], law, linked_area: None }
    }

    /// Share of the inductance that is left at a current of the core in ampere.
    #[must_use]
    pub fn inductance_left(&self, current: f64) -> f64 {
        self.law.inductance(current) / self.law.initial_inductance()
    }
}

/// Limits that the harness states for a part.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Limits {
    /// Greatest voltage of a capacitor in volt.
    pub rated_voltage: Option<f64>,
    /// Greatest voltage in volt that a capacitor withstands for seconds, where that is more.
    pub surge_voltage: Option<f64>,
    /// Whether a capacitor has a plus and a minus.
    pub polarised: bool,
    /// Greatest rms ripple current of a capacitor in ampere.
    pub ripple_rating: Option<f64>,
    /// Series resistance of a capacitor in ohm, for its heat.
    pub esr: f64,
    /// How warm a capacitor gets and how long it lives.
    pub life: Life,
    /// Last voltage in volt at which a capacitor's value is known, where it is given by a table.
    pub last_of_table: Option<f64>,
    /// What a battery and its cells withstand.
    pub pack: Option<PackLimits>,
    /// Least and greatest supply voltage of a camera in volt.
    pub supply_range: Option<(f64, f64)>,
    /// Whether the part draws a constant current (or power) with no capacitance across it.
    pub bare_constant_load: bool,
    /// PWM frequency of a drive in hertz, when it switches (duty neither 0 nor 100 %).
    pub pwm: Option<f64>,
    /// Greatest rms current of a fuse or connector in ampere.
    pub rated_current: Option<f64>,
    /// Greatest rms current of a wire in ampere, by a rule of thumb.
    pub most_current: Option<f64>,
    /// Greatest voltage that a fuse interrupts, in volt.
    pub interrupted_voltage: Option<f64>,
    /// Voltage in volt that a clamp bears for good, and its greatest peak current in ampere.
    pub clamped: Option<(f64, f64)>,
    /// Commutation frequency of a drive in hertz, where it dips the current.
    pub commutation: Option<f64>,
}

impl Lowered {
    /// The part of that name.
    #[must_use]
    pub fn part(&self, name: &str) -> Option<&LoweredPart> {
        self.parts.iter().find(|part| part.name == name)
    }

    /// The node of that name.
    #[must_use]
    pub fn node(&self, name: &str) -> Option<NodeIndex> {
        self.network.nodes.iter().position(|node| node == name)
    }

    /// What a test point looks at, in the network's terms; `None` where it names a part or node that is absent, or the
    /// flux of a part without a core.
    #[must_use]
    pub fn signal(&self, signal: &language::description::Signal) -> Option<Signal> {
        use language::description::Signal as Asked;
        match signal {
            Asked::NodeVoltage(plus, minus) => {
                let minus = minus.as_deref().map_or(Some(GND), |minus| self.node(minus))?;
                Some(Signal::Linear(voltage_between(self.node(plus)?, minus)))
            }
            Asked::PartVoltage(part) => Some(Signal::Linear(self.part(part)?.voltage.clone())),
            Asked::PartCurrent(part) => Some(Signal::Linear(self.part(part)?.current.clone())),
            Asked::PartPower(part) => {
                let part = self.part(part)?;
                let own = [part.voltage.clone(), part.current.clone()];
                if part.also.is_empty() {
                    let [voltage, current] = own;
                    return Some(Signal::Product(voltage, current));
                }
                Some(Signal::Products(std::iter::once(own).chain(part.also.iter().cloned()).collect()))
            }
            Asked::Picture(part) => Some(Signal::Linear(self.part(part)?.picture.clone()?)),
            Asked::PartFlux(part) => Some(Signal::Flux(1.0, self.part(part)?.inductor.as_ref()?.branch)),
        }
    }
}

/// Voltage of `plus` against `minus`; the reference node has none and is left out.
pub(crate) fn voltage_between(plus: NodeIndex, minus: NodeIndex) -> Sum {
    if plus == minus {
        return Vec::new();
    }
    [(1.0, plus), (-1.0, minus)]
        .into_iter()
        .filter(|&(_, node)| node != GND)
        .map(|(sign, node)| (sign, Term::NodeVoltage(node)))
        .collect()
}
