//! A sparse matrix by columns, and its assembly from stamps.

use nalgebra::{ComplexField, DMatrix};
use std::ops::Range;

/// Takes contributions to entries of a matrix.
pub trait Stamp<T> {
    /// Adds `value` to an entry.
    fn add(&mut self, row: usize, column: usize, value: T);
}

impl Stamp<f64> for DMatrix<f64> {
    fn add(&mut self, row: usize, column: usize, value: f64) {
        self[(row, column)] += value;
    }
}

/// A square matrix by columns; rows ascend within each.
#[derive(Clone, Debug, Default)]
pub struct Matrix<T> {
    /// Where each column starts in `rows` and `values`; one more entry than columns.
    pub starts: Vec<u32>,
    /// Row of each entry.
    pub rows: Vec<u32>,
    /// Value of each entry.
    pub values: Vec<T>,
}

impl<T: ComplexField<RealField = f64> + Copy> Matrix<T> {
    /// Number of rows and columns.
    #[must_use]
    pub fn size(&self) -> usize {
        self.starts.len().saturating_sub(1)
    }

    /// Places of a column's entries.
    #[must_use]
    pub fn range(&self, column: usize) -> Range<usize> {
        self.starts[column] as usize..self.starts[column + 1] as usize
    }

    /// Rows and values of a column.
    pub fn column(&self, column: usize) -> impl Iterator<Item = (usize, T)> + '_ {
        let range = self.range(column);
        self.rows[range.clone()].iter().map(|row| *row as usize).zip(self.values[range].iter().copied())
    }

    /// Place of an entry among the values; `None` where the pattern has none.
    #[must_use]
    pub fn place(&self, row: usize, column: usize) -> Option<usize> {
        let range = self.range(column);
        let found = self.rows[range.clone()].binary_search(&(row as u32));
        found.ok().map(|place| range.start + place)
    }

    /// Matrix times vector.
    #[must_use]
    pub fn times(&self, x: &[T]) -> Vec<T> {
        let mut product = vec![T::zero(); x.len()];
        for (column, x) in x.iter().enumerate() {
            for (row, value) in self.column(column) {
                product[row] += value * *x;
            }
        }
        product
    }
}

/// Collects stamps. The first round finds the pattern; later rounds that stamp the same entries in the same order fill in values
/// without any search.
#[derive(Clone, Debug)]
pub struct Assembly<T> {
    size: usize,
    /// Row and column of each stamp.
    places: Vec<(u32, u32)>,
    stamped: Vec<T>,
    /// Entry of the matrix that each stamp adds to; empty before the first round ends.
    slots: Vec<u32>,
    matrix: Matrix<T>,
}

impl<T: ComplexField<RealField = f64> + Copy> Assembly<T> {
    /// An empty matrix of `size` rows and columns.
    #[must_use]
    pub fn new(size: usize) -> Self {
        Self {
            size,
            places: Vec::new(),
            stamped: Vec::new(),
            slots: Vec::new(),
            matrix: Matrix { starts: vec![0; size + 1], rows: Vec::new(), values: Vec::new() },
        }
    }

    /// Number of rows and columns.
    #[must_use]
    pub fn size(&self) -> usize {
        self.size
    }

    /// Makes room for so many stamps.
    pub fn reserve(&mut self, stamps: usize) {
        let more = |there: usize| stamps.saturating_sub(there);
        self.places.reserve(more(self.places.len()));
        self.stamped.reserve(more(self.stamped.len()));
    }

    /// The matrix of this round's stamps, for which nothing is stamped any more.
    #[must_use]
    pub fn into_matrix(mut self) -> Matrix<T> {
        self.finish();
        self.matrix
    }

    /// Forgets the values, not the pattern.
    pub fn clear(&mut self) {
        self.stamped.clear();
    }

    /// The matrix of this round's stamps, and whether its pattern is that of the last round.
    pub fn finish(&mut self) -> (&Matrix<T>, bool) {
        let same = self.slots.len() == self.stamped.len();
        if !same {
            self.places.truncate(self.stamped.len());
            self.find_pattern();
        }
        self.matrix.values.fill(T::zero());
        for (slot, value) in self.slots.iter().zip(&self.stamped) {
            self.matrix.values[*slot as usize] += *value;
        }
        (&self.matrix, same)
    }

    /// Stamps counted into their columns, and sorted by rows within each, which are few.
    fn find_pattern(&mut self) {
        // Where the next stamp of each column goes.
        let mut ends = vec![0_u32; self.size + 1];
        for (_, column) in &self.places {
            ends[*column as usize + 1] += 1;
        }
        for column in 0..self.size {
            ends[column + 1] += ends[column];
        }
        let mut stamps = vec![(0_u32, 0_u32); self.places.len()];
        for (stamp, (row, column)) in self.places.iter().enumerate() {
            let end = &mut ends[*column as usize];
            stamps[*end as usize] = (*row, stamp as u32);
            *end += 1;
        }
        let matrix = &mut self.matrix;
        matrix.rows.clear();
        matrix.rows.reserve(stamps.len());
        matrix.starts.clear();
        matrix.starts.push(0);
        self.slots = vec![0; self.places.len()];
        let mut start = 0;
        for end in &ends[..self.size] {
            let column = &mut stamps[start..*end as usize];
            column.sort_unstable();
            let first = matrix.rows.len();
            for (row, stamp) in column {
                if matrix.rows[first..].last() != Some(row) {
                    matrix.rows.push(*row);
                }
                self.slots[*stamp as usize] = matrix.rows.len() as u32 - 1;
            }
            matrix.starts.push(matrix.rows.len() as u32);
            start = *end as usize;
        }
        matrix.values = vec![T::zero(); matrix.rows.len()];
    }
}

impl<T: ComplexField<RealField = f64> + Copy> Stamp<T> for Assembly<T> {
    fn add(&mut self, row: usize, column: usize, value: T) {
        let stamp = self.stamped.len();
        let here = (row as u32, column as u32);
        match self.places.get_mut(stamp) {
            Some(place) if *place == here => {}
            // Another order of stamps: a new pattern from here on.
            Some(_) => {
                self.places.truncate(stamp);
                self.places.push(here);
                self.slots.clear();
            }
            None => {
                self.places.push(here);
                self.slots.clear();
            }
        }
        self.stamped.push(value);
    }
}
