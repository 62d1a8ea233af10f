//! LU factors of small dense matrices, by columns: modes want half a dozen of them a network, and of a handful of rows a general
//! library spends most of its time on other things than numbers.

use nalgebra::ComplexField;

/// P A = L U (Golub and Van Loan, Matrix Computations, 4th ed., algorithm 3.4.1).
pub(super) struct Dense<T> {
    size: usize,
    /// L below the diagonal, U above, the inverses of U's diagonal on it; columns one after the other.
    values: Vec<T>,
    /// The row that was swapped with each.
    swaps: Vec<usize>,
}

impl<T: ComplexField<RealField = f64> + Copy> Dense<T> {
    /// Of a matrix by columns; `None` where a column has no pivot.
    pub(super) fn factor(mut values: Vec<T>, size: usize) -> Option<Self> {
        let mut swaps = Vec::with_capacity(size);
        for step in 0..size {
            let column = &values[step * size..(step + 1) * size];
            let pivot = (step..size).max_by(|a, b| column[*a].norm1().total_cmp(&column[*b].norm1()))?;
            let most = column[pivot].norm1();
            if most == 0.0 || !most.is_finite() {
                return None;
            }
            swaps.push(pivot);
            let (done, rest) = values.split_at_mut((step + 1) * size);
            let column = &mut done[step * size..];
            column.swap(step, pivot);
            let inverse = T::one() / column[step];
            column[step] = inverse;
            let below = &mut column[step + 1..];
            below.iter_mut().for_each(|value| *value *= inverse);
            for other in rest.chunks_exact_mut(size) {
                other.swap(step, pivot);
                let factor = other[step];
                subtract(&mut other[step + 1..], below, factor);
            }
        }
        Some(Self { size, values, swaps })
    }

    /// Solves A x = b in place.
    pub(super) fn solve(&self, x: &mut [T]) {
        let columns = self.values.chunks_exact(self.size);
        for (step, (column, other)) in columns.zip(&self.swaps).enumerate() {
            // Columns of L stand as rows stood when they were made.
            x.swap(step, *other);
            let value = x[step];
            subtract(&mut x[step + 1..], &column[step + 1..], value);
        }
        for (step, column) in self.values.chunks_exact(self.size).enumerate().rev() {
            let value = x[step] * column[step];
            x[step] = value;
            subtract(&mut x[..step], &column[..step], value);
        }
    }
}

fn subtract<T: ComplexField + Copy>(out: &mut [T], column: &[T], factor: T) {
    for (out, value) in out.iter_mut().zip(column) {
        *out -= *value * factor;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{Complex, DMatrix, DVector};

    /// Against nalgebra's, of matrices whose first pivots are 0.
    #[test]
    fn agrees_with_a_library() {
        for size in [1, 2, 5, 9, 30] {
            let matrix = DMatrix::from_fn(size, size, |row, column| {
                let entry = |factor: f64| (factor * (row + 1) as f64 + 1.3 * (column * column) as f64).sin();
                Complex::new(if row == column && row < 3 && size > 1 { 0.0 } else { entry(3.7) }, entry(2.9))
            });
            let right = DVector::from_fn(size, |row, _| Complex::new(row as f64 - 1.5, 0.25));
            let mut found: Vec<_> = right.iter().copied().collect();
            Dense::factor(matrix.as_slice().to_vec(), size).expect("regular").solve(&mut found);
            let departure = &matrix * DVector::from_vec(found.clone()) - right;
            let greatest = found.iter().map(|value| value.norm()).fold(0.0, f64::max);
            // A few roundings an operation.
            assert!(departure.norm() < 1e-14 * size as f64 * matrix.norm() * greatest, "{size}");
        }
        assert!(Dense::factor(vec![Complex::new(1.0, 2.0); 4], 2).is_none(), "columns are the same");
    }
}
