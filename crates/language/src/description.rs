//! What a harness file says, checked: the whole file ([`Description`]) and one study point of it ([`Harness`]).
//!
//! Values in a [`Harness`] are numbers in SI units; names are plain strings. Nothing here knows an equation.

mod axis;
mod draws;
mod instance;
mod measure;
mod place;
mod response;

pub use axis::{Axis, AxisKind};
pub use draws::DrawsOfTolerances;
pub use instance::Instance;
pub use measure::Measure;
pub use place::Place;
pub use response::{Response, ResponseExpression};

use quantity::{Dimension, Quantity};
use std::collections::BTreeMap;

use crate::kind::Kind;
use crate::mistake::Mistake;
use crate::program::Program;
use std::sync::Arc;

/// A whole file, checked; cheap to clone. See [`crate::read`].
#[derive(Clone, Debug)]
pub struct Description {
    pub(crate) program: Arc<Program>,
    pub(crate) remarks: Vec<Mistake>,
    /// The point that was looked at first, worked out.
    pub(crate) first: Option<(Vec<usize>, Arc<Harness>)>,
}

/// The harness at one study point: every `let`, `set` and override applied, every value a number.
#[derive(Clone, Debug)]
pub struct Harness {
    /// The title after `harness`.
    pub title: String,
    /// Lets and the values inside fitted assemblies, in the order in which they are worked out.
    pub lets: Vec<LetValue>,
    /// Parts in the file's order, those of the chosen options and cases included.
    pub parts: Vec<Part>,
    /// Assemblies that are fitted here, in the file's order, each before those that it holds.
    pub instances: Vec<Instance>,
    /// Test points in the file's order.
    pub testpoints: Vec<Testpoint>,
    /// Named readings in the file's order.
    pub readings: Vec<Reading>,
    /// Requirements in the file's order.
    pub requirements: Vec<Requirement>,
    /// Transient runs in the file's order; never empty where a reading needs one.
    pub transients: Vec<Transient>,
    /// Frequencies in hertz at which responses are computed, as stated; never empty where there is a response.
    pub frequencies: Vec<f64>,
    /// Responses over frequency in the file's order.
    pub responses: Vec<Response>,
}

/// A part between two nodes.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: Kind,
    /// Node on the left of the arrow.
    pub left: String,
    /// Node on the right of the arrow.
    pub right: String,
    /// Nodes on the left and the right of the second arrow, where the kind has two.
    pub second: Option<(String, String)>,
    /// The properties that the file states, by name. Defaults are not filled in: they are physics.
    pub properties: BTreeMap<String, Value>,
}

/// A property's value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number in SI units, with its tolerance where the file gives one.
    Number(Quantity, Option<Tolerance>),
    /// `A .. B`.
    Range(Quantity, Quantity),
    /// `[x: y, …]`, for a throttle or a source's points.
    Points(Vec<(Quantity, Quantity)>),
    /// A word such as `li_ion`.
    Word(String),
    /// A quoted text.
    Text(String),
}

/// A `let`, or inside a fitted assembly a parameter or a `let`, at one study point.
///
/// Its tolerance stays with it: a property that is worked out from it has none unless one is stated there, since one draw holds
/// for all its users. [`Description::drawn`] works a point out from other values than the nominal ones.
#[derive(Clone, Debug, PartialEq)]
pub struct LetValue {
    /// Its name; `INSTANCE.NAME` inside a fitted assembly.
    pub name: String,
    /// Its nominal value, settings applied.
    pub value: Quantity,
    /// Its tolerance, where one is stated.
    pub tolerance: Option<Tolerance>,
}

/// How far a value may lie from its nominal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tolerance {
    /// As a fraction of the value.
    Relative(f64),
    /// In the value's own unit (SI).
    Absolute(f64),
    /// Not known but for its ends, `unknown A .. B`, the lower first, in the value's own unit (SI).
    Between(f64, f64),
}

impl Tolerance {
    /// The value at `departure` from the nominal, which goes from -1 at the lower end to 1 at the upper one.
    ///
    /// Between ends of one sign an unknown value moves in equal ratios, since what nobody has measured is known to a factor; else in
    /// equal steps.
    #[must_use]
    pub fn departed(self, nominal: f64, departure: f64) -> f64 {
        match self {
            Self::Relative(share) => nominal * (1.0 + share * departure),
            Self::Absolute(by) => nominal + by * departure,
            Self::Between(low, high) if low * high > 0.0 => {
                low * (high / low).powf(f64::midpoint(1.0, departure))
            }
            Self::Between(low, high) => f64::midpoint(low, high) + (high - low) / 2.0 * departure,
        }
    }

    /// What a nominal run takes where only the ends are known: their middle, by ratio where they have one sign.
    pub(crate) fn middle(self) -> f64 {
        self.departed(f64::NAN, 0.0)
    }
}

