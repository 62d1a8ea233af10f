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
    minimum_degree_with_last(matrix, &[])
}

/// The same with some columns behind all others.
#[must_use]
pub fn minimum_degree_with_last<T: ComplexField<RealField = f64> + Copy>(
    matrix: &Matrix<T>,
    last: &[u32],
) -> Vec<u32> {
    let size = matrix.size();
    let mut graph = Graph::new(matrix);
    let mut waiting = Waiting::default();
    let mut held_back = vec![false; size];
    last.iter().for_each(|unknown| held_back[*unknown as usize] = true);
    for unknown in (0..size as u32).rev().filter(|unknown| !held_back[*unknown as usize]) {
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
            if !held_back[other as usize] {
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
        let others = |column: usize| {
            let rows = matrix.rows[matrix.range(column)].iter().copied();
            rows.filter(move |row| *row as usize != column)
        };
        let mut counts = vec![0_u32; size];
        for column in 0..size {
            for row in others(column) {
                counts[column] += 1;
                counts[row as usize] += 1;
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
                put(row, column);
            }
        }
        for (start, length, _) in &mut lists {
            let list = &mut members[*start..*start + *length as usize];
            list.sort_unstable();
            *length = without_repetitions(list);
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
