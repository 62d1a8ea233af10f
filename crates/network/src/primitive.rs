//! Nodes and primitive branches: all that the engine knows of a harness.
//!
//! Sign convention of every branch: voltage is the left node's minus the right node's, current flows from left to
//! right through the branch. A voltage source imposes that voltage, a current source that current.

use crate::waveform::Waveform;
pub use parts::{
    charge_law::ChargeLaw,
    current_law::{CurrentLaw, Straight},
    flux_law::FluxLaw,
    flux_table::FluxTable,
    junction::Junction,
    pass::Pass,
    saturation_curve::SaturationCurve,
};

/// Index of a node; 0 is `gnd`.
pub type NodeIndex = usize;
/// Index of a branch.
pub type BranchIndex = usize;

/// The reference node.
pub const GND: NodeIndex = 0;

/// A network of primitive branches, and what to look at.
#[derive(Clone, Debug, Default)]
pub struct Network {
    /// Names of the nodes for messages; `nodes[0]` is `gnd`. Nodes inside a part are named `PART.place`.
    pub nodes: Vec<String>,
    /// The branches.
    pub branches: Vec<Branch>,
    /// Cores that several inductors share.
    pub cores: Vec<Core>,
    /// What to look at.
    pub probes: Vec<Probe>,
}

/// A core that couples inductor branches. Its flux follows from the sum of all their ampere-turns, and each winding links it
/// as often as it has turns: `flux of winding k += n_k law(sum of n_j i_j)`. What a branch's own law says is its leakage.
#[derive(Clone, Debug)]
pub struct Core {
    /// Name of the part it belongs to, for messages.
    pub part: String,
    /// Inductor branches with their turns, relative to those that `law` is meant for; negative where a winding runs the other way.
    pub windings: Vec<(BranchIndex, f64)>,
    /// Flux linkage of one turn by the sum of currents times turns.
    pub law: FluxLaw,
}

/// One primitive branch.
#[derive(Clone, Debug)]
pub struct Branch {
    /// Name of the part it belongs to, for messages.
    pub part: String,
    /// Left node.
    pub left: NodeIndex,
    /// Right node.
    pub right: NodeIndex,
    /// Its law.
    pub element: Element,
}

/// The law of a branch.
#[derive(Clone, Debug)]
pub enum Element {
    /// A resistance in ohm, greater than 0.
    Resistor(f64),
    /// A capacitor: charge as a function of voltage.
    Capacitor(ChargeLaw),
    /// An inductor: flux linkage as a function of current.
    Inductor(FluxLaw),
    /// A load: current as a function of voltage.
    Load(CurrentLaw),
    /// Current as a function of the voltage between two other nodes. A resistor must lie between the branch's own nodes.
    Controlled {
        /// The law.
        law: CurrentLaw,
        /// Node whose voltage controls …
        plus: NodeIndex,
        /// … against this one.
        minus: NodeIndex,
    },
    /// A switch that time moves.
    Switch {
        /// Conductance in siemens where it is closed, above 0.
        closed: f64,
        /// Conductance in siemens where it is open, above 0.
        open: f64,
        /// Closed while this is above 0.5; it jumps between 0 and 1.
        control: Waveform,
    },
    /// A source of voltage in volt (a constant 0 V is a short).
    VoltageSource(Waveform),
    /// A source of current in ampere.
    CurrentSource(Waveform),
}

/// Something to look at while time runs.
#[derive(Clone, Debug)]
pub struct Probe {
    /// What is looked at.
    pub signal: Signal,
    /// Corner frequency in hertz of a single-pole low-pass in front of it.
    pub bandwidth: Option<f64>,
}

/// A signal made of node voltages and branch currents.
#[derive(Clone, Debug)]
pub enum Signal {
    /// A weighted sum.
    Linear(Vec<(f64, Term)>),
    /// The product of two weighted sums (a power).
    Product(Vec<(f64, Term)>, Vec<(f64, Term)>),
    /// The sum of products of two weighted sums each (the power of a part with several ports).
    Products(Vec<[Vec<(f64, Term)>; 2]>),
    /// The flux linkage of an inductor branch in weber, times the sign.
    Flux(f64, BranchIndex),
}

/// A basic quantity of the network.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Term {
    /// Voltage of a node against `gnd`.
    NodeVoltage(NodeIndex),
    /// Current of a branch, left to right.
    BranchCurrent(BranchIndex),
}
