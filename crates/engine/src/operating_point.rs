//! The direct-current operating point: capacitors open, inductors short, sources at given values.

use crate::equations::Equations;
use crate::failure::Failure;
use crate::linear::{Singular, Solver, Stamp, free_unknowns};
use crate::snapshot::State;

/// Rounding may move a voltage or current by this part of the greatest of all before it means nothing.
const MEANINGLESS: f64 = 1e-2;
/// Newton iterations at one rung of a continuation.
const MOST_ITERATIONS: usize = 60;

/// Voltages and currents that stand still.
#[derive(Clone, Debug, PartialEq)]
pub struct DirectCurrent {
    /// Node voltages in volt by node index; `gnd` is 0 V.
    pub node_voltages: Vec<f64>,
    /// Currents in ampere of the inductor branches, in the order of the network's branches.
    pub inductor_currents: Vec<f64>,
    pub(crate) unknowns: Vec<f64>,
}

/// Solves f(x) + s = 0 with the given values of the sources.
///
/// Newton's method first; then continuation in shunt conductance and in the height of the sources.
///
/// # Errors
/// [`Failure::NoOperatingPoint`] where it is not unique, [`Failure::NoConvergence`].
pub fn operating_point(equations: &Equations<'_>, sources: &[f64]) -> Result<DirectCurrent, Failure> {
    let zero = vec![0.0; equations.size()];
    let straight = newton(equations, sources, 1.0, 0.0, zero.clone());
    let unknowns = match straight {
        Ok(x) => x,
        Err(failure @ Failure::NoOperatingPoint { .. }) => return Err(failure),
        Err(_) => continue_in_shunt(equations, sources)
            .or_else(|_| continue_in_sources(equations, sources, zero))?,
    };
    Ok(finish(equations, unknowns))
}

fn continue_in_shunt(equations: &Equations<'_>, sources: &[f64]) -> Result<Vec<f64>, Failure> {
    let mut x = vec![0.0; equations.size()];
    let mut shunt = 1.0;
    while shunt > 1e-12 {
        x = newton(equations, sources, 1.0, shunt, x)?;
        shunt *= 0.1;
    }
    newton(equations, sources, 1.0, 0.0, x)
}

fn continue_in_sources(
    equations: &Equations<'_>,
    sources: &[f64],
    mut x: Vec<f64>,
) -> Result<Vec<f64>, Failure> {
    const RUNGS: usize = 100;
    for rung in 1..=RUNGS {
        x = newton(equations, sources, rung as f64 / RUNGS as f64, 0.0, x)?;
    }
    Ok(x)
}

fn newton(
    equations: &Equations<'_>,
    sources: &[f64],
    height: f64,
    shunt: f64,
    mut x: Vec<f64>,
) -> Result<Vec<f64>, Failure> {
    let size = equations.size();
    let mut solver = Solver::new(size);
    let mut update = vec![0.0; size];
    let mut worst = 0;
    for _ in 0..MOST_ITERATIONS {
        // A switch stands where it stands, however high the sources are.
        equations.currents(&x, |index| sources[index], &mut update);
        equations.scale_sources(height, |index| sources[index], &mut update);
        let stamps = solver.stamps();
        equations.current_slopes(&x, |index| sources[index], 1.0, stamps);
        for node in 0..equations.nodes {
            stamps.add(node, node, shunt);
            update[node] += shunt * x[node];
        }
        if let Err(singular) = solver.factor() {
            return Err(unfixed(equations, free_unknowns(&mut solver, singular)));
        }
        solver.solve(&mut update);
        update.iter_mut().for_each(|update| *update = -*update);
        let share = equations.share_of_update(&x, &update, |index| sources[index]);
        let mut change = 0.0;
        for (index, (value, update)) in x.iter_mut().zip(&update).enumerate() {
            *value += share * update;
            let relative = update.abs() / (value.abs() + 1e-6);
            if relative > change || relative.is_nan() {
                change = relative;
                worst = index;
            }
        }
        if change < 1e-12 && share == 1.0 {
            let greatest = x.iter().fold(0.0f64, |greatest, value| greatest.max(value.abs()));
            if shunt == 0.0 && solver.error_of_solution(&x) > MEANINGLESS * greatest {
                return Err(unfixed(equations, free_unknowns(&mut solver, Singular { column: worst })));
            }
            return Ok(x);
        }
    }
    Err(Failure::NoConvergence { time: None, place: equations.name_of(worst) })
}

/// Names what a singular matrix leaves free.
fn unfixed(equations: &Equations<'_>, free: Vec<usize>) -> Failure {
    let (mut nodes, mut parts) = (Vec::new(), Vec::new());
    for unknown in free {
        if unknown < equations.nodes {
            nodes.push(equations.network.nodes[unknown + 1].clone());
        } else {
            parts.push(equations.name_of(unknown));
        }
    }
    // A free voltage is the plainer word where both move.
    if !nodes.is_empty() {
        parts.clear();
    }
    Failure::NoOperatingPoint { nodes, parts }
}

fn finish(equations: &Equations<'_>, unknowns: Vec<f64>) -> DirectCurrent {
    let mut node_voltages = vec![0.0];
    node_voltages.extend_from_slice(&unknowns[..equations.nodes]);
    let inductors = 0..equations.inductors.len();
    let inductor_currents = inductors.map(|k| unknowns[equations.inductor_current(k)]).collect();
    DirectCurrent { node_voltages, inductor_currents, unknowns }
}

/// The energy-storing state in a vector of unknowns.
pub(crate) fn state_of(equations: &Equations<'_>, x: &[f64]) -> State {
    State {
        currents: (0..equations.inductors.len()).map(|k| x[equations.inductor_current(k)]).collect(),
        voltages: equations.capacitors.iter().map(|(ends, _)| crate::equations::across(*ends, x)).collect(),
    }
}
