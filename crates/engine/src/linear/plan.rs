//! Elimination as a list of what is done, once the pivots are known: no search, no room for a whole column, and memory is walked
//! once, in the order of elimination.
//!
//! Step after step one over the pivot, the row of U and the column of L are made: each entry is what the matrix has there less products of
//! entries of L and U before it (Crout's order of the same operations: Golub and Van Loan, Matrix Computations, section 3.2).

use super::lu::Columns;
use super::{Matrix, Number};
use nalgebra::ComplexField;
use std::ops::Range;

/// Where the matrix has no entry: what is eliminated fills it in.
pub(super) const NOWHERE: u32 = u32::MAX;

/// More products than these are not listed, of a full matrix of 230 unknowns some 80 MB, …
const MOST_PRODUCTS: usize = 1 << 22;
/// … unless they are no more than this for each entry, as in a large matrix into which little fills in.
const FEW_FOR_AN_ENTRY: usize = 16;

/// The pattern of both factors, and the products that each entry is made of.
#[derive(Clone, Debug)]
pub(crate) struct Plan {
    /// Where the column of L and the row of U of each step start among the entries of either; one more than steps.
    starts: Vec<[u32; 2]>,
    /// Step of the row of each entry of L.
    pub(super) rows: Vec<u32>,
    /// Step of the column of each entry of U. The pivot is the first of its row.
    pub(super) columns: Vec<u32>,
    operations: Option<Operations>,
}

/// What is done for a matrix of known pattern.
#[derive(Clone, Debug)]
pub(super) struct Operations {
    /// For each entry its place among the values of the matrix, and where its products end: step after step the row of U, then the column of L.
    pub(super) entries: Vec<[u32; 2]>,
    /// Entries of L and of U.
    pub(super) products: Vec<[u32; 2]>,
}

/// Entries of both factors as a [`Plan`] has them, each pivot as one over it.
#[derive(Clone, Debug)]
pub(crate) struct Entries<N> {
    lower: Vec<N>,
    upper: Vec<N>,
}

impl Plan {
    /// The layout of factors by columns whose rows are steps, and their values in it.
    pub(super) fn new<N: Number>(
        lower: &Columns<N>,
        upper: &Columns<N>,
        inverses: &[N],
    ) -> (Self, Entries<N>) {
        let size = inverses.len();
        let mut widths = vec![1_u32; size];
        upper.rows.iter().for_each(|row| widths[*row as usize] += 1);
        let mut starts = Vec::with_capacity(size + 1);
        let mut next = 0;
        for (step, width) in widths.iter().enumerate() {
            starts.push([lower.range(step).start as u32, next]);
            next += width;
        }
        starts.push([lower.rows.len() as u32, next]);
        let mut plan =
            Self { starts, rows: lower.rows.clone(), columns: vec![0; next as usize], operations: None };
        let mut values = Entries { lower: lower.values.clone(), upper: vec![N::zero(); next as usize] };
        let mut ends: Vec<u32> = plan.starts.iter().map(|[_, row]| *row).collect();
        let mut sorted = Vec::new();
        for (step, inverse) in inverses.iter().enumerate() {
            for (row, value) in std::iter::once((step, *inverse)).chain(upper.column(step)) {
                let entry = ends[row] as usize;
                (plan.columns[entry], values.upper[entry]) = (step as u32, value);
                ends[row] += 1;
            }
            sorted.clear();
            sorted.extend(lower.column(step));
            sorted.sort_unstable_by_key(|(row, _)| *row);
            for (entry, (row, value)) in lower.range(step).zip(&sorted) {
                (plan.rows[entry], values.lower[entry]) = (*row as u32, *value);
            }
        }
        (plan, values)
    }

    /// Number of entries of both factors, pivots included.
    #[must_use]
    pub(crate) fn entries(&self) -> usize {
        self.rows.len() + self.columns.len()
    }

    /// Number of products that are subtracted.
    pub(super) fn products(&self) -> usize {
        self.steps().map(|(_, left, up)| left.len() * (up.len() - 1)).sum()
    }

    /// Whether a list of what is done is worth its memory.
    pub(super) fn can_be_listed(&self) -> bool {
        self.products() <= MOST_PRODUCTS.max(FEW_FOR_AN_ENTRY * self.entries())
    }

