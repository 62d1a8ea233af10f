//! What a stretch of time does to the state: of itself, by sources that are straight lines over it, and by a drive that is a parabola.

mod step;

use super::modal::add_product;
use super::propagator::{Propagator, one_norm};
use super::reduced::Reduced;
use nalgebra::DMatrix;
use step::{SERIES_NORM, Step, follow};

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

    /// Puts this stretch behind what happened before, both told as what they change: (1 + C) (1 + P) - 1 = P + C (1 + P).
    pub(crate) fn follow(&self, before: &mut DMatrix<f64>) {
        match before.nrows() {
            0 => {}
            1..=4 => follow::<4>(&self.change, before),
            5..=8 => follow::<8>(&self.change, before),
            9..=12 => follow::<12>(&self.change, before),
            13..=16 => follow::<16>(&self.change, before),
            _ => *before += &self.change + &self.change * &*before,
        }
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
        if finer == 0 {
            step.grow(halvings);
        } else {
            step.grow(0);
            for _ in 0..halvings {
                all.push(step.passage());
                step.grow(1);
            }
        }
        step.length = duration;
        all.push(step.passage());
        all.reverse();
        all
    }
}

fn add_column(column: &[f64], factor: f64, out: &mut [f64]) {
    if factor != 0.0 {
        out.iter_mut().zip(column).for_each(|(out, value)| *out += factor * value);
    }
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
