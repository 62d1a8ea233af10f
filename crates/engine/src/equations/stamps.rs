//! Who stamps what where: voltages, currents, conductances.

use super::Ends;
use crate::linear::Stamp;
use network::primitive::NodeIndex;

/// Voltage of a branch from the vector of unknowns.
pub(crate) fn across(ends: Ends, x: &[f64]) -> f64 {
    let voltage = |node: NodeIndex| if node == 0 { 0.0 } else { x[node - 1] };
    voltage(ends.left) - voltage(ends.right)
}

/// Adds a current that leaves the left node and enters the right one.
pub(crate) fn leave(ends: Ends, current: f64, out: &mut [f64]) {
    if ends.left > 0 {
        out[ends.left - 1] += current;
    }
    if ends.right > 0 {
        out[ends.right - 1] -= current;
    }
}

/// Adds `weight` times the branch's voltage to an equation.
pub(crate) fn stamp_voltage<T: Weight>(ends: Ends, row: usize, weight: T, matrix: &mut impl Stamp<T>) {
    if ends.left > 0 {
        matrix.add(row, ends.left - 1, weight);
    }
    if ends.right > 0 {
        matrix.add(row, ends.right - 1, -weight);
    }
}

/// Adds `weight` times the branch current in unknown `column` to the sums of both end nodes.
pub(crate) fn stamp_current<T: Weight>(ends: Ends, column: usize, weight: T, matrix: &mut impl Stamp<T>) {
    if ends.left > 0 {
        matrix.add(ends.left - 1, column, weight);
    }
    if ends.right > 0 {
        matrix.add(ends.right - 1, column, -weight);
    }
}

/// Adds a conductance (or a capacitance) between the branch's nodes.
pub(crate) fn stamp_conductance<T: Weight>(ends: Ends, value: T, matrix: &mut impl Stamp<T>) {
    stamp_transconductance(ends, ends, value, matrix);
}

/// Adds a conductance whose current flows between the branch's nodes and whose voltage lies between others.
pub(crate) fn stamp_transconductance<T: Weight>(
    ends: Ends,
    control: Ends,
    value: T,
    matrix: &mut impl Stamp<T>,
) {
    if ends.left > 0 {
        stamp_voltage(control, ends.left - 1, value, matrix);
    }
    if ends.right > 0 {
        stamp_voltage(control, ends.right - 1, -value, matrix);
    }
}

/// What a stamp is made of: real, or complex in frequency.
pub(crate) trait Weight: Copy + std::ops::Neg<Output = Self> {}

impl<T: Copy + std::ops::Neg<Output = T>> Weight for T {}