    /// The same pattern with right sides as further columns of U, behind those of the matrix, each told by the steps at which it has something:
    /// what elimination leaves of them is what is solved back.
    pub(crate) fn with_rights(&self, rights: &[Vec<usize>]) -> Self {
        let size = self.size();
        let mut reached = vec![false; size * rights.len()];
        for (right, steps) in rights.iter().enumerate() {
            let reached = &mut reached[right * size..][..size];
            steps.iter().for_each(|step| reached[*step] = true);
            for (step, left, _) in self.steps() {
                if reached[step] {
                    self.rows[left].iter().for_each(|row| reached[*row as usize] = true);
                }
            }
        }
        let mut starts = Vec::with_capacity(size + 1);
        let mut columns = Vec::with_capacity(self.columns.len() + size);
        for (step, left, up) in self.steps() {
            starts.push([left.start as u32, columns.len() as u32]);
            columns.extend_from_slice(&self.columns[up]);
            let here = (0..rights.len()).filter(|right| reached[right * size + step]);
            columns.extend(here.map(|right| (size + right) as u32));
        }
        starts.push([self.rows.len() as u32, columns.len() as u32]);
        Self { starts, rows: self.rows.clone(), columns, operations: None }
    }

    /// Number of steps.
    pub(crate) fn size(&self) -> usize {
        self.starts.len() - 1
    }

    /// Entries of L and of U of each step.
    pub(super) fn steps(
        &self,
    ) -> impl DoubleEndedIterator<Item = (usize, Range<usize>, Range<usize>)> + ExactSizeIterator {
        self.starts.windows(2).enumerate().map(|(step, window)| {
            let ([left, up], [left_end, up_end]) = (window[0], window[1]);
            (step, left as usize..left_end as usize, up as usize..up_end as usize)
        })
    }

    /// Which is made when: the number of the entry in a row and a column, told by their steps.
    fn made(&self, row: u32, column: u32) -> Option<usize> {
        let step = row.min(column) as usize;
        let ([left, up], [left_end, up_end]) = (self.starts[step], self.starts[step + 1]);
        // All entries of the steps before, those of U first.
        let before = (left + up) as usize;
        if row > column {
            let found = self.rows[left as usize..left_end as usize].binary_search(&row);
            return found.ok().map(|place| before + (up_end - up) as usize + place);
        }
        self.columns[up as usize..up_end as usize].binary_search(&column).ok().map(|place| before + place)
    }

    /// Lists the operations for matrices of a pattern, unless they are listed already; false where they are too many.
    pub(super) fn list<T>(&mut self, matrix: &Matrix<T>, order: &[u32], pivot_rows: &[u32]) -> bool
    where
        T: ComplexField<RealField = f64> + Copy,
    {
        if self.operations.is_none() && self.can_be_listed() {
            self.operations = Some(self.operations(matrix, order, pivot_rows));
        }
        self.operations.is_some()
    }

    /// The operations for matrices of a pattern.
    pub(super) fn operations<T>(&self, matrix: &Matrix<T>, order: &[u32], pivot_rows: &[u32]) -> Operations
    where
        T: ComplexField<RealField = f64> + Copy,
    {
        let mut steps = vec![0; pivot_rows.len()];
        pivot_rows.iter().enumerate().for_each(|(step, row)| steps[*row as usize] = step as u32);
        let mut entries = vec![[NOWHERE, 0]; self.entries()];
        for (step, column) in order.iter().enumerate() {
            for place in matrix.range(*column as usize) {
                if let Some(entry) = self.made(steps[matrix.rows[place] as usize], step as u32) {
                    entries[entry][0] = place as u32;
                }
            }
        }
        // The pattern of factors holds every product's target, since it was found by the same rule.
        let mut all: Vec<(u32, [u32; 2])> = Vec::with_capacity(self.products());
        all.extend(self.all_products());
        for (target, _) in &all {
            entries[*target as usize][1] += 1;
        }
        let mut end = 0;
        for [_, count] in &mut entries {
            (*count, end) = (end, end + *count);
        }
        let mut products = vec![[0; 2]; all.len()];
        for (target, product) in all {
            let next = &mut entries[target as usize][1];
            products[*next as usize] = product;
            *next += 1;
        }
        Operations { entries, products }
    }

