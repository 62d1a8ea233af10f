//! What a stretch of time does to the state: of itself, by sources that are straight lines over it, and by a drive that is a parabola. Matrices have a
//! fixed height, which the compiler unrolls.

use super::modal::add_product;
use super::propagator::{Propagator, one_norm};
use super::reduced::Reduced;
use nalgebra::DMatrix;
use pulp::{Arch, Simd, WithSimd};

/// Norm of A h up to which the series is summed …
const SERIES_NORM: f64 = 0.5;
/// … and its terms, four blocks of as many powers: 2^-16 / 18! is below 1e-20.
const BLOCKS: usize = 4;

/// One stretch.
#[derive(Clone, Debug)]
pub(crate) struct Passage {
    /// Its length in seconds.
    pub(crate) length: f64,
    /// e^(A h) - 1.
    pub(crate) change: DMatrix<f64>,
    /// What sources of 1 add: h phi1(A h) B.
    pub(crate) of_sources: DMatrix<f64>,
    /// What slopes of 1 add: h^2 phi2(A h) B + h phi1(A h) E.
    pub(crate) of_slopes: DMatrix<f64>,
    /// What drives of 1, t and t^2 / 2 add: h phi1(A h) D, h^2 phi2(A h) D, h^3 phi3(A h) D.
    pub(crate) of_drive: [DMatrix<f64>; 3],
}

/// The matrices of y' = A y + B u + E u' + D d.
#[derive(Clone, Copy)]
struct Rates<'a> {
    a: &'a DMatrix<f64>,
    b: &'a DMatrix<f64>,
    e: &'a DMatrix<f64>,
    drive: &'a DMatrix<f64>,
    /// Only the first sources, that many, ever have a slope.
    moving: usize,
}

/// Sources as a walk takes them: those that stand still for all of it are one.
pub(crate) struct Forcing {
    /// What the sources that move, and all others together, add to the rates …
    b: DMatrix<f64>,
    /// … and what the slopes of those that move add.
    e: DMatrix<f64>,
    moving: Vec<usize>,
}

impl Forcing {
    /// With the value of each source that stands still.
    pub(crate) fn new(reduced: &Reduced, still: &[Option<f64>]) -> Self {
        let moving: Vec<usize> = (0..still.len()).filter(|source| still[*source].is_none()).collect();
        let mut b = DMatrix::zeros(reduced.a.nrows(), moving.len() + 1);
        let mut e = DMatrix::zeros(reduced.a.nrows(), moving.len());
        for (place, source) in moving.iter().enumerate() {
            b.set_column(place, &reduced.b.column(*source));
            e.set_column(place, &reduced.e.column(*source));
        }
        for (source, value) in still.iter().enumerate() {
            if let Some(value) = value {
                b.column_mut(moving.len()).axpy(*value, &reduced.b.column(source), 1.0);
            }
        }
        Self { b, e, moving }
    }
}

impl Passage {
    /// Over a duration in seconds, without a drive.
    pub(crate) fn new(reduced: &Reduced, forcing: &Forcing, duration: f64) -> Self {
        let nothing = DMatrix::zeros(reduced.a.nrows(), 0);
        let Forcing { b, e, moving } = forcing;
        Rates { a: &reduced.a, b, e, drive: &nothing, moving: moving.len() }.over(duration, 0).swap_remove(0)
    }

    /// The state at the end, from that at the start, the sources just after it, and their slopes.
    pub(crate) fn pass(
        &self,
        forcing: &Forcing,
        state: &[f64],
        sources: &[f64],
        slopes: &[f64],
        next: &mut [f64],
    ) {
        next.copy_from_slice(state);
        add_product(&self.change, state, next);
        let size = next.len().max(1);
        let mut constant = self.of_sources.as_slice().chunks_exact(size);
        let growing = self.of_slopes.as_slice().chunks_exact(size);
        for ((source, column), growing) in forcing.moving.iter().zip(constant.by_ref()).zip(growing) {
            add_column(column, sources[*source], next);
            add_column(growing, slopes[*source], next);
        }
        for still in constant {
            add_column(still, 1.0, next);
        }
    }

    /// Over a duration (first) and its halvings (each half of the one before), at least `finer` of them shorter than a quarter of
    /// the fastest time constant.
    pub(crate) fn halvings(
        reduced: &Reduced,
        drive: &DMatrix<f64>,
        duration: f64,
        finer: usize,
    ) -> Vec<Self> {
        let (Reduced { a, b, e, .. }, moving) = (reduced, reduced.b.ncols());
        Rates { a, b, e, drive, moving }.over(duration, finer)
    }

    /// e^(A h) - 1 alone.
    pub(crate) fn change(a: &DMatrix<f64>, duration: f64) -> DMatrix<f64> {
        let nothing = DMatrix::zeros(a.nrows(), 0);
        Rates { a, b: &nothing, e: &nothing, drive: &nothing, moving: 0 }
            .over(duration, 0)
            .swap_remove(0)
            .change
    }
}

