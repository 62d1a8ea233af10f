//! The resonances of a network: pairs of complex poles of its equations around a bias.
//!
//! Left alone, the independent inductor currents and capacitor voltages obey y' = A y. A pair p, p* of complex eigenvalues of
//! A swings at Im p and dies away with Re p; a swing of one coil and one capacitor obeys s^2 + s w/Q + w^2 = 0, of which
//! w = |p| and Q = |p| / (2 |Re p|) (any textbook of filters).

use super::Bias;
use crate::equations::Equations;
use crate::exact::{Reduced, energy_scale};
use crate::failure::Failure;
use crate::probes::Probes;
use crate::snapshot::{Line, Snapshot, State};
use nalgebra::{Complex, DMatrix, DVector};
use network::primitive::{BranchIndex, Network};
use std::f64::consts::TAU;

/// Most inductors and capacitors of a network whose resonances are sought: the cost grows with their number cubed.
pub const MOST_STATES: usize = 150;
/// An eigenvalue whose imaginary part is this small beside its magnitude counts as real.
const REAL: f64 = 1e-9;
/// Eigenvalues err by rounding of the fastest one: what is below this fraction of it is nothing.
const ROUNDING: f64 = 1e-13;
/// Share of a mode's energy from which on a part is named.
const NAMED: f64 = 0.1;

/// A mode that swings.
#[derive(Clone, Debug, PartialEq)]
pub struct Resonance {
    /// Natural frequency |pole| / 2 pi in hertz.
    pub frequency: f64,
    /// Quality |pole| / (2 |Re pole|): above 0.5, and infinite without loss.
    pub quality: f64,
    /// Parts that hold at least a tenth of the mode's energy, in the order of the network.
    pub parts: Vec<String>,
    /// The pole above the real axis, in rad/s; one with a positive real part grows by itself.
    pub pole: Complex<f64>,
    /// 1 / (|pole| C) in ohm with the capacitance that holds most of the mode's energy: the root of L/C where one coil and
    /// one capacitor make the mode.
    pub impedance: Option<f64>,
    /// The branch of that capacitance.
    pub capacitor: Option<BranchIndex>,
}

/// All resonances by rising frequency; nothing beyond [`MOST_STATES`] inductors and capacitors.
///
/// # Errors
/// [`Failure`] of the drawing, or where the network leaves a current or voltage free.
pub fn resonances(network: &Network, bias: &Bias) -> Result<Vec<Resonance>, Failure> {
    let equations = Equations::new(network)?;
    if equations.states() > MOST_STATES {
        return Ok(Vec::new());
    }
    let linear = bias.of(&equations);
    let line = |conductance: &f64| Line { conductance: *conductance, offset: 0.0 };
    let lines = linear.conductances.iter().map(line).collect();
    let snapshot = Snapshot::with_slopes(&equations, lines, linear.storage)?;
    let reduced = Reduced::new(&snapshot, &Probes::new(&equations), energy_scale(&snapshot), &[]);
    if reduced.a.is_empty() {
        return Ok(Vec::new());
    }
    let poles = reduced.a.complex_eigenvalues();
    let fastest = poles.iter().map(|pole| pole.norm()).fold(0.0, f64::max);
    let swings = |pole: &&Complex<f64>| pole.im > REAL * pole.norm() && pole.norm() > ROUNDING * fastest;
    let mut found: Vec<Resonance> =
        poles.iter().filter(swings).map(|pole| resonance(&snapshot, &reduced, *pole)).collect();
    found.sort_by(|one, other| one.frequency.total_cmp(&other.frequency));
    Ok(found)
}