    /// The products of each step's column of L with its row of U, each with the entry that it is subtracted from.
    fn all_products(&self) -> impl Iterator<Item = (u32, [u32; 2])> + '_ {
        self.steps().flat_map(move |(_, left, up)| {
            left.flat_map(move |left| {
                (up.start + 1..up.end).filter_map(move |up| {
                    let target = self.made(self.rows[left], self.columns[up]);
                    target.map(|target| (target as u32, [left as u32, up as u32]))
                })
            })
        })
    }

    /// Factors a matrix anew, into the entries. The greatest quotient of L is given back, or what is no number where there is one.
    pub(super) fn factor<N: Number>(&self, values: &mut Entries<N>, matrix: &[N]) -> N::Size {
        let mut greatest = N::no_size();
        let Some(Operations { entries, products }) = &self.operations else { return greatest };
        let (mut entries, mut done) = (entries.iter(), 0);
        let mut made = |lower: &[N], upper: &[N]| {
            let Some([place, end]) = entries.next() else { return N::zero() };
            let mut value = matrix.get(*place as usize).copied().unwrap_or(N::zero());
            for [left, up] in &products[done..*end as usize] {
                value = value.minus_product(lower[*left as usize], upper[*up as usize]);
            }
            done = *end as usize;
            value
        };
        let Entries { lower, upper } = values;
        for (_, left, up) in self.steps() {
            let pivot = made(lower, upper);
            let inverse = pivot.inverse();
            upper[up.start] = inverse;
            for entry in up.start + 1..up.end {
                upper[entry] = made(lower, upper);
            }
            if left.is_empty() {
                inverse.note_infinite(&mut greatest);
            }
            for entry in left {
                let quotient = made(lower, upper).over(pivot);
                quotient.note(&mut greatest);
                lower[entry] = quotient;
            }
        }
        greatest
    }

    /// Solves with factors from a right side by steps, in place.
    pub(super) fn solve<N: Number>(&self, values: &Entries<N>, x: &mut [N]) {
        for (step, left, _) in self.steps() {
            let value = x[step];
            // Most right sides are nothing but a few entries: what they do not reach costs no arithmetic.
            if value.is_zero() {
                continue;
            }
            for (row, factor) in self.rows[left.clone()].iter().zip(&values.lower[left]) {
                x[*row as usize] = x[*row as usize].minus_product(*factor, value);
            }
        }
        for (step, _, up) in self.steps().rev() {
            let mut value = x[step];
            let (inverse, up) = (values.upper[up.start], up.start + 1..up.end);
            for (column, factor) in self.columns[up.clone()].iter().zip(&values.upper[up]) {
                value = value.minus_product(*factor, x[*column as usize]);
            }
            x[step] = value.times(inverse);
        }
    }

    /// The same for some right sides at once, which wait for each other's arithmetic less than for their own.
    pub(super) fn solve_abreast<N: Number, const SOME: usize>(
        &self,
        values: &Entries<N>,
        x: &mut [[N; SOME]],
    ) {
        for (step, left, _) in self.steps() {
            let from = x[step];
            for (row, factor) in self.rows[left.clone()].iter().zip(&values.lower[left]) {
                let to = &mut x[*row as usize];
                to.iter_mut().zip(from).for_each(|(to, from)| *to = to.minus_product(*factor, from));
            }
        }
        for (step, _, up) in self.steps().rev() {
            let mut sums = x[step];
            let (inverse, up) = (values.upper[up.start], up.start + 1..up.end);
            for (column, factor) in self.columns[up.clone()].iter().zip(&values.upper[up]) {
                let from = x[*column as usize];
                sums.iter_mut().zip(from).for_each(|(sum, from)| *sum = sum.minus_product(*factor, from));
            }
            x[step] = sums.map(|sum| sum.times(inverse));
        }
    }

    /// Solves the transposed system with the same factors, in place.
    pub(super) fn solve_transposed<N: Number>(&self, values: &Entries<N>, x: &mut [N]) {
        for (step, _, up) in self.steps() {
            let (inverse, up) = (values.upper[up.start], up.start + 1..up.end);
            let value = x[step].times(inverse);
            x[step] = value;
            for (column, factor) in self.columns[up.clone()].iter().zip(&values.upper[up]) {
                x[*column as usize] = x[*column as usize].minus_product(*factor, value);
            }
        }
        for (step, left, _) in self.steps().rev() {
            let mut value = x[step];
            for (row, factor) in self.rows[left.clone()].iter().zip(&values.lower[left]) {
                value = value.minus_product(*factor, x[*row as usize]);
            }
            x[step] = value;
        }
    }
}
