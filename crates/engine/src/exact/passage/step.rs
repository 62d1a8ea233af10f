//! A stretch of time on its way from the series to the whole duration. Matrices have a fixed height, which the compiler unrolls.

use super::{Passage, Rates};
use nalgebra::DMatrix;
use pulp::{Arch, Simd, WithSimd};

/// Norm of A h up to which the series is summed …
pub(super) const SERIES_NORM: f64 = 0.5;
/// … and its terms, four blocks of as many powers: 2^-16 / 18! is below 1e-20.
const BLOCKS: usize = 4;

/// Work done with the widest instructions that the machine has; none of them rounds otherwise than the narrow ones.
struct Grow<'a, const N: usize> {
    step: &'a mut Step<N>,
    doublings: i32,
}

impl<const N: usize> WithSimd for Grow<'_, N> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        if !self.step.summed {
            self.step.sum_series();
        }
        for _ in 0..self.doublings {
            self.step.double();
        }
    }
}

/// One stretch put behind others.
struct Follow<'a, const N: usize> {
    change: &'a [[f64; N]; N],
    before: &'a mut [[f64; N]],
}

impl<const N: usize> WithSimd for Follow<'_, N> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        for (column, change) in self.before.iter_mut().zip(self.change) {
            let moved = added(applied(self.change, column), column, 1.0);
            *column = added(moved, change, 1.0);
        }
    }
}

/// See [`Passage::follow`]; of matrices of at most N rows.
pub(super) fn follow<const N: usize>(change: &DMatrix<f64>, before: &mut DMatrix<f64>) {
    let size = before.nrows();
    let mut of_state = [[0.0; N]; N];
    let all = change.as_slice().chunks_exact(size);
    of_state.iter_mut().zip(all).for_each(|(place, column)| *place = filled(column));
    let mut columns = [[0.0; N]; N];
    let all = before.as_slice().chunks_exact(size);
    columns.iter_mut().zip(all).for_each(|(place, column)| *place = filled(column));
    Arch::new().dispatch(Follow { change: &of_state, before: &mut columns[..size] });
    let all = before.as_mut_slice().chunks_exact_mut(size);
    all.zip(&columns).for_each(|(place, column)| place.copy_from_slice(&column[..size]));
}

/// Columns of a matrix of N rows, the last of which may be there for the machine's sake alone.
type Columns<const N: usize> = Vec<[f64; N]>;

/// A stretch on its way from the series to the whole duration.
pub(super) struct Step<const N: usize> {
    size: usize,
    /// Whether the series has been summed.
    summed: bool,
    pub(super) length: f64,
    /// A, columns beyond the last being 0.
    rates: [[f64; N]; N],
    change: [[f64; N]; N],
    /// h phi1(A h) times B, D and, if anything is there, E.
    constant: Columns<N>,
    /// h^2 phi2(A h) times those of B that move, and D.
    growing: Columns<N>,
    /// h^3 phi3(A h) times D.
    bending: Columns<N>,
    sources: usize,
    moving: usize,
    drives: usize,
}

impl<const N: usize> Step<N> {
    /// With the matrices themselves where their series will stand.
    pub(super) fn new(rates: Rates<'_>, length: f64) -> Self {
        let size = rates.a.nrows();
        let columns = |matrix: &DMatrix<f64>, count: usize| -> Columns<N> {
            let values = matrix.as_slice();
            (0..count).map(|column| filled(&values[column * size..(column + 1) * size])).collect()
        };
        let mut of_state = [[0.0; N]; N];
        let all = rates.a.as_slice().chunks_exact(size.max(1));
        of_state.iter_mut().zip(all).for_each(|(place, column)| *place = filled(column));
        let (sources, drives) = (rates.b.ncols(), rates.drive.ncols());
        let bending = columns(rates.drive, drives);
        let forced = |sources: usize| {
            let mut forced = columns(rates.b, sources);
            forced.extend_from_slice(&bending);
            forced
        };
        let mut constant = forced(sources);
        if rates.e.iter().any(|value| *value != 0.0) {
            constant.extend(columns(rates.e, rates.moving));
        }
        Self {
            size,
            summed: false,
            length,
            rates: of_state,
            change: of_state,
            constant,
            growing: forced(rates.moving),
            bending,
            sources,
            moving: rates.moving,
            drives,
        }
    }

    /// Doubles the stretch so often, the series having been summed before.
    pub(super) fn grow(&mut self, doublings: i32) {
        Arch::new().dispatch(Grow { step: self, doublings });
    }

    // Loops here and below are plain: closures that iterators take would not get the wide instructions.
    #[inline(always)]
    fn sum_series(&mut self) {
        let (h, size) = (self.length, self.size);
        self.summed = true;
        let mut z = self.rates;
        for column in &mut z {
            scale(column, h);
        }
        // phi2 = 1/2! + z phi3, phi1 = 1 + z phi2, e^z - 1 = z phi1.
        let mut phi2;
        if self.bending.is_empty() {
            phi2 = phi(&z, 2, size);
        } else {
            let phi3 = phi(&z, 3, size);
            replace_by_product(&phi3, &mut self.bending, h * h * h);
            phi2 = phi3;
            replace_by_product(&z, &mut phi2[..size], 1.0);
            add_to_diagonal(&mut phi2, size, 0.5);
        }
        replace_by_product(&phi2, &mut self.growing, h * h);
        let mut phi1 = phi2;
        replace_by_product(&z, &mut phi1[..size], 1.0);
        add_to_diagonal(&mut phi1, size, 1.0);
        replace_by_product(&phi1, &mut self.constant, h);
        self.change = phi1;
        replace_by_product(&z, &mut self.change[..size], 1.0);
    }

