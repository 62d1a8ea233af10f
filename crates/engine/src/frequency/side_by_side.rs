//! Several frequencies at once: what is done to one is done to all, each in a lane of the machine's registers.
//!
//! All frequencies of a sweep share the pattern of their matrix, and the order in which entries are made. Pivots are those of one of
//! them; a lane whose pivots are too small with these says so, and is left to be solved by itself.

use super::small_signal::SOUND;
use super::spread::Spread;
use crate::linear::{Factors, Flow, Initial, Lanes, Number, Place, Wanted};
use nalgebra::Complex;
use pulp::{Arch, Simd, WithSimd};

/// So many groups of frequencies go through a large network together, so that what is to be done comes from memory once for all of them …
const GROUPS: usize = 4;
/// … unless each has more numbers than these at hand.
const FEW: usize = 1000;

/// The operations that answer frequencies, with what the matrix has, and room to go through them.
pub(super) struct SideBySide {
    flow: Flow,
    /// Of each entry, in the order in which they are made: what stands still and what moves with frequency.
    parts: Vec<[f64; 2]>,
    /// Entries of large capacitors among them, and their capacitances.
    large: Vec<(usize, f64)>,
    /// Angular frequency above which the matrix is written so.
    from: f64,
    asked: usize,
}

/// Room for numbers on the way of so many frequencies, and what is found.
pub(super) struct Room<const W: usize> {
    numbers: Vec<Lanes<W>>,
    greatest: [f64; W],
    /// Angular frequencies.
    pub(super) omegas: [f64; W],
    pub(super) found: Vec<Lanes<W>>,
}

impl SideBySide {
    /// With the pivots of factors at one frequency, for right sides by rows.
    pub(super) fn new(
        (factors, spread): (&Factors<Complex<f64>>, &Spread),
        rights: &[Vec<(usize, f64)>],
        wanted: &[Wanted],
    ) -> Self {
        let rows = |right: &Vec<(usize, f64)>| right.iter().map(|(row, _)| *row).collect();
        let rows: Vec<Vec<usize>> = rights.iter().map(rows).collect();
        let mut parts = Vec::with_capacity(factors.entries() + spread.matrix.size() * rights.len());
        let mut large: Vec<(usize, f64)> = Vec::new();
        let flow = Flow::new(factors, &spread.matrix, &rows, wanted, |place| {
            let capacitance = |place| spread.large.iter().find(|(other, _)| *other == place);
            parts.push(match place {
                Place::Matrix(place) => {
                    large.extend(capacitance(place).map(|(_, capacitance)| (parts.len(), *capacitance)));
                    spread.parts[place]
                }
                Place::Right { right, entry } => [rights[right][entry].1, 0.0],
                Place::Empty => [0.0; 2],
            });
        });
        Self { parts, large, from: spread.from, asked: wanted.len(), flow }
    }

    /// Room for frequencies in so many lanes.
    pub(super) fn room<const W: usize>(&self) -> Room<W> {
        Room {
            numbers: self.flow.room(),
            greatest: [0.0; W],
            omegas: [0.0; W],
            found: vec![Lanes::zero(); self.asked],
        }
    }

    /// How many groups of frequencies are best answered together.
    pub(super) fn groups(&self) -> usize {
        let many = self.flow.stretches().len() > 1 && self.flow.room::<Lanes<1>>().len() <= FEW;
        if many { GROUPS } else { 1 }
    }

    /// Finds what is asked for at the angular frequencies in each room.
    pub(super) fn answer<const W: usize>(&self, rooms: &mut [Room<W>]) {
        Arch::new().dispatch(Round { all: self, rooms });
    }

    /// Which angular frequencies in a room have been answered.
    pub(super) fn answered<const W: usize>(&self, room: &Room<W>) -> [bool; W] {
        std::array::from_fn(|lane| self.covers(room.omegas[lane]) && room.greatest[lane] <= 1.0 / SOUND)
    }

    /// Whether the matrix is written for an angular frequency.
    pub(super) fn covers(&self, omega: f64) -> bool {
        omega > self.from
    }
}

/// Work that is compiled for each kind of machine.
struct Round<'a, const W: usize> {
    all: &'a SideBySide,
    rooms: &'a mut [Room<W>],
}

impl<const W: usize> WithSimd for Round<'_, W> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        let SideBySide { flow, parts, large, .. } = self.all;
        for room in &mut *self.rooms {
            room.greatest = [0.0; W];
        }
        for start in flow.stretches() {
            let mut large = large[large.partition_point(|(entry, _)| *entry < start.entry)..].iter();
            let next = large.next();
            let from =
                At { parts: parts[start.entry..].iter(), entry: start.entry, large, next, omegas: [0.0; W] };
            for room in &mut *self.rooms {
                let matrix = At { omegas: room.omegas, ..from.clone() };
                flow.eliminate(*start, matrix, &mut room.numbers, &mut room.greatest);
            }
        }
        for room in self.rooms {
            flow.finish(&mut room.numbers, &mut room.found);
        }
    }
}

/// The system at angular frequencies, in the order in which entries are made.
#[derive(Clone)]
struct At<'a, const W: usize> {
    parts: std::slice::Iter<'a, [f64; 2]>,
    entry: usize,
    large: std::slice::Iter<'a, (usize, f64)>,
    next: Option<&'a (usize, f64)>,
    omegas: [f64; W],
}

impl<const W: usize> Initial<Lanes<W>> for At<'_, W> {
    #[inline(always)]
    fn next(&mut self) -> Lanes<W> {
        let Some([still, moving]) = self.parts.next() else { return Lanes::zero() };
        let mut value = Lanes { re: [*still; W], im: [0.0; W] };
        for (im, omega) in value.im.iter_mut().zip(self.omegas) {
            *im = moving * omega;
        }
        if let Some((entry, capacitance)) = self.next {
            if *entry == self.entry {
                for (im, omega) in value.im.iter_mut().zip(self.omegas) {
                    *im = 1.0 / (omega * capacitance);
                }
                self.next = self.large.next();
            }
            self.entry += 1;
        }
        value
    }
}
