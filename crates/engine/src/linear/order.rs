//! The order of elimination: always the unknown with the fewest neighbours, so that little fills in.
//!
//! Minimum degree on the graph of A + A^T (Tinney and Walker, Proc. IEEE 55, 1967; George and Liu, SIAM Review 31, 1989). On a
//! chain, which most harnesses are, nothing fills in at all. Of ends, which have one neighbour, the one that has waited longest goes
//! first: a chain is eliminated from both ends in turn, and the two do not wait for each other. Of others it is the last, so that
//! elimination stays where it is.

use super::Matrix;
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

/// Who shares an equation with whom, as ascending lists in one piece of memory.
struct Graph {
    /// Start, length and room of each list.
    lists: Vec<(usize, u32, u32)>,
    members: Vec<u32>,
    /// The neighbours of what was eliminated last.
    around: Vec<u32>,
    union: Vec<u32>,
}

impl Graph {
    fn new<T: ComplexField<RealField = f64> + Copy>(matrix: &Matrix<T>) -> Self {
        let size = matrix.size();
        let symmetric = is_symmetric(matrix);
        let others = |column: usize| {
            let rows = matrix.rows[matrix.range(column)].iter().copied();
            rows.filter(move |row| *row as usize != column)
        };
        // Where the pattern is symmetric, as it mostly is, each column has all its neighbours, and in order.
        let mut counts = vec![0_u32; size];
        for column in 0..size {
            for row in others(column) {
                counts[column] += 1;
                counts[row as usize] += u32::from(!symmetric);
            }
        }
        let mut lists = Vec::with_capacity(size);
        let mut start = 0;
        for count in counts {
            lists.push((start, 0, count));
            start += count as usize;
        }
        let mut members = vec![0; start];
        let mut put = |list: u32, member: u32| {
            let (start, length, _) = &mut lists[list as usize];
            members[*start + *length as usize] = member;
            *length += 1;
        };
        for column in 0..size as u32 {
            for row in others(column as usize) {
                put(column, row);
                if !symmetric {
                    put(row, column);
                }
            }
        }
        if !symmetric {
            for (start, length, _) in &mut lists {
                let list = &mut members[*start..*start + *length as usize];
                list.sort_unstable();
                *length = without_repetitions(list);
            }
        }
        Self { lists, members, around: Vec::new(), union: Vec::new() }
    }

    fn list(&self, unknown: u32) -> &[u32] {
        let (start, length, _) = self.lists[unknown as usize];
        &self.members[start..start + length as usize]
    }

    fn degree(&self, unknown: u32) -> usize {
        self.lists[unknown as usize].1 as usize
    }

    /// Eliminating an unknown joins all its neighbours to each other.
    fn eliminate(&mut self, unknown: u32) {
        let mut around = std::mem::take(&mut self.around);
        around.clear();
        around.extend_from_slice(self.list(unknown));
        for &other in &around {
            let mut union = std::mem::take(&mut self.union);
            join(self.list(other), &around, |member| member != other && member != unknown, &mut union);
            self.replace(other, &union);
            self.union = union;
        }
        self.around = around;
    }

    fn replace(&mut self, unknown: u32, with: &[u32]) {
        let (start, length, room) = &mut self.lists[unknown as usize];
        *length = with.len() as u32;
        if *length > *room {
            // Twice the room, so that what grows moves seldom.
            *room = 2 * *length;
            *start = self.members.len();
            self.members.resize(*start + *room as usize, 0);
        }
        self.members[*start..*start + with.len()].copy_from_slice(with);
    }
}

/// Whether each entry has one opposite: of the columns in ascending order each must be the next row of every column that it has a row for.
fn is_symmetric<T: ComplexField<RealField = f64> + Copy>(matrix: &Matrix<T>) -> bool {
    let mut next: Vec<usize> = (0..matrix.size()).map(|column| matrix.range(column).start).collect();
    (0..matrix.size()).all(|column| {
        matrix.rows[matrix.range(column)].iter().all(|row| {
            let opposite = next[*row as usize];
            next[*row as usize] += 1;
            opposite < matrix.range(*row as usize).end && matrix.rows[opposite] as usize == column
        })
    })
}

/// Moves each member of a sorted list to the front once; the number of them.
fn without_repetitions(list: &mut [u32]) -> u32 {
    let mut kept = 0;
    for k in 0..list.len() {
        if kept == 0 || list[kept - 1] != list[k] {
            list[kept] = list[k];
            kept += 1;
        }
    }
    kept as u32
}

/// Union of two ascending lists, of the members that count.
fn join(a: &[u32], b: &[u32], counts: impl Fn(u32) -> bool, union: &mut Vec<u32>) {
    union.clear();
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
        if counts(next) {
            union.push(next);
        }
    }
}

#[cfg(test)]
mod tests {
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