    /// Both halves one after the other.
    #[inline(always)]
    fn double(&mut self) {
        let (change, length) = (self.change, self.length);
        for (drive, bending) in self.bending.iter_mut().enumerate() {
            let forced = added(twice(&change, bending), &self.growing[self.moving + drive], length);
            *bending = added(forced, &self.constant[self.sources + drive], 0.5 * length * length);
        }
        for (place, growing) in self.growing.iter_mut().enumerate() {
            let still = if place < self.moving { 0 } else { self.sources - self.moving };
            *growing = added(twice(&change, growing), &self.constant[place + still], length);
        }
        for column in &mut self.constant {
            *column = twice(&change, column);
        }
        for column in &mut self.change[..self.size] {
            *column = twice(&change, column);
        }
        self.length *= 2.0;
    }

    pub(super) fn passage(&self) -> Passage {
        let matrix = |columns: &[[f64; N]]| {
            let mut values = Vec::with_capacity(self.size * columns.len());
            columns.iter().for_each(|column| values.extend_from_slice(&column[..self.size]));
            DMatrix::from_vec(self.size, columns.len(), values)
        };
        let (of_sources, rest) = self.constant.split_at(self.sources);
        let (of_drive, of_slopes) = rest.split_at(self.drives);
        let mut growing = matrix(&self.growing[..self.moving]);
        if !of_slopes.is_empty() {
            growing += matrix(of_slopes);
        }
        Passage {
            length: self.length,
            change: matrix(&self.change[..self.size]),
            of_sources: matrix(of_sources),
            of_slopes: growing,
            of_drive: [matrix(of_drive), matrix(&self.growing[self.moving..]), matrix(&self.bending)],
        }
    }
}

fn filled<const N: usize>(values: &[f64]) -> [f64; N] {
    let mut column = [0.0; N];
    column[..values.len()].copy_from_slice(values);
    column
}

/// phi(k)(z), the sum of powers of z each over the factorial of k more (Paterson and Stockmeyer's order of summation, SIAM J. Comput. 2, 1973:
/// blocks of four powers, by Horner's rule in the fourth).
#[inline(always)]
fn phi<const N: usize>(z: &[[f64; N]; N], k: usize, size: usize) -> [[f64; N]; N] {
    let mut second = *z;
    replace_by_product(z, &mut second[..size], 1.0);
    let mut third = second;
    replace_by_product(z, &mut third[..size], 1.0);
    let mut fourth = second;
    replace_by_product(&second, &mut fourth[..size], 1.0);
    let mut coefficients = [0.0; 4 * BLOCKS];
    let mut factorial = 1.0;
    for factor in 2..k {
        factorial *= factor as f64;
    }
    for (power, coefficient) in coefficients.iter_mut().enumerate() {
        factorial *= (power + k).max(1) as f64;
        *coefficient = 1.0 / factorial;
    }
    let mut sum = [[0.0; N]; N];
    for block in (0..BLOCKS).rev() {
        if block + 1 < BLOCKS {
            replace_by_product(&fourth, &mut sum[..size], 1.0);
        }
        let of = |power: usize| coefficients[4 * block + power];
        let [one, two, three] = [of(1), of(2), of(3)];
        for column in 0..size {
            for row in 0..N {
                let low = one * z[column][row] + two * second[column][row];
                sum[column][row] += low + three * third[column][row];
            }
            sum[column][column] += of(0);
        }
    }
    sum
}

/// A matrix times each column, times a factor.
#[inline(always)]
fn replace_by_product<const N: usize>(a: &[[f64; N]; N], columns: &mut [[f64; N]], factor: f64) {
    for column in columns {
        *column = applied(a, column);
        scale(column, factor);
    }
}

#[inline(always)]
fn add_to_diagonal<const N: usize>(matrix: &mut [[f64; N]; N], size: usize, value: f64) {
    for (k, column) in matrix[..size].iter_mut().enumerate() {
        column[k] += value;
    }
}

#[inline(always)]
fn scale<const N: usize>(column: &mut [f64; N], factor: f64) {
    for value in column {
        *value *= factor;
    }
}

/// 2 + a change, times a column.
#[inline(always)]
fn twice<const N: usize>(change: &[[f64; N]; N], column: &[f64; N]) -> [f64; N] {
    added(applied(change, column), column, 2.0)
}

/// A matrix times a column.
#[inline(always)]
fn applied<const N: usize>(a: &[[f64; N]; N], x: &[f64; N]) -> [f64; N] {
    let mut sum = [0.0; N];
    for (column, x) in a.iter().zip(x) {
        for row in 0..N {
            sum[row] += column[row] * x;
        }
    }
    sum
}

#[inline(always)]
fn added<const N: usize>(a: [f64; N], b: &[f64; N], factor: f64) -> [f64; N] {
    let mut sum = a;
    for row in 0..N {
        sum[row] += factor * b[row];
    }
    sum
}