impl Rates<'_> {
    /// The duration, and where `finer` is not 0 all its halvings.
    fn over(self, duration: f64, finer: usize) -> Vec<Passage> {
        match self.a.nrows() {
            0..=4 => self.small::<4>(duration, finer),
            5..=8 => self.small::<8>(duration, finer),
            9..=12 => self.small::<12>(duration, finer),
            13..=16 => self.small::<16>(duration, finer),
            _ => self.large(duration, finer),
        }
    }

    fn large(self, duration: f64, finer: usize) -> Vec<Passage> {
        let propagator = Propagator::new(self.a, duration, finer);
        let kept = if finer == 0 { 1 } else { propagator.levels.len() };
        let passage = |level: &super::propagator::Level| {
            let [of_sources, growing, _] = level.moments(self.b);
            let of_slopes =
                growing.columns(0, self.moving) + level.moments(self.e)[0].columns(0, self.moving);
            let (change, of_drive) = (level.change().clone(), level.moments(self.drive));
            Passage { length: level.step, change, of_sources, of_slopes, of_drive }
        };
        propagator.levels[..kept].iter().map(passage).collect()
    }

    /// The series over a short step, doubled until the step is the whole duration (as in [`Propagator`], all of whose matrices this has
    /// no use for).
    fn small<const N: usize>(self, duration: f64, finer: usize) -> Vec<Passage> {
        // The series' step may be that many times shorter than a quarter of the fastest time constant already.
        let spared = (0.25f64 / SERIES_NORM).log2().round() as i32;
        let wanted = (one_norm(self.a) * duration / SERIES_NORM).log2().ceil().max(0.0) as i32;
        let halvings = if finer == 0 { wanted } else { wanted.max(spared) + finer as i32 - spared };
        let mut step = Step::<N>::new(self, duration * 0.5f64.powi(halvings));
        let mut all = Vec::with_capacity(if finer == 0 { 1 } else { 1 + halvings as usize });
        let machine = Arch::new();
        if finer == 0 {
            machine.dispatch(Grow { step: &mut step, doublings: halvings, from_series: true });
        } else {
            machine.dispatch(Grow { step: &mut step, doublings: 0, from_series: true });
            for _ in 0..halvings {
                all.push(step.passage());
                machine.dispatch(Grow { step: &mut step, doublings: 1, from_series: false });
            }
        }
        step.length = duration;
        all.push(step.passage());
        all.reverse();
        all
    }
}

/// Work done with the widest instructions that the machine has; none of them rounds otherwise than the narrow ones.
struct Grow<'a, const N: usize> {
    step: &'a mut Step<N>,
    doublings: i32,
    from_series: bool,
}

impl<const N: usize> WithSimd for Grow<'_, N> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        if self.from_series {
            self.step.sum_series();
        }
        for _ in 0..self.doublings {
            self.step.double();
        }
    }
}

/// Columns of a matrix of N rows, the last of which may be there for the machine's sake alone.
type Columns<const N: usize> = Vec<[f64; N]>;

/// A stretch on its way from the series to the whole duration.
struct Step<const N: usize> {
    size: usize,
    length: f64,
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
    fn new(rates: Rates<'_>, length: f64) -> Self {
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

    // Loops here and below are plain: closures that iterators take would not get the wide instructions.
    #[inline(always)]
    fn sum_series(&mut self) {
        let (h, size) = (self.length, self.size);
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

    fn passage(&self) -> Passage {
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

fn add_column(column: &[f64], factor: f64, out: &mut [f64]) {
    if factor != 0.0 {
        out.iter_mut().zip(column).for_each(|(out, value)| *out += factor * value);
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Against nalgebra's matrix exponential of augmented matrices (Van Loan, IEEE Trans. Automatic Control 23, 1978), at all heights, over
    /// the duration and its half.
    #[test]
    fn agrees_with_augmented_exponential() {
        for size in [1, 3, 7, 10, 15, 18] {
            let a = DMatrix::from_fn(size, size, |row, column| {
                let entry = ((3 * row + 7 * column) % 11) as f64 - 5.0;
                if row == column { -20.0 * (1 + row) as f64 } else { entry }
            });
            let b = DMatrix::from_fn(size, 2, |row, column| (row + 2 * column) as f64 - 3.0);
            let e = DMatrix::from_fn(size, 2, |row, column| 0.1 * (row as f64 - column as f64));
            let drive = DMatrix::from_fn(size, 1, |row, _| 1.0 - row as f64);
            // phi1, phi2 and phi3 times a matrix, each with its power of the duration, from a chain of integrators behind it.
            let moments = |columns: &DMatrix<f64>, duration: f64| -> [DMatrix<f64>; 3] {
                let width = columns.ncols();
                let mut big = DMatrix::zeros(size + 3 * width, size + 3 * width);
                big.view_mut((0, 0), (size, size)).copy_from(&a);
                big.view_mut((0, size), (size, width)).copy_from(columns);
                big.view_mut((size, size + width), (2 * width, 2 * width)).fill_with_identity();
                let whole = (big * duration).exp();
                [0, 1, 2].map(|power| whole.view((0, size + power * width), (size, width)).into_owned())
            };
            let rates = Rates { a: &a, b: &b, e: &e, drive: &drive, moving: 2 };
            let duration = 0.21;
            let alone = rates.over(duration, 0);
            let all = rates.over(duration, 3);
            assert_eq!(alone.len(), 1);
            for (ours, duration) in [(&alone[0], duration), (&all[0], duration), (&all[1], 0.5 * duration)] {
                let change = (&a * duration).exp() - DMatrix::<f64>::identity(size, size);
                let [of_sources, growing, _] = moments(&b, duration);
                let of_slopes = growing + &moments(&e, duration)[0];
                let [first, second, third] = moments(&drive, duration);
                let theirs = [change, of_sources, of_slopes, first, second, third];
                let [first, second, third] = &ours.of_drive;
                let ours = [&ours.change, &ours.of_sources, &ours.of_slopes, first, second, third];
                for (index, (ours, theirs)) in ours.into_iter().zip(theirs).enumerate() {
                    // Rounding of about ten squarings at a norm of a hundred.
                    let apart = (ours - &theirs).amax();
                    assert!(
                        apart < 1e-12 * theirs.amax(),
                        "{index} of {size}: {apart:e} of {}",
                        theirs.amax()
                    );
                }
            }
        }
    }
}
