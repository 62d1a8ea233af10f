//! Elimination as a stream: numbers are at hand only while something needs them, so that a large system needs hardly more memory than a
//! small one, and nothing is written that is not read again soon.
//!
//! Right sides are eliminated together with the matrix, and solved back as far as what is asked for goes.

use super::plan::{NOWHERE, Operations, Plan};
use super::{Factors, Matrix, Number};
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

/// Steps that are solved back, the last first.
#[derive(Debug, Default)]
struct Back {
    /// Where one over the pivot is, and where the row ends.
    steps: Vec<[u32; 2]>,
    /// Where entries of U are, and which of the steps solved back each belongs to.
    rows: Vec<[u32; 2]>,
    /// For each step and right side where that is which elimination has left of it.
    rights: Vec<u32>,
}

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

/// The lifetimes of entries, on the way to a flow.
struct Lives {
    /// The last step that needs each entry; steps beyond the last one keep it.
    ends: Vec<u32>,
    slots: Vec<u32>,
    room: u32,
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
            self.solve_back(right, numbers, x);
            for (wanted, found) in self.wanted.iter().zip(&mut *found).filter(|(it, _)| it.right == right) {
                let at = |place: Option<usize>| place.map_or(N::zero(), |place| x[place]);
                *found = match wanted.minus {
                    Some(_) => at(wanted.plus).minus(at(wanted.minus)),
                    None => at(wanted.plus),
                };
            }
        }
    }

    #[inline(always)]
    fn solve_back<N: Number>(&self, right: usize, numbers: &[N], x: &mut [N]) {
        let mut start = 0;
        for (place, [inverse, end]) in self.back.steps.iter().enumerate() {
            let left = self.back.rights[place * self.rights + right];
            let mut value = if left == NOWHERE { N::zero() } else { numbers[left as usize] };
            for [entry, column] in &self.back.rows[start..*end as usize] {
                value = value.minus_product(numbers[*entry as usize], x[*column as usize]);
            }
            x[place] = value.times(numbers[*inverse as usize]);
            start = *end as usize;
        }
    }
}

impl Back {
    /// Of the steps that are needed, with the places of the entries of U; and the number of each step among them.
    fn new(plan: &Plan, needed: &[bool], upper: &[u32], rights: usize) -> (Self, Vec<u32>) {
        let size = plan.size();
        let mut back = Self::default();
        let mut numbers = vec![NOWHERE; size];
        for (step, _, up) in plan.steps().rev().filter(|(step, ..)| needed[*step]) {
            numbers[step] = back.steps.len() as u32;
            let start = back.rights.len();
            back.rights.resize(start + rights, NOWHERE);
            for (column, place) in plan.columns[up.clone()].iter().zip(&upper[up.clone()]).skip(1) {
                match (*column as usize).checked_sub(size) {
                    Some(right) => back.rights[start + right] = *place,
                    None => back.rows.push([*place, numbers[*column as usize]]),
                }
            }
            back.steps.push([upper[up.start], back.rows.len() as u32]);
        }
        (back, numbers)
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

/// The steps that have to be solved back for some of them.
fn needed(plan: &Plan, wanted: impl Iterator<Item = usize>) -> Vec<bool> {
    let mut needed = vec![false; plan.size()];
    wanted.for_each(|step| needed[step] = true);
    for (step, _, up) in plan.steps() {
        if needed[step] {
            for column in &plan.columns[up] {
                if let Some(needed) = needed.get_mut(*column as usize) {
                    *needed = true;
                }
            }
        }
    }
    needed
}

impl Lives {
    fn new(plan: &Plan, operations: &Operations, needed: &[bool]) -> Self {
        let size = plan.size();
        // The number of each entry of L and of U in the order in which they are made, and the step that makes it.
        let (mut lower, mut upper) =
            (Vec::with_capacity(plan.rows.len()), Vec::with_capacity(plan.columns.len()));
        let mut ends = Vec::with_capacity(plan.entries());
        for (step, left, up) in plan.steps() {
            let kept = if needed[step] { size } else { step } as u32;
            for _ in up {
                upper.push(ends.len() as u32);
                ends.push(kept);
            }
            for _ in left {
                lower.push(ends.len() as u32);
                ends.push(step as u32);
            }
        }
        let mut use_at = |entry: u32, step: usize| {
            let end = &mut ends[entry as usize];
            *end = (*end).max(step as u32);
        };
        let (mut done, mut entries) = (0, operations.entries.iter());
        for (step, left, up) in plan.steps() {
            for [_, end] in entries.by_ref().take(left.len() + up.len()) {
                for [left, up] in &operations.products[done..*end as usize] {
                    use_at(lower[*left as usize], step);
                    use_at(upper[*up as usize], step);
                }
                done = *end as usize;
            }
        }
        let mut lives = Self { slots: vec![0; ends.len()], ends, room: 0 };
        lives.assign(plan);
        lives
    }

    /// Gives each entry a place that no other has while it lives.
    fn assign(&mut self, plan: &Plan) {
        let size = plan.size();
        // Entries by the step that needs them last: a list for each, linked by the entries.
        const NONE: u32 = u32::MAX;
        let (mut last, mut link) = (vec![NONE; size + 1], vec![NONE; self.ends.len()]);
        let mut free: Vec<u32> = Vec::new();
        let mut entry = 0_usize;
        for (step, left, up) in plan.steps() {
            for _ in 0..left.len() + up.len() {
                self.slots[entry] = free.pop().unwrap_or_else(|| {
                    self.room += 1;
                    self.room - 1
                });
                let end = self.ends[entry] as usize;
                (link[entry], last[end]) = (last[end], entry as u32);
                entry += 1;
            }
            let mut ended = last[step];
            while ended != NONE {
                free.push(self.slots[ended as usize]);
                ended = link[ended as usize];
            }
        }
    }
}
