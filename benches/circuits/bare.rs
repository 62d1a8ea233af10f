//! The equations of a network in frequency as one writes them by hand, for the bare arithmetic beside the engine.

use engine::Complex;
use engine::linear::{Assembly, Matrix, Stamp};
use network::primitive::{Element, Network};

/// The equations of straight parts by hand: node voltages, currents of voltage sources and of inductors.
pub(crate) fn matrix(network: &Network, omega: f64) -> Matrix<Complex<f64>> {
    let nodes = network.nodes.len() - 1;
    let own = |element: &Element| matches!(element, Element::VoltageSource(_) | Element::Inductor(_));
    let size = nodes + network.branches.iter().filter(|branch| own(&branch.element)).count();
    let mut assembly = Assembly::new(size);
    let mut current = nodes;
    for branch in &network.branches {
        let ends = [(branch.left, 1.0), (branch.right, -1.0)].into_iter().filter(|(node, _)| *node > 0);
        let mut admit = |admittance: Complex<f64>| {
            for (row, sign) in ends.clone() {
                for (column, other) in ends.clone() {
                    assembly.add(row - 1, column - 1, admittance * (sign * other));
                }
            }
        };
        match &branch.element {
            Element::Resistor(resistance) => admit(Complex::new(1.0 / resistance, 0.0)),
            Element::Capacitor(law) => admit(Complex::new(0.0, omega * law.capacitance(0.0))),
            Element::VoltageSource(_) | Element::Inductor(_) => {
                for (node, sign) in ends.clone() {
                    assembly.add(node - 1, current, Complex::new(sign, 0.0));
                    assembly.add(current, node - 1, Complex::new(sign, 0.0));
                }
                if let Element::Inductor(law) = &branch.element {
                    assembly.add(current, current, Complex::new(0.0, -omega * law.inductance(0.0)));
                }
                current += 1;
            }
            _ => {}
        }
    }
    assembly.finish().0.clone()
}
