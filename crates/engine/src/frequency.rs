//! The road through frequency: how a network answers a small sine, once everything has settled.
//!
//! The equations d/dt q(x) + f(x) + s = 0 are linearised at a [`Bias`] and solved for x e^(j omega t): (G + j omega C) x = b,
//! with G = df/dx, C = dq/dx. One complex factorization serves each frequency; the pattern is analysed once. The poles of
//! the same equations are the [`resonances`].
//!
//! The bias is the mean of the periodic steady state where laws bend and there is one, and where the network rests with every
//! source at its mean otherwise. The two differ where a ripple drives a bent law: the mean current of a coil that saturates at
//! the peaks is not the one at rest, where a load follows the voltage. What a bent law does to a large ripple around that mean
//! is not seen here: a coil that saturates at the peaks counts with its inductance at the mean current.

mod bias;
mod carriers;
mod resonance;
mod side_by_side;
mod slopes;
mod small_signal;
mod spread;
mod sweep;

pub use bias::{Beside, Bias, Means};
pub use resonance::{MOST_STATES, Resonance, resonances};
pub use slopes::{Neighbours, Sloped, slopes};

use crate::equations::Equations;
use crate::failure::Failure;
use nalgebra::Complex;
use network::primitive::{BranchIndex, Network, NodeIndex};
use sweep::Sweep;

/// What a network is shaken with. Everything else stands still: other voltage sources are shorts, other current sources open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Excitation {
    /// One unit of a source's branch: 1 A through a current source from left to right (drawn, where it stands for a drive), 1 V
    /// of a voltage source.
    Source(BranchIndex),
    /// 1 A from outside into a node, taken out of another.
    Injection {
        /// Node that the current enters.
        into: NodeIndex,
        /// Node that it leaves.
        out_of: NodeIndex,
    },
}

/// One response that is asked for: the voltage of `plus` against `minus` for one unit of excitation.
///
/// It is in ohm for a current source or an injection, in volt per volt for a voltage source. With an injection into
/// the same two nodes it is the impedance between them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Path {
    /// What is shaken.
    pub excitation: Excitation,
    /// Node whose voltage is looked at.
    pub plus: NodeIndex,
    /// Node against which it counts.
    pub minus: NodeIndex,
}

impl Path {
    /// The impedance between two nodes: 1 A into the first and out of the second.
    #[must_use]
    pub fn impedance(plus: NodeIndex, minus: NodeIndex) -> Self {
        Self { excitation: Excitation::Injection { into: plus, out_of: minus }, plus, minus }
    }

    /// From a source to the voltage of a node against `minus`.
    #[must_use]
    pub fn transfer(source: BranchIndex, plus: NodeIndex, minus: NodeIndex) -> Self {
        Self { excitation: Excitation::Source(source), plus, minus }
    }
}

/// A frequency at which the network has no answer: it resonates without loss, or nothing fixes its state.
#[derive(Clone, Debug, PartialEq)]
pub struct Unanswered {
    /// Frequency in hertz.
    pub frequency: f64,
    /// Node or part whose equation depends on the others there.
    pub place: String,
}

/// Responses over frequency.
#[derive(Clone, Debug, PartialEq)]
pub struct Curves {
    /// For each path one value a frequency, as complex amplitude e^(j omega t); `None` where there is no answer.
    pub values: Vec<Vec<Option<Complex<f64>>>>,
    /// The frequencies without answer.
    pub unanswered: Vec<Unanswered>,
}

/// Computes responses around a bias of the same network at frequencies in hertz (0 is allowed).
///
/// # Errors
/// [`Failure`] of the drawing ([`Failure::FloatingNode`], [`Failure::SourceLoop`], [`Failure::OnlyCurrents`]).
pub fn frequency_response(
    network: &Network,
    bias: &Bias,
    paths: &[Path],
    frequencies: &[f64],
) -> Result<Curves, Failure> {
    let equations = Equations::new(network)?;
    Ok(Sweep::new(&equations, bias.of(&equations), paths).answer(frequencies))
}
