//! Columns of a triangular factor, one behind the other.

use std::ops::Range;

/// Entries by columns. Places and rows are 32 bits wide: half the memory that is walked, and no matrix that fits one has more.
#[derive(Clone, Debug)]
pub(in crate::linear) struct Columns<T> {
    starts: Vec<u32>,
    pub(in crate::linear) rows: Vec<u32>,
    pub(in crate::linear) values: Vec<T>,
}

impl<T> Columns<T> {
    pub(in crate::linear) fn with_capacity(columns: usize) -> Self {
        let mut starts = Vec::with_capacity(columns + 1);
        starts.push(0);
        Self { starts, rows: Vec::with_capacity(2 * columns), values: Vec::with_capacity(2 * columns) }
    }

    #[inline]
    pub(in crate::linear) fn range(&self, column: usize) -> Range<usize> {
        self.starts[column] as usize..self.starts[column + 1] as usize
    }

    pub(in crate::linear) fn push(&mut self, row: u32, value: T) {
        self.rows.push(row);
        self.values.push(value);
    }

    /// The next entry belongs to the next column.
    pub(in crate::linear) fn close(&mut self) {
        self.starts.push(self.rows.len() as u32);
    }
}

impl<T: Copy> Columns<T> {
    /// Rows and values of a column.
    #[inline]
    pub(in crate::linear) fn column(&self, column: usize) -> impl Iterator<Item = (usize, T)> + '_ {
        let range = self.range(column);
        self.rows[range.clone()].iter().map(|row| *row as usize).zip(self.values[range].iter().copied())
    }
}
