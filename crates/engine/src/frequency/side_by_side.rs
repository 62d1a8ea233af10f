//! Several frequencies at once: what is done to one is done to all, each in a lane of the machine's registers.
//!
//! All frequencies of a sweep share the pattern of their matrix, and the order in which entries are made. Pivots are those of one of
//! them; a lane whose pivots are too small with these says so, and is left to be solved by itself.

use super::small_signal::{SOUND, Spread};
use crate::linear::{Entries, Factors, Initial, Lanes, Number, Plan};
use nalgebra::Complex;
use pulp::{Arch, Simd, WithSimd};

/// How many frequencies go side by side.
pub(super) const LANES: usize = 8;

type Number8 = Lanes<LANES>;

/// Something that is asked for: unknowns, of which the second is subtracted from the first, with one of the right sides.
pub(super) struct Wanted {
    pub(super) right: usize,
    pub(super) plus: Option<usize>,
    pub(super) minus: Option<usize>,
}

/// A plan of elimination with what the matrix has, and room to go through it.
pub(super) struct SideBySide {
    plan: Plan,
    /// In the order in which entries are made: what stands still and what moves with frequency.
    parts: Vec<[f64; 2]>,
    /// Entries of large capacitors among them, and their capacitances.
    large: Vec<(usize, f64)>,
    /// Angular frequency above which the matrix is written so.
    from: f64,
    /// For each right side its entries, by steps.
    rights: Vec<Vec<(usize, Complex<f64>)>>,
    /// What is asked for, by steps.
    wanted: Vec<Wanted>,
    /// No step below this is looked at.
    least: usize,
    values: Entries<Number8>,
    x: Vec<Number8>,
}

impl SideBySide {
    /// Takes the plan of factors at one frequency.
    pub(super) fn new(
        (factors, spread): (&mut Factors<Complex<f64>>, &Spread),
        rights: &[Vec<Complex<f64>>],
        wanted: &[Wanted],
    ) -> Self {
        let (plan, columns, rows) = factors.plan(&spread.matrix);
        let nowhere = [0.0; 2];
        let parts = plan.places().map(|place| place.map_or(nowhere, |place| spread.parts[place])).collect();
        let large = plan.places().enumerate().filter_map(|(entry, place)| {
            let (_, capacitance) = spread.large.iter().find(|(other, _)| Some(*other) == place)?;
            Some((entry, *capacitance))
        });
        let large = if spread.large.is_empty() { Vec::new() } else { large.collect() };
        let step_of = |order: &[u32]| {
            let mut steps = vec![0; order.len()];
            order.iter().enumerate().for_each(|(step, which)| steps[*which as usize] = step);
            steps
        };
        let (row_steps, column_steps) = (step_of(rows), step_of(columns));
        let entries = |right: &Vec<Complex<f64>>| {
            let entries = right.iter().enumerate().filter(|(_, value)| **value != Complex::new(0.0, 0.0));
            entries.map(|(row, value)| (row_steps[row], *value)).collect()
        };
        let by_step = |unknown: Option<usize>| unknown.map(|unknown| column_steps[unknown]);
        let wanted: Vec<Wanted> = wanted
            .iter()
            .map(|it| Wanted { right: it.right, plus: by_step(it.plus), minus: by_step(it.minus) })
            .collect();
        let least = wanted.iter().flat_map(|it| [it.plus, it.minus]).flatten().min().unwrap_or(plan.size());
        Self {
            parts,
            large,
            from: spread.from,
            rights: rights.iter().map(entries).collect(),
            wanted,
            least,
            values: plan.room(),
            x: vec![Number8::zero(); plan.size()],
            plan: plan.clone(),
        }
    }

    /// What is asked for at angular frequencies, and which of them are answered.
    pub(super) fn answer(&mut self, omegas: [f64; LANES], found: &mut [Number8]) -> [bool; LANES] {
        let greatest = Arch::new().dispatch(Round { all: &mut *self, omegas, found });
        std::array::from_fn(|lane| self.covers(omegas[lane]) && greatest[lane] <= 1.0 / SOUND)
    }

    /// Whether the matrix is written for an angular frequency.
    pub(super) fn covers(&self, omega: f64) -> bool {
        omega > self.from
    }

    #[inline(always)]
    fn round(&mut self, omegas: [f64; LANES], found: &mut [Number8]) -> [f64; LANES] {
        let mut large = self.large.iter();
        let next = large.next();
        let parts = At { parts: self.parts.iter(), entry: 0, large, next, omegas };
        let greatest = self.plan.factor(&mut self.values, parts);
        for (index, right) in self.rights.iter().enumerate() {
            self.x.fill(Number8::zero());
            for (step, value) in right {
                self.x[*step] = Number8::all(*value);
            }
            self.plan.solve(&self.values, &mut self.x, self.least);
            for (wanted, found) in self.wanted.iter().zip(&mut *found).filter(|(it, _)| it.right == index) {
                let at = |step: Option<usize>| step.map_or(Number8::zero(), |step| self.x[step]);
                let (plus, minus) = (at(wanted.plus), at(wanted.minus));
                *found = plus.minus_product(minus, Number8::all(Complex::new(1.0, 0.0)));
            }
        }
        greatest
    }
}

/// Work that is compiled for each kind of machine.
struct Round<'a> {
    all: &'a mut SideBySide,
    omegas: [f64; LANES],
    found: &'a mut [Number8],
}

impl WithSimd for Round<'_> {
    type Output = [f64; LANES];

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) -> [f64; LANES] {
        self.all.round(self.omegas, self.found)
    }
}

/// The matrix at angular frequencies, in the order in which entries are made.
struct At<'a> {
    parts: std::slice::Iter<'a, [f64; 2]>,
    entry: usize,
    large: std::slice::Iter<'a, (usize, f64)>,
    next: Option<&'a (usize, f64)>,
    omegas: [f64; LANES],
}

impl Initial<Number8> for At<'_> {
    #[inline(always)]
    fn next(&mut self, _: u32) -> Number8 {
        let Some([still, moving]) = self.parts.next() else { return Number8::zero() };
        let mut value = Number8 { re: [*still; LANES], im: [0.0; LANES] };
        for k in 0..LANES {
            value.im[k] = moving * self.omegas[k];
        }
        if let Some((entry, capacitance)) = self.next {
            if *entry == self.entry {
                for k in 0..LANES {
                    value.im[k] = 1.0 / (self.omegas[k] * capacitance);
                }
                self.next = self.large.next();
            }
            self.entry += 1;
        }
        value
    }
}
