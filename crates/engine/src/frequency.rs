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
mod resonance;
mod side_by_side;
mod slopes;
mod small_signal;

pub use bias::{Beside, Bias, Means};
pub use resonance::{MOST_STATES, Resonance, resonances};
pub use slopes::{Neighbours, Sloped, slopes};

use crate::equations::Equations;
use crate::failure::Failure;
use crate::linear::{Number, Wanted};
use nalgebra::Complex;
use network::primitive::{BranchIndex, Element, Network, NodeIndex};
use side_by_side::{LANES, Numbers, SideBySide};
use small_signal::SmallSignal;
use std::f64::consts::TAU;

/// So many frequencies are worth a plan that takes them side by side.
const WORTH_IT: usize = 3;

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
    let unknown = |node: NodeIndex| node.checked_sub(1);
    let last = paths.first().and_then(|path| unknown(path.plus).or(unknown(path.minus)));
    let mut small_signal = SmallSignal::new(&equations, bias.of(&equations)).with_last(last);
    let excitations = distinct(paths);
    let rights: Vec<_> = excitations.iter().map(|excitation| excite(&equations, *excitation)).collect();
    let which = |path: &Path| excitations.iter().position(|excitation| *excitation == path.excitation);
    let wanted: Vec<Wanted> = paths
        .iter()
        .filter_map(|path| {
            Some(Wanted { right: which(path)?, plus: unknown(path.plus), minus: unknown(path.minus) })
        })
        .collect();
    let mut curves =
        Curves { values: vec![Vec::with_capacity(frequencies.len()); paths.len()], unanswered: Vec::new() };
    let mut answers = rights.clone();
    let mut alone = |small_signal: &mut SmallSignal<'_, '_>, frequency: f64, curves: &mut Curves| {
        for (answer, right) in answers.iter_mut().zip(&rights) {
            answer.clone_from(right);
        }
        let solved = small_signal.solve(TAU * frequency, &mut answers);
        if let Err(singular) = solved {
            let place = equations.name_of(singular.column);
            curves.unanswered.push(Unanswered { frequency, place });
        }
        for (wanted, values) in wanted.iter().zip(&mut curves.values) {
            let voltage = |unknown: Option<usize>| {
                unknown.map_or(Complex::new(0.0, 0.0), |unknown| answers[wanted.right][unknown])
            };
            values.push(solved.is_ok().then(|| voltage(wanted.plus) - voltage(wanted.minus)));
        }
    };
    let mut together: Option<SideBySide> = None;
    let mut found = vec![Numbers::zero(); wanted.len()];
    let mut rest = frequencies;
    while let Some(&first) = rest.first() {
        let Some(side_by_side) = &mut together else {
            alone(&mut small_signal, first, &mut curves);
            rest = &rest[1..];
            if rest.len() >= WORTH_IT {
                together = small_signal.base().map(|base| SideBySide::new(base, &rights, &wanted));
            }
            continue;
        };
        let (group, others) = rest.split_at(rest.len().min(LANES));
        rest = others;
        // Lanes without a frequency of their own do what the last one does.
        let omegas = std::array::from_fn(|lane| TAU * group[lane.min(group.len() - 1)]);
        let answered = side_by_side.answer(omegas, &mut found);
        for (lane, &frequency) in group.iter().enumerate() {
            if answered[lane] {
                for (found, values) in found.iter().zip(&mut curves.values) {
                    values.push(Some(found.lane(lane)));
                }
            } else {
                alone(&mut small_signal, frequency, &mut curves);
            }
        }
        let unsound =
            omegas.iter().zip(answered).filter(|(omega, answered)| side_by_side.covers(**omega) && !answered);
        if 2 * unsound.count() > LANES {
            together = small_signal.base().map(|base| SideBySide::new(base, &rights, &wanted));
        }
    }
    Ok(curves)
}

fn distinct(paths: &[Path]) -> Vec<Excitation> {
    let mut excitations = Vec::new();
    for path in paths {
        if !excitations.contains(&path.excitation) {
            excitations.push(path.excitation);
        }
    }
    excitations
}

/// The right side of the equations for one unit of excitation.
fn excite(equations: &Equations<'_>, excitation: Excitation) -> Vec<Complex<f64>> {
    let mut right = vec![Complex::new(0.0, 0.0); equations.size()];
    let mut enter = |node: NodeIndex, current: f64| {
        if node > 0 {
            right[node - 1] += current;
        }
    };
    match excitation {
        Excitation::Injection { into, out_of } => {
            enter(into, 1.0);
            enter(out_of, -1.0);
        }
        Excitation::Source(branch) => match &equations.network.branches[branch].element {
            Element::CurrentSource(_) => {
                let branch = &equations.network.branches[branch];
                enter(branch.left, -1.0);
                enter(branch.right, 1.0);
            }
            _ => {
                let mut sources = equations.voltage_sources.iter();
                if let Some(k) = sources.position(|(ends, _)| ends.branch == branch) {
                    right[equations.source_current(k)] += 1.0;
                }
            }
        },
    }
    right
}
