//! Depth-first search for the rows that a column reaches through L.

use super::NOT_YET;
use super::columns::Columns;

pub(super) struct Search {
    /// Last step that saw each row.
    seen: Vec<u32>,
    /// Rows reached, those that depend on others before them.
    pub(super) found: Vec<u32>,
    /// Rows on the way, each with the next entry of its column of L to look at.
    path: Vec<(u32, usize)>,
}

impl Search {
    pub(super) fn new(size: usize) -> Self {
        Self { seen: vec![NOT_YET; size], found: Vec::new(), path: Vec::new() }
    }

    /// What a column with these rows reaches when it is eliminated at a step.
    pub(super) fn reach<T>(&mut self, rows: &[u32], step: u32, steps: &[u32], lower: &Columns<T>) {
        self.found.clear();
        for &row in rows {
            if self.seen[row as usize] == step {
                continue;
            }
            self.seen[row as usize] = step;
            self.path.push((row, first(row, steps, lower)));
            while let Some((row, next)) = self.path.pop() {
                let pivot_step = steps[row as usize];
                let end = if pivot_step == NOT_YET { next } else { lower.range(pivot_step as usize).end };
                if next == end {
                    self.found.push(row);
                    continue;
                }
                self.path.push((row, next + 1));
                let below = lower.rows[next];
                if self.seen[below as usize] != step {
                    self.seen[below as usize] = step;
                    self.path.push((below, first(below, steps, lower)));
                }
            }
        }
    }
}

/// Where the column of L that belongs to a row starts.
fn first<T>(row: u32, steps: &[u32], lower: &Columns<T>) -> usize {
    let step = steps[row as usize];
    if step == NOT_YET { 0 } else { lower.range(step as usize).start }
}
