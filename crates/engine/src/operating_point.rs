//! The direct-current operating point: capacitors open, inductors short, sources at given values.

use crate::equations::{Equations, across};
use crate::failure::Failure;
use crate::linear::{Singular, Stamp, free_unknowns};
use crate::snapshot::{State, lines_at};

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
/// Newton's method first; then continuation: in shunt conductance, in the height of the sources, in time.
///
/// # Errors
/// [`Failure::NoOperatingPoint`] where it is not unique, [`Failure::NoConvergence`].
pub fn operating_point(equations: &Equations<'_>, sources: &[f64]) -> Result<DirectCurrent, Failure> {
    let zero = vec![0.0; equations.size()];
    let straight = newton(equations, sources, Aid::NONE, zero.clone());
    let unknowns = match straight {
        Ok(x) => x,
        Err(failure @ Failure::NoOperatingPoint { .. }) => return Err(failure),
        Err(_) => continue_in_shunt(equations, sources)
            .or_else(|_| continue_in_sources(equations, sources, zero))
            .or_else(|_| continue_in_time(equations, sources))?,
    };
    Ok(finish(equations, unknowns))
}

fn continue_in_shunt(equations: &Equations<'_>, sources: &[f64]) -> Result<Vec<f64>, Failure> {
    let mut x = vec![0.0; equations.size()];
    let mut shunt = 1.0;
    while shunt > 1e-12 {
        x = newton(equations, sources, Aid { shunt, ..Aid::NONE }, x)?;
        shunt *= 0.1;
    }
    newton(equations, sources, Aid::NONE, x)
}

fn continue_in_sources(
    equations: &Equations<'_>,
    sources: &[f64],
    mut x: Vec<f64>,
) -> Result<Vec<f64>, Failure> {
    const RUNGS: usize = 100;
    for rung in 1..=RUNGS {
        x = newton(equations, sources, Aid { height: rung as f64 / RUNGS as f64, ..Aid::NONE }, x)?;
    }
    Ok(x)
}

/// Lets every node rise from 0 V with a capacitance at it, by backward Euler steps that grow where Newton's method converges: what
/// counts is where it comes to rest, not how (Kelley and Keyes, SIAM J. Numer. Anal. 35, 1998).
fn continue_in_time(equations: &Equations<'_>, sources: &[f64]) -> Result<Vec<f64>, Failure> {
    const ATTEMPTS: usize = 500;
    let mut x = vec![0.0; equations.size()];
    // Capacitance over step.
    let mut shunt = 1e3;
    for _ in 0..ATTEMPTS {
        match newton(equations, sources, Aid { shunt, from: Some(&x), ..Aid::NONE }, x.clone()) {
            Ok(next) => {
                x = next;
                shunt *= 0.3;
            }
            Err(failure) if shunt > 1e12 => return Err(failure),
            Err(_) => shunt *= 10.0,
        }
        if shunt < 1e-12 {
            break;
        }
    }
    newton(equations, sources, Aid::NONE, x)
}

/// What makes the equations easier than they are.
#[derive(Clone, Copy)]
struct Aid<'a> {
    /// Height of the sources as a fraction.
    height: f64,
    /// Conductance in siemens from every node to `gnd` …
    shunt: f64,
    /// … or to the voltages given here.
    from: Option<&'a [f64]>,
}

impl Aid<'_> {
    const NONE: Self = Self { height: 1.0, shunt: 0.0, from: None };
}

