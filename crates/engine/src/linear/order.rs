//! The order of elimination: always the unknown with the fewest neighbours, so that little fills in.
//!
//! Minimum degree on the graph of A + A^T (Tinney and Walker, Proc. IEEE 55, 1967; George and Liu, SIAM Review 31, 1989). On a
//! chain, which most harnesses are, nothing fills in at all. Of ends, which have one neighbour, the one that has waited longest goes
//! first: a chain is eliminated from both ends in turn, and the two do not wait for each other. Of others it is the last, so that
//! elimination stays where it is.

mod graph;

use super::Matrix;
use graph::Graph;
use nalgebra::ComplexField;
use std::collections::VecDeque;

/// The columns of a matrix in the order in which to eliminate them.
#[must_use]
pub fn minimum_degree<T: ComplexField<RealField = f64> + Copy>(matrix: &Matrix<T>) -> Vec<u32> {
    eliminated(&mut Graph::new(matrix), None)
}

/// An order with the same operations in which what is eliminated is needed soon, and never again: what elimination has at hand stays little.
/// One column can be asked to be the last.
#[must_use]
pub fn depth_first<T: ComplexField<RealField = f64> + Copy>(
    matrix: &Matrix<T>,
    last: Option<usize>,
) -> Vec<u32> {
    let mut graph = Graph::new(matrix);
    let order = eliminated(&mut graph, last.map(|last| last as u32));
    let mut positions = vec![0_u32; order.len()];
    order.iter().enumerate().for_each(|(position, unknown)| positions[*unknown as usize] = position as u32);
    // By positions: an unknown waits for those whose first neighbour it is, its children in the tree of elimination.
    let none = order.len();
    let parents: Vec<usize> = order
        .iter()
        .enumerate()
        .map(|(position, unknown)| {
            let first = graph.list(*unknown).iter().map(|other| positions[*other as usize] as usize).min();
            first.filter(|first| *first > position).unwrap_or(none)
        })
        .collect();
    let mut below = vec![1_u32; order.len() + 1];
    // The child with most below it, which goes first: what the others leave would have to be at hand all the while.
    let mut heaviest = vec![none; order.len() + 1];
    for (position, &parent) in parents.iter().enumerate() {
        below[parent] += below[position];
        if heaviest[parent] == none || below[position] > below[heaviest[parent]] {
            heaviest[parent] = position;
        }
    }
    let (mut first_child, mut sibling) = (vec![none; order.len() + 1], vec![none; order.len()]);
    let mut add = |position: usize, parent: usize| {
        (sibling[position], first_child[parent]) = (first_child[parent], position);
    };
    for (position, &parent) in parents.iter().enumerate().rev() {
        if heaviest[parent] != position || parent == none {
            add(position, parent);
        }
    }
    for (parent, &position) in heaviest[..none].iter().enumerate() {
        if position != none {
            add(position, parent);
        }
    }
    let mut depth_first = Vec::with_capacity(order.len());
    let mut path = vec![none];
    while let Some(&position) = path.last() {
        let child = first_child[position];
        if child != none {
            first_child[position] = sibling[child];
            path.push(child);
        } else {
            path.pop();
            depth_first.extend(order.get(position));
        }
    }
    depth_first
}

fn eliminated(graph: &mut Graph, last: Option<u32>) -> Vec<u32> {
    let size = graph.lists.len();
    let mut waiting = Waiting::default();
    for unknown in (0..size as u32).rev().filter(|unknown| Some(*unknown) != last) {
        waiting.add(unknown, graph.degree(unknown));
    }
    let mut eliminated = vec![false; size];
    let mut order = Vec::with_capacity(size);
    while let Some((unknown, degree)) = waiting.next() {
        // What has been joined to others since waits in another place too.
        if eliminated[unknown as usize] || graph.degree(unknown) != degree {
            continue;
        }
        eliminated[unknown as usize] = true;
        order.push(unknown);
        graph.eliminate(unknown);
        for &other in &graph.around {
            if Some(other) != last {
                waiting.add(other, graph.degree(other));
            }
        }
    }
    order.extend(last);
    order
}

/// Unknowns by degree.
#[derive(Default)]
struct Waiting {
    queues: Vec<VecDeque<u32>>,
    least: usize,
}

impl Waiting {
    fn add(&mut self, unknown: u32, degree: usize) {
        if degree >= self.queues.len() {
            self.queues.resize_with(degree + 1, VecDeque::new);
        }
        self.queues[degree].push_back(unknown);
        self.least = self.least.min(degree);
    }

    fn next(&mut self) -> Option<(u32, usize)> {
        while self.queues.get(self.least)?.is_empty() {
            self.least += 1;
        }
        let queue = &mut self.queues[self.least];
        let next = if self.least <= 1 { queue.pop_front() } else { queue.pop_back() };
        next.map(|unknown| (unknown, self.least))
    }
}

#[cfg(test)]
mod tests {
    use super::graph::is_symmetric;
    use super::*;
    use crate::linear::{Assembly, Factors, Stamp};

    /// A comb: a chain whose every member has a tooth, so that all teeth are ends.
    fn comb(length: usize) -> Assembly<f64> {
        let mut assembly = Assembly::new(2 * length);
        for k in 0..length {
            assembly.add(k, k, 4.0);
            assembly.add(length + k, length + k, 2.0);
            let mut join = |a: usize, b: usize| {
                assembly.add(a, b, -1.0);
                assembly.add(b, a, -1.0);
            };
            join(k, length + k);
            if k > 0 {
                join(k - 1, k);
            }
        }
        assembly
    }

    #[test]
    fn symmetric_patterns_are_known() {
        let pattern = |places: &[(usize, usize)]| {
            let mut assembly = Assembly::new(4);
            places.iter().for_each(|(row, column)| assembly.add(*row, *column, 1.0));
            is_symmetric(assembly.finish().0)
        };
        assert!(pattern(&[(0, 0), (0, 3), (3, 0), (1, 3), (3, 1), (2, 2)]));
        assert!(!pattern(&[(0, 3), (3, 0), (1, 3)]));
        assert!(!pattern(&[(0, 3), (3, 1), (1, 3)]));
        assert!(!pattern(&[(3, 0)]));
    }

    /// Neither order fills anything in; depth first, each tooth stands just before its place in the chain, and what is asked for is last.
    #[test]
    fn combs_do_not_fill() {
        let length = 50;
        for last in [None, Some(0), Some(17), Some(99)] {
            let mut assembly = comb(length);
            let (matrix, _) = assembly.finish();
            let order = depth_first(matrix, last);
            let mut sorted = order.clone();
            sorted.sort_unstable();
            assert!(sorted.iter().copied().eq(0..2 * length as u32));
            for order in [&order, &minimum_degree(matrix)] {
                let factors = Factors::new(matrix, order).expect("regular");
                assert_eq!(factors.entries(), matrix.values.len());
            }
            if let Some(last) = last {
                assert_eq!(order.last(), Some(&(last as u32)));
            }
            let place = |unknown: usize| order.iter().position(|other| *other == unknown as u32);
            let far = (0..length)
                .filter(|k| place(length + k).zip(place(*k)).is_some_and(|(tooth, own)| own > tooth + 1));
            assert!(far.count() <= 2, "{order:?}");
        }
    }
}