impl Part {
    /// The part's pairs of nodes, left and right of each arrow.
    pub fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        let second = self.second.iter().map(|(left, right)| (left.as_str(), right.as_str()));
        std::iter::once((self.left.as_str(), self.right.as_str())).chain(second)
    }

    /// Whether one of the part's arrows begins or ends at a node.
    #[must_use]
    pub fn touches(&self, node: &str) -> bool {
        self.pairs().any(|(left, right)| left == node || right == node)
    }

    /// The number given for `property`, in SI units.
    #[must_use]
    pub fn number(&self, property: &str) -> Option<f64> {
        match self.properties.get(property) {
            Some(Value::Number(quantity, _)) => Some(quantity.value),
            _ => None,
        }
    }

    /// The word given for `property`.
    #[must_use]
    pub fn word(&self, property: &str) -> Option<&str> {
        match self.properties.get(property) {
            Some(Value::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// The range given for `property`, in SI units.
    #[must_use]
    pub fn range(&self, property: &str) -> Option<(f64, f64)> {
        match self.properties.get(property) {
            Some(Value::Range(low, high)) => Some((low.value, high.value)),
            _ => None,
        }
    }
}

/// A place where the waveform is looked at.
#[derive(Clone, Debug)]
pub struct Testpoint {
    /// Its name.
    pub name: String,
    /// What is looked at.
    pub signal: Signal,
    /// Corner frequency in hertz of the single-pole low-pass before the screen.
    pub bandwidth: Option<f64>,
}

impl Testpoint {
    /// The dimension of what is looked at.
    #[must_use]
    pub fn dimension(&self) -> Dimension {
        match self.signal {
            Signal::NodeVoltage(..) | Signal::PartVoltage(_) | Signal::Picture(_) => Dimension::VOLTAGE,
            Signal::PartCurrent(_) => Dimension::CURRENT,
            Signal::PartPower(_) => Dimension::POWER,
            Signal::PartFlux(_) => Dimension::FLUX,
        }
    }
}

/// What a test point looks at; signs as the language defines them.
#[derive(Clone, Debug, PartialEq)]
pub enum Signal {
    /// Voltage of the first node against the second (default `gnd`).
    NodeVoltage(String, Option<String>),
    /// Voltage across a part.
    PartVoltage(String),
    /// Current through a part.
    PartCurrent(String),
    /// Power absorbed (delivered, for parts that push) by a part.
    PartPower(String),
    /// Supply ripple that is left behind a camera's rejection.
    Picture(String),
    /// Flux linkage of a coil.
    PartFlux(String),
}

/// A named reading.
#[derive(Clone, Debug)]
pub struct Reading {
    /// Its name.
    pub name: String,
    /// What to compute.
    pub expression: Expression,
    /// Dimension of the result.
    pub dimension: Dimension,
    /// Name of the transient it reads; `None` is the first.
    pub transient: Option<String>,
    /// Window of time in seconds; `None` is the whole span (one period where steady).
    pub window: Option<(f64, f64)>,
}

/// Arithmetic over measures. Dimensions have been checked.
#[derive(Clone, Debug)]
pub enum Expression {
    /// A constant in SI units.
    Number(Quantity),
    /// Another reading by name.
    Reading(String),
    /// Something measured on a waveform or a part.
    Measure(Measure),
    /// `-x`.
    Negate(Box<Expression>),
    /// `x + y` and so on.
    Binary(BinaryOperator, Box<Expression>, Box<Expression>),
    /// `min(x, y)`, `sqrt(x)` and so on.
    Call(Function, Vec<Expression>),
}

impl Expression {
    /// Adds every number, reading and measure in it.
    pub(crate) fn leaves<'e>(&'e self, leaves: &mut Vec<&'e Self>) {
        match self {
            Self::Number(_) | Self::Reading(_) | Self::Measure(_) => leaves.push(self),
            Self::Negate(inner) => inner.leaves(leaves),
            Self::Binary(_, left, right) => [left, right].into_iter().for_each(|side| side.leaves(leaves)),
            Self::Call(_, arguments) => arguments.iter().for_each(|argument| argument.leaves(leaves)),
        }
    }
}

/// Operators of arithmetic.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum BinaryOperator {
    Add,
    Subtract,
    Multiply,
    Divide,
    Power,
}

/// Functions of arithmetic.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Function {
    Min,
    Max,
    Sqrt,
    Abs,
    Sin,
    Cos,
    Exp,
    Ln,
    Log10,
}

/// A limit on a reading.
#[derive(Clone, Debug)]
pub struct Requirement {
    /// As written, white space folded: `noise < 60 mV`.
    pub text: String,
    /// Why it matters, if the file says so.
    pub why: Option<String>,
    /// The left side, read like a reading.
    pub reading: Reading,
    /// How both sides compare.
    pub comparison: Comparison,
    /// The right side in SI units.
    pub limit: Quantity,
}

/// A comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Comparison {
    Less,
    LessOrEqual,
    Greater,
    GreaterOrEqual,
}

impl Comparison {
    /// Whether `left` compares so with `right`.
    #[must_use]
    pub fn holds(self, left: f64, right: f64) -> bool {
        match self {
            Self::Less => left < right,
            Self::LessOrEqual => left <= right,
            Self::Greater => left > right,
            Self::GreaterOrEqual => left >= right,
        }
    }
}

/// One run in time.
#[derive(Clone, Debug)]
pub struct Transient {
    /// Its name, if it has one.
    pub name: Option<String>,
    /// Span in seconds.
    pub span: f64,
    /// Where it starts.
    pub start: Start,
    /// Spacing of recorded points in seconds, if given.
    pub record: Option<f64>,
}

/// Where a transient starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Start {
    /// The periodic steady state.
    Steady,
    /// The DC operating point with every drive and generator drawing nothing.
    Operating,
    /// Everything discharged; batteries step at t = 0.
    Rest,
}