fn newton(
    equations: &Equations<'_>,
    sources: &[f64],
    aid: Aid<'_>,
    mut x: Vec<f64>,
) -> Result<Vec<f64>, Failure> {
    let Aid { height, shunt, from } = aid;
    let size = equations.size();
    let mut solver = equations.kept.at_rest.take(size);
    let mut update = vec![0.0; size];
    let mut worst = 0;
    // Tangents touch steep laws at voltages that move less than the nodes: where a node floats behind a junction, both of its
    // sides have to rise together.
    let mut touched: Vec<f64> = equations.loads.iter().map(|load| across(load.control, &x)).collect();
    for _ in 0..MOST_ITERATIONS {
        let lines = lines_at(equations, |k| touched[k], |index| sources[index]);
        let on_line = |k: usize, voltage: f64| lines[k].conductance * voltage + lines[k].offset;
        // A switch stands where it stands, however high the sources are.
        equations.currents_with(&x, |index| sources[index], on_line, &mut update);
        equations.scale_sources(height, |index| sources[index], &mut update);
        for node in 0..equations.nodes {
            update[node] += shunt * (x[node] - from.map_or(0.0, |from| from[node]));
        }
        // Without laws that bend the slopes stay as they are.
        if !solver.is_factored() || !equations.loads.is_empty() {
            let stamps = solver.stamps();
            equations.current_slopes_with(|k| lines[k].conductance, 1.0, stamps);
            (0..equations.nodes).for_each(|node| stamps.add(node, node, shunt));
            if let Err(singular) = solver.factor() {
                return Err(unfixed(equations, free_unknowns(&mut solver, singular)));
            }
        }
        solver.solve(&mut update);
        let mut change = 0.0;
        for (index, (value, update)) in x.iter_mut().zip(&update).enumerate() {
            *value -= update;
            let relative = update.abs() / (value.abs() + 1e-6);
            if relative > change || relative.is_nan() {
                change = relative;
                worst = index;
            }
        }
        let mut limited = false;
        for (load, voltage) in equations.loads.iter().zip(&mut touched) {
            let next = across(load.control, &x);
            let reached = load.law(|index| sources[index]).limited(*voltage, next);
            limited |= reached != next;
            *voltage = reached;
        }
        if change < 1e-12 && !limited {
            let greatest = x.iter().fold(0.0f64, |greatest, value| greatest.max(value.abs()));
            if shunt == 0.0 && solver.error_of_solution(&x) > MEANINGLESS * greatest {
                return Err(unfixed(equations, free_unknowns(&mut solver, Singular { column: worst })));
            }
            equations.kept.at_rest.give(solver);
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

#[cfg(test)]
mod tests {
    use super::*;
    use network::primitive::{Branch, CurrentLaw, Element, Junction, Network};
    use network::waveform::Waveform;

    fn network(branches: Vec<(usize, usize, Element)>) -> Network {
        let nodes = ["gnd", "a", "b", "c"].map(String::from).to_vec();
        let branch =
            |(left, right, element)| Branch { part: format!("{left}-{right}"), left, right, element };
        Network { nodes, branches: branches.into_iter().map(branch).collect(), ..Network::default() }
    }

    /// 12 V through 0.2 ohm into a load of 20 W: v^2 - 12 v + 4 = 0, v = 6 + sqrt(32). Behind it a diode of 0.1 pA at 26 mV and 1 Gohm:
    /// v_d = V_t ln(i / I_s + 1). A load that is held down to 1 V makes the voltage jump while sources rise, from 1 V to 4 V at 5 V, so
    /// that this continuation is spared it.
    #[test]
    fn every_continuation_comes_to_the_same_point() {
        let junction = Junction { saturation: 1e-13, thermal_voltage: 0.026, breakdown: None };
        for threshold in [6.0, 1.0] {
            let network = network(vec![
                (1, 0, Element::VoltageSource(Waveform::Constant(12.0))),
                (1, 2, Element::Resistor(0.2)),
                (2, 0, Element::Load(CurrentLaw::Power { power: 20.0, threshold })),
                (2, 3, Element::Load(CurrentLaw::Junction(junction))),
                (3, 0, Element::Resistor(1e9)),
            ]);
            let equations = Equations::new(&network).expect("sound");
            let zero = vec![0.0; equations.size()];
            let sources = [12.0];
            let mut found =
                vec![continue_in_shunt(&equations, &sources), continue_in_time(&equations, &sources)];
            if threshold > 2.0 {
                found.push(continue_in_sources(&equations, &sources, zero));
            }
            for x in found {
                let x = x.expect("converges");
                // The diode takes 12 nA of the load's two amperes.
                assert!((x[1] - (6.0 + f64::sqrt(32.0))).abs() < 1e-8, "{threshold}: {x:?}");
                let drop = 0.026 * (x[2] / 1e9 / 1e-13).ln_1p();
                assert!((x[1] - x[2] - drop).abs() < 1e-6, "{threshold}: {x:?}");
            }
        }
    }

    /// Two nodes that a short holds together and a hundred millionth of a rounding holds to gnd: their voltage is noise.
    #[test]
    fn what_only_rounding_decides_is_refused() {
        let network = network(vec![
            (1, 0, Element::VoltageSource(Waveform::Constant(12.0))),
            (1, 2, Element::Resistor(1e13)),
            (2, 3, Element::Resistor(1e-3)),
            (3, 0, Element::Resistor(1e13)),
        ]);
        let equations = Equations::new(&network).expect("hangs together");
        let failure = operating_point(&equations, &[12.0]).expect_err("cannot be told");
        assert!(
            matches!(&failure, Failure::NoOperatingPoint { nodes, .. } if nodes == &["b", "c"]),
            "{failure:?}"
        );
    }
}
