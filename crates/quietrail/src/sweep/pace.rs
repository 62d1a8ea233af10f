//! How many points are run between two writes.

use std::time::{Duration, Instant};

/// What is lost at most when the program is killed, and the time between two steps of the progress bar.
const AIM: Duration = Duration::from_millis(500);
/// Rows that are held in memory at most.
const MOST: usize = 8192;

/// Points in a stretch, such that one takes about half a second. It decides nothing that is written.
pub(super) struct Pace {
    points: usize,
    least: usize,
}

impl Pace {
    pub(super) fn new(threads: usize) -> Self {
        let least = 2 * threads.max(1);
        Self { points: least, least }
    }

    pub(super) fn points(&self) -> usize {
        self.points
    }

    pub(super) fn timed<T>(&mut self, work: impl FnOnce() -> T) -> T {
        let start = Instant::now();
        let result = work();
        let taken = start.elapsed();
        if taken < AIM / 2 {
            self.points = (self.points * 2).min(MOST);
        } else if taken > AIM * 2 {
            self.points = (self.points / 2).max(self.least);
        }
        result
    }
}
