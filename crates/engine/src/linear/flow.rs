//! Elimination as a stream: numbers are at hand only while something needs them, so that a large system needs hardly more memory than a
//! small one, and nothing is written that is not read again soon.
//!
//! Right sides are eliminated together with the matrix, and solved back as far as what is asked for goes.

mod back;
mod lives;

use super::plan::NOWHERE;
use super::{Factors, Matrix, Number};
use back::{Back, needed};
use lives::Lives;
use nalgebra::ComplexField;

/// Unknowns of which the second is subtracted from the first, with one of the right sides.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wanted {
    pub(crate) right: usize,
    pub(crate) plus: Option<usize>,
    pub(crate) minus: Option<usize>,
}

/// What is done, entry by entry, and where each number is.
#[derive(Debug)]
pub(crate) struct Flow {
    /// How many entries of U, the pivot and right sides among them, and of L each step makes.
    steps: Vec<[u32; 2]>,
    /// Where each entry is put, and where its products end.
    entries: Vec<[u32; 2]>,
    /// Where the factors of each product are.
    products: Vec<[u32; 2]>,
    /// Where stretches of steps start.
    stretches: Vec<Start>,
    /// How many numbers are at hand at once.
    room: usize,
    /// How many right sides there are.
    rights: usize,
    back: Back,
    wanted: Vec<Wanted>,
}

/// What a stretch of steps starts with; several systems can go through one after the other while what is to be done there is at hand.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Start {
    step: usize,
    /// Its first entry.
    pub(crate) entry: usize,
    product: usize,
}

/// Steps of a stretch: what is to be done there fills a first cache.
const STRETCH: usize = 256;

/// What the system has at entries, asked for one after the other.
pub(crate) trait Initial<N> {
    fn next(&mut self) -> N;
}

/// What stands at an entry before elimination.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Place {
    /// A place among the values of the matrix.
    Matrix(usize),
    /// An entry of a right side.
    Right { right: usize, entry: usize },
    /// Nothing.
    Empty,
}

fn matrix_place(place: u32) -> Place {
    if place == NOWHERE { Place::Empty } else { Place::Matrix(place as usize) }
}

impl Flow {
    /// The flow of systems with the pattern and the pivots of factors, whose entries are told in the order in which they
    /// are made. Right sides are given by their rows, what is wanted by columns.
    pub(crate) fn new<T: ComplexField<RealField = f64> + Copy>(
        factors: &Factors<T>,
        matrix: &Matrix<T>,
        rights: &[Vec<usize>],
        wanted: &[Wanted],
        mut tell: impl FnMut(Place),
    ) -> Self {
        let (plan, order, pivot_rows) = factors.pattern();
        let size = plan.size();
        let step_of = |which: &[u32]| {
            let mut steps = vec![0; size];
            which.iter().enumerate().for_each(|(step, which)| steps[*which as usize] = step);
            steps
        };
        let (row_steps, column_steps) = (step_of(pivot_rows), step_of(order));
        let by_steps: Vec<Vec<usize>> =
            rights.iter().map(|rows| rows.iter().map(|row| row_steps[*row]).collect()).collect();
        let plan = plan.with_rights(&by_steps);
        let mut operations = plan.operations(matrix, order, pivot_rows);
        let needed = needed(
            &plan,
            wanted.iter().flat_map(|it| [it.plus, it.minus]).flatten().map(|it| column_steps[it]),
        );
        let lives = Lives::new(&plan, &operations, &needed);

        // Where each entry of L and of U is.
        let mut lower = Vec::with_capacity(plan.rows.len());
        let mut upper = Vec::with_capacity(plan.columns.len());
        let mut listed = operations.entries.iter().zip(&lives.slots);
        for (step, left, up) in plan.steps() {
            for column in &plan.columns[up] {
                let Some(([place, _], slot)) = listed.next() else { break };
                upper.push(*slot);
                tell(match (*column as usize).checked_sub(size) {
                    Some(right) => {
                        let row = pivot_rows[step] as usize;
                        let entry = rights[right].iter().position(|other| *other == row);
                        entry.map_or(Place::Empty, |entry| Place::Right { right, entry })
                    }
                    None => matrix_place(*place),
                });
            }
            for ([place, _], slot) in listed.by_ref().take(left.len()) {
                lower.push(*slot);
                tell(matrix_place(*place));
            }
        }
        let (back, solved) = Back::new(&plan, &needed, &upper, rights.len());
        for ([place, _], slot) in operations.entries.iter_mut().zip(&lives.slots) {
            *place = *slot;
        }
        for [left, up] in &mut operations.products {
            (*left, *up) = (lower[*left as usize], upper[*up as usize]);
        }
        let solved = |unknown: Option<usize>| unknown.map(|unknown| solved[column_steps[unknown]] as usize);
        let wanted = wanted.iter().map(|it| Wanted { plus: solved(it.plus), minus: solved(it.minus), ..*it });
        let steps: Vec<[u32; 2]> =
            plan.steps().map(|(_, left, up)| [up.len() as u32, left.len() as u32]).collect();
        let mut stretches = Vec::with_capacity(steps.len() / STRETCH + 1);
        let mut entry = 0_usize;
        for (index, stretch) in steps.chunks(STRETCH).enumerate() {
            let product = entry.checked_sub(1).map_or(0, |before| operations.entries[before][1] as usize);
            stretches.push(Start { step: index * STRETCH, entry, product });
            entry += stretch.iter().map(|[up, left]| (up + left) as usize).sum::<usize>();
        }
        Self {
            steps,
            stretches,
            entries: operations.entries,
            products: operations.products,
            room: lives.room as usize,
            rights: rights.len(),
            back,
            wanted: wanted.collect(),
        }
    }

