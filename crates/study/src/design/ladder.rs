//! A filter as two ports, and what it makes of a line of its surroundings.

use super::candidate::Candidate;
use super::surroundings::{Line, Matrix, TIE};
use super::topology::Node;
use engine::Complex;

/// A filter as a network of three nodes against its return: the place's two and one inside.
pub(super) struct Ladder {
    full: [[Complex<f64>; 3]; 3],
    /// Admittances between the place's nodes, with the node inside taken out (Kron).
    pub(super) ports: Matrix,
}

fn row(node: Node) -> Option<usize> {
    match node {
        Node::From => Some(0),
        Node::To => Some(1),
        Node::Inside(_) => Some(2),
        Node::Back => None,
    }
}

impl Ladder {
    pub(super) fn new(candidate: &Candidate, chosen: &[Complex<f64>; 4]) -> Self {
        let zero = Complex::new(0.0, 0.0);
        let mut full = [[zero; 3]; 3];
        for (slot, admittance) in candidate.topology.slots().iter().zip(chosen) {
            match (row(slot.left), row(slot.right)) {
                (Some(left), Some(right)) => {
                    full[left][left] += admittance;
                    full[right][right] += admittance;
                    full[left][right] -= admittance;
                    full[right][left] -= admittance;
                }
                (Some(node), None) | (None, Some(node)) => full[node][node] += admittance,
                (None, None) => {}
            }
        }
        let inside = full[2][2];
        let mut ports = [[zero; 2]; 2];
        for (row, entries) in ports.iter_mut().enumerate() {
            for (column, entry) in entries.iter_mut().enumerate() {
                *entry = full[row][column];
                if inside != zero {
                    *entry -= full[row][2] * full[2][column] / inside;
                }
            }
        }
        Self { full, ports }
    }

    /// Voltages across its elements, from left to right, with these voltages at the place's nodes.
    pub(super) fn drops(&self, candidate: &Candidate, ports: &[Complex<f64>; 2]) -> [Complex<f64>; 4] {
        let zero = Complex::new(0.0, 0.0);
        let to_inside = self.full[2][0] * ports[0] + self.full[2][1] * ports[1];
        let inside = if self.full[2][2] == zero { zero } else { -to_inside / self.full[2][2] };
        let level = |node: Node| row(node).map_or(zero, |row| [ports[0], ports[1], inside][row]);
        let mut drops = [zero; 4];
        for (drop, slot) in drops.iter_mut().zip(candidate.topology.slots()) {
            *drop = level(slot.left) - level(slot.right);
        }
        drops
    }
}

/// Voltages with a filter in the place.
pub(super) struct Answer {
    pub(super) ports: [Complex<f64>; 2],
    /// More current into the ports than the tie draws, which acts on the test points.
    drawn: [Complex<f64>; 2],
}

/// Voltages with the filter in the place of the tie: its further currents `-(Y - Y_tie) v` act on the surroundings,
/// `v = v0 - Z (Y - Y_tie) v`.
pub(super) fn answer(line: &Line, filter: &Matrix) -> Answer {
    let tie = 1.0 / TIE;
    let more = |row: usize, column: usize| filter[row][column] - if row == column { tie } else { -tie };
    let product = |row: usize, column: usize| {
        let own = if row == column { 1.0 } else { 0.0 };
        line.impedance[row][0] * more(0, column) + line.impedance[row][1] * more(1, column) + own
    };
    let [a, b, c, d] = [product(0, 0), product(0, 1), product(1, 0), product(1, 1)];
    let determinant = a * d - b * c;
    let [u, v] = line.ports;
    let ports = [(u * d - b * v) / determinant, (a * v - c * u) / determinant];
    let drawn = [0, 1].map(|row| more(row, 0) * ports[0] + more(row, 1) * ports[1]);
    Answer { ports, drawn }
}

impl Answer {
    /// At the test point with this number.
    pub(super) fn seen(&self, line: &Line, testpoint: usize) -> Complex<f64> {
        let (own, by) = &line.seen[testpoint];
        own - by[0] * self.drawn[0] - by[1] * self.drawn[1]
    }
}
