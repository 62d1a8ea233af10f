//! What a stretch of time does to the state: of itself, by sources that are straight lines over it, and by a drive that is a parabola. Matrices have a
//! fixed height, which the compiler unrolls.

use super::propagator::{Propagator, one_norm};
use super::reduced::Reduced;
use nalgebra::DMatrix;
use pulp::{Arch, Simd, WithSimd};

/// Norm of A h up to which the series is summed …
const SERIES_NORM: f64 = 0.031_25;
/// … and its terms: 2^-50 / 11! is below 1e-22.
const SERIES_TERMS: usize = 10;

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
}

impl Passage {
    /// Over a duration in seconds, without a drive.
    pub(crate) fn new(reduced: &Reduced, duration: f64) -> Self {
        let nothing = DMatrix::zeros(reduced.a.nrows(), 0);
        Rates { a: &reduced.a, b: &reduced.b, e: &reduced.e, drive: &nothing }
            .over(duration, 0)
            .swap_remove(0)
    }

    /// Over a duration (first) and its halvings (each half of the one before), at least `finer` of them shorter than a quarter of
    /// the fastest time constant.
    pub(crate) fn halvings(
        reduced: &Reduced,
        drive: &DMatrix<f64>,
        duration: f64,
        finer: usize,
    ) -> Vec<Self> {
        Rates { a: &reduced.a, b: &reduced.b, e: &reduced.e, drive }.over(duration, finer)
    }

    /// e^(A h) - 1 alone.
    pub(crate) fn change(a: &DMatrix<f64>, duration: f64) -> DMatrix<f64> {
        let nothing = DMatrix::zeros(a.nrows(), 0);
        Rates { a, b: &nothing, e: &nothing, drive: &nothing }.over(duration, 0).swap_remove(0).change
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
            let of_slopes = growing + &level.moments(self.e)[0];
            let (change, of_drive) = (level.change().clone(), level.moments(self.drive));
            Passage { length: level.step, change, of_sources, of_slopes, of_drive }
        };
        propagator.levels[..kept].iter().map(passage).collect()
    }

    /// The series over a short step, doubled until the step is the whole duration (as in [`Propagator`], all of whose matrices this has
    /// no use for).
    fn small<const N: usize>(self, duration: f64, finer: usize) -> Vec<Passage> {
        // The series' step is that many times shorter than a quarter of the fastest time constant already.
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
    /// h^2 phi2(A h) times B and D.
    growing: Columns<N>,
    /// h^3 phi3(A h) times D.
    bending: Columns<N>,
    sources: usize,
    drives: usize,
}

impl<const N: usize> Step<N> {
    /// With the matrices themselves where their series will stand.
    fn new(rates: Rates<'_>, length: f64) -> Self {
        let size = rates.a.nrows();
        let mut of_state = [[0.0; N]; N];
        of_state.iter_mut().zip(rates.a.column_iter()).for_each(|(place, column)| fill(place, column.iter()));
        let drives = rates.drive.ncols();
        let moving = rates.e.amax() > 0.0;
        let forced = || rates.b.column_iter().chain(rates.drive.column_iter());
        let late = moving.then(|| rates.e.column_iter()).into_iter().flatten();
        Self {
            size,
            length,
            rates: of_state,
            change: of_state,
            constant: forced().chain(late).map(|column| filled(column.iter())).collect(),
            growing: forced().map(|column| filled(column.iter())).collect(),
            bending: rates.drive.column_iter().map(|column| filled(column.iter())).collect(),
            sources: rates.b.ncols(),
            drives,
        }
    }

    // Loops here and below are plain: closures that iterators take would not get the wide instructions.
    #[inline(always)]
    fn sum_series(&mut self) {
        let h = self.length;
        let mut z = self.rates;
        for column in &mut z {
            scale(column, h);
        }
        for column in &mut self.change[..self.size] {
            phi(&z, 1, h, column);
        }
        for column in &mut self.constant {
            phi(&z, 1, h, column);
        }
        for column in &mut self.growing {
            phi(&z, 2, h * h / 2.0, column);
        }
        for column in &mut self.bending {
            phi(&z, 3, h * h * h / 6.0, column);
        }
    }

    /// Both halves one after the other.
    #[inline(always)]
    fn double(&mut self) {
        let (change, length) = (self.change, self.length);
        for (drive, bending) in self.bending.iter_mut().enumerate() {
            let at = self.sources + drive;
            let forced = added(twice(&change, bending), &self.growing[at], length);
            *bending = added(forced, &self.constant[at], 0.5 * length * length);
        }
        for (growing, constant) in self.growing.iter_mut().zip(&self.constant) {
            *growing = added(twice(&change, growing), constant, length);
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
            let values = columns.iter().flat_map(|column| column[..self.size].iter().copied());
            DMatrix::from_iterator(self.size, columns.len(), values)
        };
        let (of_sources, rest) = self.constant.split_at(self.sources);
        let (of_drive, of_slopes) = rest.split_at(self.drives);
        let mut growing = matrix(&self.growing[..self.sources]);
        if !of_slopes.is_empty() {
            growing += matrix(of_slopes);
        }
        Passage {
            length: self.length,
            change: matrix(&self.change[..self.size]),
            of_sources: matrix(of_sources),
            of_slopes: growing,
            of_drive: [matrix(of_drive), matrix(&self.growing[self.sources..]), matrix(&self.bending)],
        }
    }
}

fn fill<'a, const N: usize>(place: &mut [f64; N], values: impl Iterator<Item = &'a f64>) {
    place.iter_mut().zip(values).for_each(|(place, value)| *place = *value);
}

fn filled<'a, const N: usize>(values: impl Iterator<Item = &'a f64>) -> [f64; N] {
    let mut column = [0.0; N];
    fill(&mut column, values);
    column
}

/// A column times a factor and k! phi(k)(z), by Horner's rule: (1 + z / (k + 1) (1 + z / (k + 2) (…))).
#[inline(always)]
fn phi<const N: usize>(z: &[[f64; N]; N], k: usize, factor: f64, column: &mut [f64; N]) {
    let mut sum = *column;
    for term in (k + 1..=k + SERIES_TERMS).rev() {
        sum = added(*column, &applied(z, &sum), 1.0 / term as f64);
    }
    scale(&mut sum, factor);
    *column = sum;
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
            let rates = Rates { a: &a, b: &b, e: &e, drive: &drive };
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
