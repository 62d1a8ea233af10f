//! A sparse matrix by columns, and its assembly from stamps.

use nalgebra::{ComplexField, DMatrix};

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
    pub starts: Vec<usize>,
    /// Row of each entry.
    pub rows: Vec<usize>,
    /// Value of each entry.
    pub values: Vec<T>,
}

impl<T: ComplexField<RealField = f64> + Copy> Matrix<T> {
    /// Number of rows and columns.
    #[must_use]
    pub fn size(&self) -> usize {
        self.starts.len().saturating_sub(1)
    }

    /// Rows and values of a column.
    pub fn column(&self, column: usize) -> impl Iterator<Item = (usize, T)> + '_ {
        let entries = self.starts[column]..self.starts[column + 1];
        entries.map(|entry| (self.rows[entry], self.values[entry]))
    }

    /// Place of an entry among the values; `None` where the pattern has none.
    #[must_use]
    pub fn place(&self, row: usize, column: usize) -> Option<usize> {
        let start = self.starts[column];
        let found = self.rows[start..self.starts[column + 1]].binary_search(&row);
        found.ok().map(|place| start + place)
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
    places: Vec<(usize, usize)>,
    stamped: Vec<T>,
    /// Entry of the matrix that each stamp adds to; empty before the first round ends.
    slots: Vec<usize>,
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
            self.matrix.values[*slot] += *value;
        }
        (&self.matrix, same)
    }

    fn find_pattern(&mut self) {
        let mut sorted: Vec<(usize, usize, usize)> =
            self.places.iter().enumerate().map(|(stamp, (row, column))| (*column, *row, stamp)).collect();
        sorted.sort_unstable();
        let matrix = &mut self.matrix;
        matrix.rows.clear();
        matrix.starts = vec![0; self.size + 1];
        self.slots = vec![0; self.places.len()];
        let mut last = None;
        for (column, row, stamp) in sorted {
            if last != Some((column, row)) {
                matrix.rows.push(row);
                matrix.starts[column + 1] += 1;
                last = Some((column, row));
            }
            self.slots[stamp] = matrix.rows.len() - 1;
        }
        for column in 0..self.size {
            matrix.starts[column + 1] += matrix.starts[column];
        }
        matrix.values = vec![T::zero(); matrix.rows.len()];
    }
}

impl<T: ComplexField<RealField = f64> + Copy> Stamp<T> for Assembly<T> {
    fn add(&mut self, row: usize, column: usize, value: T) {
        let stamp = self.stamped.len();
        match self.places.get_mut(stamp) {
            Some(place) if *place == (row, column) => {}
            // Another order of stamps: a new pattern from here on.
            Some(_) => {
                self.places.truncate(stamp);
                self.places.push((row, column));
                self.slots.clear();
            }
            None => {
                self.places.push((row, column));
                self.slots.clear();
            }
        }
        self.stamped.push(value);
    }
}
