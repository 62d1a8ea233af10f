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

    /// Stamps sorted by column and row in two passes of counting, which takes time in proportion to their number.
    fn find_pattern(&mut self) {
        let all: Vec<u32> = (0..self.places.len() as u32).collect();
        let by_row = sorted(&all, self.size, |stamp| self.places[stamp].0);
        let sorted = sorted(&by_row, self.size, |stamp| self.places[stamp].1);
        let matrix = &mut self.matrix;
        matrix.rows.clear();
        matrix.starts = vec![0; self.size + 1];
        self.slots = vec![0; self.places.len()];
        let mut last = None;
        for stamp in sorted {
            let (row, column) = self.places[stamp as usize];
            if last != Some((row, column)) {
                matrix.rows.push(row);
                matrix.starts[column as usize + 1] += 1;
                last = Some((row, column));
            }
            self.slots[stamp as usize] = matrix.rows.len() as u32 - 1;
        }
        for column in 0..self.size {
            matrix.starts[column + 1] += matrix.starts[column];
        }
        matrix.values = vec![T::zero(); matrix.rows.len()];
    }
}

/// Stamps by a key below `size`, those of one key in the order in which they came.
fn sorted(stamps: &[u32], size: usize, key: impl Fn(usize) -> u32) -> Vec<u32> {
    // Where the next stamp of each key goes.
    let mut places = vec![0_u32; size + 1];
    for stamp in stamps {
        places[key(*stamp as usize) as usize + 1] += 1;
    }
    for k in 0..size {
        places[k + 1] += places[k];
    }
    let mut sorted = vec![0; stamps.len()];
    for stamp in stamps {
        let next = &mut places[key(*stamp as usize) as usize];
        sorted[*next as usize] = *stamp;
        *next += 1;
    }
    sorted
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