    /// Room for numbers on the way.
    pub(crate) fn room<N: Number>(&self) -> Vec<N> {
        vec![N::zero(); self.room + self.back.steps.len()]
    }

    /// Where stretches of steps start, in the order in which a system has to go through them.
    pub(crate) fn stretches(&self) -> &[Start] {
        &self.stretches
    }

    /// Eliminates a stretch. `greatest` becomes the greatest quotient of L, or what is no number where there is one.
    // All of this is inlined, lest it be compiled for the oldest machine alone.
    #[inline(always)]
    pub(crate) fn eliminate<N: Number>(
        &self,
        start: Start,
        initial: impl Initial<N>,
        room: &mut [N],
        greatest: &mut N::Size,
    ) {
        // By itself, so that it needs no memory on the way.
        let mut most = *greatest;
        let entries = self.entries[start.entry..].iter();
        let mut making = Making { entries, products: &self.products, done: start.product, initial };
        let end = (start.step + STRETCH).min(self.steps.len());
        for [up, left] in &self.steps[start.step..end] {
            let Some((slot, pivot)) = making.next(room) else { break };
            let inverse = pivot.inverse();
            room[slot] = inverse;
            for _ in 1..*up {
                let Some((slot, value)) = making.next(room) else { break };
                room[slot] = value;
            }
            if *left == 0 {
                inverse.note_infinite(&mut most);
            }
            for _ in 0..*left {
                let Some((slot, value)) = making.next(room) else { break };
                let quotient = value.over(pivot);
                quotient.note(&mut most);
                room[slot] = quotient;
            }
        }
        *greatest = most;
    }

    /// Finds what is wanted of a system that has gone through all stretches.
    #[inline(always)]
    pub(crate) fn finish<N: Number>(&self, room: &mut [N], found: &mut [N]) {
        let (numbers, x) = room.split_at_mut(self.room);
        for right in 0..self.rights {
            self.back.solve((right, self.rights), numbers, x);
            for (wanted, found) in self.wanted.iter().zip(&mut *found).filter(|(it, _)| it.right == right) {
                let at = |place: Option<usize>| place.map_or(N::zero(), |place| x[place]);
                *found = match wanted.minus {
                    Some(_) => at(wanted.plus).minus(at(wanted.minus)),
                    None => at(wanted.plus),
                };
            }
        }
    }
}

/// Entries on the way.
struct Making<'a, I> {
    entries: std::slice::Iter<'a, [u32; 2]>,
    products: &'a [[u32; 2]],
    done: usize,
    initial: I,
}

impl<I> Making<'_, I> {
    #[inline(always)]
    fn next<N: Number>(&mut self, numbers: &[N]) -> Option<(usize, N)>
    where
        I: Initial<N>,
    {
        let [slot, end] = self.entries.next()?;
        let mut value = self.initial.next();
        for [left, up] in &self.products[self.done..*end as usize] {
            value = value.minus_product(numbers[*left as usize], numbers[*up as usize]);
        }
        self.done = *end as usize;
        Some((*slot as usize, value))
    }
}