fn resonance(snapshot: &Snapshot<'_, '_>, reduced: &Reduced, pole: Complex<f64>) -> Resonance {
    let energies = energies(snapshot, reduced, &shape(&reduced.a, pole));
    let whole: f64 = energies.iter().map(|(_, _, energy)| energy).sum();
    let branches = &snapshot.equations.network.branches;
    let mut shares: Vec<(&str, BranchIndex, f64)> = Vec::new();
    for (branch, _, energy) in &energies {
        let part = branches[*branch].part.as_str();
        match shares.iter_mut().find(|(known, ..)| *known == part) {
            Some((_, first, share)) => (*first, *share) = (*branch.min(first), *share + energy),
            None => shares.push((part, *branch, *energy)),
        }
    }
    shares.sort_by_key(|(_, branch, _)| *branch);
    let named = shares.iter().filter(|(.., share)| *share >= NAMED * whole);
    let capacitors =
        energies.iter().filter_map(|(branch, farad, energy)| Some((*branch, (*farad)?, *energy)));
    let largest = capacitors.max_by(|one, other| one.2.total_cmp(&other.2));
    Resonance {
        frequency: pole.norm() / TAU,
        quality: pole.norm() / (2.0 * pole.re.abs()),
        parts: named.map(|(part, ..)| (*part).to_owned()).collect(),
        pole,
        impedance: largest.map(|(_, farad, _)| 1.0 / (pole.norm() * farad)),
        capacitor: largest.map(|(branch, ..)| branch),
    }
}

/// The mode's eigenvector by inverse iteration: a few steps from any start lead to it, since the shift is the eigenvalue to
/// rounding (Golub and Van Loan, Matrix Computations, section 7.6).
fn shape(a: &DMatrix<f64>, pole: Complex<f64>) -> DVector<Complex<f64>> {
    let size = a.nrows();
    // A little beside the eigenvalue, lest the matrix be singular.
    let shift = pole * (1.0 + 1e-10);
    let shifted = a.map(|value| Complex::new(value, 0.0)) - DMatrix::identity(size, size) * shift;
    let factors = shifted.lu();
    // No mode of a drawn network is orthogonal to numbers without a pattern.
    let mut shape = DVector::from_fn(size, |k, _| Complex::new(1.0 + f64::sin(1.0 + k as f64) / 2.0, 0.0));
    for _ in 0..3 {
        let Some(next) = factors.solve(&shape) else { break };
        let norm = next.norm();
        if !norm.is_finite() || norm == 0.0 {
            break;
        }
        shape = next / Complex::new(norm, 0.0);
    }
    shape
}

/// For each storage element its branch, its capacitance if it is a capacitor, and the energy that it holds on average over a swing,
/// up to one common factor.
fn energies(
    snapshot: &Snapshot<'_, '_>,
    reduced: &Reduced,
    shape: &DVector<Complex<f64>>,
) -> Vec<(BranchIndex, Option<f64>, f64)> {
    let equations = snapshot.equations;
    let no_sources = vec![0.0; snapshot.extended_sources()];
    let side = |side: fn(&Complex<f64>) -> f64| {
        let free: Vec<f64> =
            shape.iter().zip(reduced.scale.iter()).map(|(y, scale)| side(y) / scale).collect();
        snapshot.complete(&free, &no_sources)
    };
    let (real, imaginary) = (side(|y| y.re), side(|y| y.im));
    let square = |one: f64, other: f64| one * one + other * other;
    let slopes = snapshot.slopes();
    let inductors = equations.inductors.iter().zip(&slopes.inductances).enumerate();
    let inductors = inductors.map(|(k, ((ends, _), henry))| {
        (ends.branch, None, henry * square(real.currents[k], imaginary.currents[k]))
    });
    let capacitors = equations.capacitors.iter().zip(&slopes.capacitances).enumerate();
    let capacitors = capacitors.map(|(k, ((ends, _), farad))| {
        (ends.branch, Some(*farad), farad * square(real.voltages[k], imaginary.voltages[k]))
    });
    // A core's energy counts with the first of its windings.
    let cores = equations.cores.iter().zip(&slopes.cores).filter_map(|(core, henry)| {
        let (first, _) = core.windings.first()?;
        let turned = |state: &State| core.current(|k| state.currents[k]);
        let branch = equations.inductors[*first].0.branch;
        Some((branch, None, henry * square(turned(&real), turned(&imaginary))))
    });
    inductors.chain(capacitors).chain(cores).collect()
}
