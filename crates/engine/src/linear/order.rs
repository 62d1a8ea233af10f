//! The order of elimination: always the unknown with the fewest neighbours, so that little fills in.
//!
//! Minimum degree on the graph of A + A^T (Tinney and Walker, Proc. IEEE 55, 1967; George and Liu, SIAM Review 31, 1989). On a
//! chain, which most harnesses are, nothing fills in at all.

use super::Matrix;
use nalgebra::ComplexField;

/// The columns of a matrix in the order in which to eliminate them.
#[must_use]
pub fn minimum_degree<T: ComplexField<RealField = f64> + Copy>(matrix: &Matrix<T>) -> Vec<usize> {
    let size = matrix.size();
    let mut neighbours = neighbours(matrix);
    // Unknowns by degree; entries that are out of date are passed over.
    let mut buckets: Vec<Vec<usize>> = vec![Vec::new(); size.max(1)];
    for (unknown, around) in neighbours.iter().enumerate().rev() {
        buckets[around.len()].push(unknown);
    }
    let mut eliminated = vec![false; size];
    let mut order = Vec::with_capacity(size);
    let mut least = 0;
    while order.len() < size {
        let Some(unknown) = buckets[least].pop() else {
            least += 1;
            continue;
        };
        if eliminated[unknown] || neighbours[unknown].len() != least {
            continue;
        }
        eliminated[unknown] = true;
        order.push(unknown);
        let around = std::mem::take(&mut neighbours[unknown]);
        for &other in &around {
            // Eliminating an unknown joins all its neighbours to each other.
            neighbours[other] = joined(&neighbours[other], &around, other, unknown);
            let degree = neighbours[other].len();
            buckets[degree].push(other);
            least = least.min(degree);
        }
    }
    order
}

/// Union of two ascending lists without two members.
fn joined(a: &[usize], b: &[usize], without: usize, nor: usize) -> Vec<usize> {
    let mut union = Vec::with_capacity(a.len() + b.len());
    let (mut i, mut j) = (0, 0);
    while i < a.len() || j < b.len() {
        let next = match (a.get(i), b.get(j)) {
            (Some(x), Some(y)) => *x.min(y),
            (Some(x), None) => *x,
            (None, Some(y)) => *y,
            (None, None) => break,
        };
        i += usize::from(a.get(i) == Some(&next));
        j += usize::from(b.get(j) == Some(&next));
        if next != without && next != nor {
            union.push(next);
        }
    }
    union
}

/// The unknowns that share an equation with each, ascending.
fn neighbours<T: ComplexField<RealField = f64> + Copy>(matrix: &Matrix<T>) -> Vec<Vec<usize>> {
    let mut neighbours: Vec<Vec<usize>> = vec![Vec::new(); matrix.size()];
    for column in 0..matrix.size() {
        for &row in &matrix.rows[matrix.starts[column]..matrix.starts[column + 1]] {
            if row != column {
                neighbours[column].push(row);
                neighbours[row].push(column);
            }
        }
    }
    for around in &mut neighbours {
        around.sort_unstable();
        around.dedup();
    }
    neighbours
}
