//! Impedances of the elements of filters, by the same lowering and the same equations as any harness.

use super::element::{Element, Role};
use crate::warnings::LEAST_INDUCTANCE_LEFT;
use engine::Complex;
use engine::frequency::{Bias, Path, frequency_response};
use language::Source;
use language::description::Start;
use network::primitive::{Branch, ChargeLaw, Element as Law, FluxLaw, GND, Network, NodeIndex};

/// An element's own network between a node and `gnd`.
pub(super) struct Lone {
    network: Network,
    /// Current in ampere at which it has lost as much of it as a coil may, where more current leaves less.
    pub(super) bears: Option<f64>,
    /// What in it bends.
    pub(super) bent: Option<Bent>,
}

/// The network of an element; a regulator, which is no impedance, has none.
///
/// # Errors
/// Why it can't be made, in a sentence.
pub(super) fn lone(element: &Element) -> Result<Option<Lone>, String> {
    if element.role == Role::Regulator {
        return Ok(None);
    }
    let text = format!("{} lone lone_node -> gnd {}\n", element.word, element.properties);
    let description =
        language::read(&Source { name: "stock".to_owned(), text }, &[]).map_err(|mistakes| {
            mistakes.into_iter().map(|mistake| mistake.message).collect::<Vec<_>>().join("; ")
        })?;
    let lowered = network::lowering::lower(&description.baseline(), Start::Steady)
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))?;
    let node = lowered.node("lone_node").unwrap_or(GND);
    let own: Vec<&Branch> = lowered.network.branches.iter().collect();
    let found = alone(&own, node, &lowered.network.nodes);
    // Beads are expected to lose what they have.
    Ok(Some(Lone { bears: found.bears.filter(|_| element.role == Role::Coil), ..found }))
}

/// The branches with nodes of their own: 1 is the terminal.
fn alone(branches: &[&Branch], terminal: NodeIndex, names: &[String]) -> Lone {
    let mut nodes = vec![GND, terminal];
    let mut number = |node: NodeIndex| {
        nodes.iter().position(|known| *known == node).unwrap_or_else(|| {
            nodes.push(node);
            nodes.len() - 1
        })
    };
    let branches: Vec<Branch> = branches
        .iter()
        .map(|branch| Branch { left: number(branch.left), right: number(branch.right), ..(*branch).clone() })
        .collect();
    let bent = branches.iter().find_map(|branch| match &branch.element {
        Law::Inductor(law) if !law.is_linear() => Some(Bent::Core(law.clone())),
        Law::Capacitor(law) if !law.is_linear() => Some(Bent::Dielectric(law.clone())),
        _ => None,
    });
    let bears = branches.iter().filter_map(|branch| match &branch.element {
        Law::Inductor(law @ FluxLaw::Saturable { .. }) => law.current_at_drop(1.0 - LEAST_INDUCTANCE_LEFT),
        _ => None,
    });
    let bears = bears.reduce(f64::min);
    let nodes = nodes.iter().map(|node| names[*node].clone()).collect();
    Lone { network: Network { nodes, branches, ..Network::default() }, bears, bent }
}

/// The law of an element that bends.
#[derive(Clone, Debug)]
pub(super) enum Bent {
    Core(FluxLaw),
    Dielectric(ChargeLaw),
}

impl Bent {
    pub(super) fn is_core(&self) -> bool {
        matches!(self, Self::Core(_))
    }

    /// Inductance in henry at a current, or capacitance in farad at a voltage, for small changes.
    pub(super) fn slope(&self, at: f64) -> f64 {
        match self {
            Self::Core(law) => law.inductance(at),
            Self::Dielectric(law) => law.capacitance(at),
        }
    }

    /// Which of current and voltage it bends with.
    pub(super) fn mean_of(&self, current: f64, volts: f64) -> f64 {
        if self.is_core() { current } else { volts }
    }
}

impl Lone {
    /// Admittances in siemens at frequencies in hertz, with `current` through its coils and `volts` across its capacitors, and that
    /// multiple of the inductance or capacitance that is left there. What does not conduct has none.
    pub(super) fn admittances(
        &self,
        frequencies: &[f64],
        current: f64,
        volts: f64,
        scale: f64,
    ) -> Result<Vec<Complex<f64>>, String> {
        /// A short of nothing at all would have no number.
        const LEAST: f64 = 1e-7;
        let mut network = self.network.clone();
        for branch in &mut network.branches {
            match &mut branch.element {
                Law::Inductor(law) => {
                    let own = if law.is_linear() { 1.0 } else { scale };
                    *law = FluxLaw::Linear { inductance: own * law.inductance(current) };
                }
                Law::Capacitor(law) => {
                    let own = if law.is_linear() { 1.0 } else { scale };
                    *law = ChargeLaw::Linear { capacitance: own * law.capacitance(volts) };
                }
                _ => {}
            }
        }
        let bias = Bias::resting(&network).map_err(|failure| failure.to_string())?;
        let curves = frequency_response(&network, &bias, &[Path::impedance(1, GND)], frequencies)
            .map_err(|failure| failure.to_string())?;
        let admittance = |value: &Option<Complex<f64>>| match value {
            Some(value) if value.norm() < LEAST => Complex::new(1.0 / LEAST, 0.0),
            Some(value) if value.is_finite() => value.inv(),
            _ => Complex::new(0.0, 0.0),
        };
        Ok(curves.values[0].iter().map(admittance).collect())
    }
}
