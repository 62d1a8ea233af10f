//! The graph of a matrix while unknowns are eliminated from it.

use crate::linear::Matrix;
use nalgebra::ComplexField;

/// Who shares an equation with whom, as ascending lists in one piece of memory.
pub(super) struct Graph {
    /// Start, length and room of each list.
    pub(super) lists: Vec<(usize, u32, u32)>,
    members: Vec<u32>,
    /// The neighbours of what was eliminated last.
    pub(super) around: Vec<u32>,
    union: Vec<u32>,
}

impl Graph {
    pub(super) fn new<T: ComplexField<RealField = f64> + Copy>(matrix: &Matrix<T>) -> Self {
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

    pub(super) fn list(&self, unknown: u32) -> &[u32] {
        let (start, length, _) = self.lists[unknown as usize];
        &self.members[start..start + length as usize]
    }

    pub(super) fn degree(&self, unknown: u32) -> usize {
        self.lists[unknown as usize].1 as usize
    }

    /// Eliminating an unknown joins all its neighbours to each other.
    pub(super) fn eliminate(&mut self, unknown: u32) {
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
pub(super) fn is_symmetric<T: ComplexField<RealField = f64> + Copy>(matrix: &Matrix<T>) -> bool {
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
