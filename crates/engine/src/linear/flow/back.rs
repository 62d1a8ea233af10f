//! The steps of a flow that are solved back, as far as what is asked for goes.

use crate::linear::Number;
use crate::linear::plan::{NOWHERE, Plan};

/// Steps that are solved back, the last first.
#[derive(Debug, Default)]
pub(super) struct Back {
    /// Where one over the pivot is, and where the row ends.
    pub(super) steps: Vec<[u32; 2]>,
    /// Where entries of U are, and which of the steps solved back each belongs to.
    rows: Vec<[u32; 2]>,
    /// For each step and right side where that is which elimination has left of it.
    rights: Vec<u32>,
}

impl Back {
    /// Of the steps that are needed, with the places of the entries of U; and the number of each step among them.
    pub(super) fn new(plan: &Plan, needed: &[bool], upper: &[u32], rights: usize) -> (Self, Vec<u32>) {
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

    /// Finds the unknowns of the steps for one of so many right sides from what elimination has left.
    #[inline(always)]
    pub(super) fn solve<N: Number>(&self, (right, rights): (usize, usize), numbers: &[N], x: &mut [N]) {
        let mut start = 0;
        for (place, [inverse, end]) in self.steps.iter().enumerate() {
            let left = self.rights[place * rights + right];
            let mut value = if left == NOWHERE { N::zero() } else { numbers[left as usize] };
            for [entry, column] in &self.rows[start..*end as usize] {
                value = value.minus_product(numbers[*entry as usize], x[*column as usize]);
            }
            x[place] = value.times(numbers[*inverse as usize]);
            start = *end as usize;
        }
    }
}

/// The steps that have to be solved back for some of them.
pub(super) fn needed(plan: &Plan, wanted: impl Iterator<Item = usize>) -> Vec<bool> {
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
