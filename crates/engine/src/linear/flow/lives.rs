//! How long each entry of a flow is needed, and a place for it that no other has meanwhile.

use crate::linear::plan::{Operations, Plan};

/// The lifetimes of entries, on the way to a flow.
pub(super) struct Lives {
    /// The last step that needs each entry; steps beyond the last one keep it.
    ends: Vec<u32>,
    /// Where each entry is.
    pub(super) slots: Vec<u32>,
    /// How many places there are.
    pub(super) room: u32,
}

impl Lives {
    pub(super) fn new(plan: &Plan, operations: &Operations, needed: &[bool]) -> Self {
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
