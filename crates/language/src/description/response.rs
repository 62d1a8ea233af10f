//! Responses over frequency: what a harness asks for, beside its runs in time.

use super::BinaryOperator;
use quantity::{Dimension, Quantity};

/// A curve over frequency that the harness asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Response {
    /// Its name.
    pub name: String,
    /// What to compute.
    pub expression: ResponseExpression,
    /// Dimension of the result.
    pub dimension: Dimension,
}

/// Arithmetic over complex amplitudes. Dimensions have been checked; every expression holds at least one curve.
#[derive(Clone, Debug, PartialEq)]
pub enum ResponseExpression {
    /// A constant in SI units.
    Number(Quantity),
    /// A response that stands further up, by name.
    Response(String),
    /// Voltage of a node against another (default `gnd`) for one ampere drawn by a drive, or one volt of another source.
    Transfer {
        /// The node.
        plus: String,
        /// The node against which it counts.
        minus: Option<String>,
        /// Name of the source.
        source: String,
    },
    /// Voltage of a node against another (default `gnd`) for one ampere from outside into the first and out of the second.
    Impedance {
        /// The first node.
        plus: String,
        /// The second node.
        minus: Option<String>,
    },
    /// Voltage of a load without an instance of an assembly between it and its source, by the voltage with it.
    InsertionLoss {
        /// Name of the instance; it may be absent here.
        instance: String,
        /// Resistance of the source in ohm.
        source: f64,
        /// Resistance of the load in ohm.
        load: f64,
    },
    /// `x / y` and so on; never a power.
    Binary(BinaryOperator, Box<ResponseExpression>, Box<ResponseExpression>),
}
