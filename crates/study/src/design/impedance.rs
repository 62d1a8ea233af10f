//! Impedances of the elements of filters, by the same lowering and the same equations as any harness.

use super::element::{Element, Role};
use engine::Complex;
use engine::frequency::{Bias, Path, frequency_response};
use language::Source;
use language::description::Start;
use network::primitive::{Branch, ChargeLaw, Element as Law, FluxLaw, GND, Network, NodeIndex};

/// A current in ampere at which every core is full.
const FULL: f64 = 1e6;

/// An element's own network between a node and `gnd`.
pub(super) struct Lone {
    network: Network,
    /// Whether its inductance falls with current.
    pub(super) saturates: bool,
    /// Whether anything in it bends.
    pub(super) bends: bool,
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
    Ok(Some(alone(&own, node, &lowered.network.nodes)))
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
    let bends = |branch: &Branch| match &branch.element {
        Law::Inductor(law) => !law.is_linear(),
        Law::Capacitor(law) => !law.is_linear(),
        _ => false,
    };
    let saturates = |branch: &Branch| matches!(&branch.element, Law::Inductor(law) if !law.is_linear());
    let (saturates, bends) = (branches.iter().any(saturates), branches.iter().any(bends));
    let nodes = nodes.iter().map(|node| names[*node].clone()).collect();
    Lone { network: Network { nodes, branches, ..Network::default() }, saturates, bends }
}

impl Lone {
    /// Admittances in siemens at frequencies in hertz, with `volts` across: with the whole inductance, and where the core saturates
    /// with what is left of it in the end. What does not conduct has none.
    pub(super) fn admittances(
        &self,
        frequencies: &[f64],
        volts: f64,
    ) -> Result<Vec<Vec<Complex<f64>>>, String> {
        let currents: &[f64] = if self.saturates { &[0.0, FULL] } else { &[0.0] };
        currents.iter().map(|current| self.at(*current, frequencies, volts)).collect()
    }

    fn at(&self, current: f64, frequencies: &[f64], volts: f64) -> Result<Vec<Complex<f64>>, String> {
        /// A short of nothing at all would have no number.
        const LEAST: f64 = 1e-7;
        let mut network = self.network.clone();
        for branch in &mut network.branches {
            match &mut branch.element {
                Law::Inductor(law) => *law = FluxLaw::Linear { inductance: law.inductance(current) },
                Law::Capacitor(law) => *law = ChargeLaw::Linear { capacitance: law.capacitance(volts) },
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
