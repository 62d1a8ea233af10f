//! Rows of a sweep in order, taken by one thread while others compute the next.

use super::plan::Plan;
use super::row::{self, Row};
use crate::options::Options;
use language::Description;
use rayon::ThreadPool;
use std::collections::VecDeque;
use std::ops::Range;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// Rows that may wait at most: one that takes long must not let memory grow behind it.
const MOST_WAITING: usize = 2048;
/// Rows are taken this often; it decides nothing that they say.
const PAUSE: Duration = Duration::from_millis(20);

/// What is run.
#[derive(Clone, Debug)]
pub struct Stretch<'a> {
    /// The file.
    pub description: &'a Description,
    /// Which points there are.
    pub plan: &'a Plan,
    /// How they are run.
    pub options: &'a Options,
    /// The points that are run now.
    pub numbers: Range<usize>,
}

/// Runs points on as many threads as the pool has. What `make` makes of a row is made on the thread that ran it; `take` is given what is ready, in the
/// order of the numbers, on the calling thread, and an error of its ends the run.
///
/// A point that fails carries its error; the others are not touched by it.
///
/// # Errors
/// The first of `take`.
pub fn stream<T: Send, E>(
    stretch: &Stretch<'_>,
    pool: &ThreadPool,
    make: impl Fn(&Row) -> T + Sync,
    mut take: impl FnMut(Vec<T>) -> Result<(), E>,
) -> Result<(), E> {
    let options = Options { pictures: false, ..stretch.options.clone() };
    // Points of signed corners share what each value does there, and are themselves run on all threads.
    let one_by_one = !stretch.plan.aims().is_empty();
    let threads = if one_by_one { 1 } else { pool.current_num_threads() };
    let queue = Queue::new(stretch.numbers.clone(), threads);
    let run = |number| {
        let row = || row::run(stretch.description, stretch.plan, &options, number);
        make(&if one_by_one { pool.install(row) } else { row() })
    };
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                let _leaving = Leaving(&queue);
                let mut place = queue.next();
                while let Some(number) = place {
                    place = queue.put(number, run(number));
                }
            });
        }
        while let Some(ready) = queue.ready() {
            if let Err(error) = take(ready) {
                queue.stop();
                return Err(error);
            }
        }
        Ok(())
    })
}

/// Rows that are computed or wait to be taken.
struct Queue<T> {
    state: Mutex<State<T>>,
    /// Rows are there that should be taken, or none will come any more.
    filled: Condvar,
    /// Rows have been taken.
    emptied: Condvar,
}

struct State<T> {
    /// From the first that has not been taken on; nothing where it is still computed.
    rows: VecDeque<Option<T>>,
    /// The number of the next row to be computed.
    next: usize,
    end: usize,
    /// Threads that compute.
    working: usize,
}

impl<T> State<T> {
    /// The next number, with its place among those that wait.
    fn hand_out(&mut self) -> Option<usize> {
        let number = (self.next < self.end).then_some(self.next)?;
        self.next += 1;
        self.rows.push_back(None);
        Some(number)
    }

    fn is_full(&self) -> bool {
        self.rows.len() >= MOST_WAITING && self.next < self.end
    }

    fn is_over(&self) -> bool {
        self.working == 0 || (self.next >= self.end && self.rows.iter().all(Option::is_some))
    }
}

impl<T> Queue<T> {
    fn new(numbers: Range<usize>, working: usize) -> Self {
        let state = State { rows: VecDeque::new(), next: numbers.start, end: numbers.end, working };
        Self { state: Mutex::new(state), filled: Condvar::new(), emptied: Condvar::new() }
    }

    fn locked(&self) -> MutexGuard<'_, State<T>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The first number for a thread.
    fn next(&self) -> Option<usize> {
        self.locked().hand_out()
    }

    /// Puts a row in its place, and gives the next number once there is room.
    fn put(&self, number: usize, row: T) -> Option<usize> {
        let mut state = self.locked();
        let place = number + state.rows.len() - state.next;
        // After the end was called for there is no place.
        if let Some(place) = state.rows.get_mut(place) {
            *place = Some(row);
        }
        while state.is_full() {
            self.filled.notify_one();
            state = self.emptied.wait(state).unwrap_or_else(PoisonError::into_inner);
        }
        state.hand_out()
    }

    /// The rows that can be taken in order; nothing after the last.
    fn ready(&self) -> Option<Vec<T>> {
        let mut state = self.locked();
        if !state.is_over() {
            let waited = self.filled.wait_timeout(state, PAUSE);
            state = waited.unwrap_or_else(PoisonError::into_inner).0;
        }
        let over = state.is_over();
        let mut ready = Vec::new();
        while let Some(row) = state.rows.front_mut().and_then(Option::take) {
            state.rows.pop_front();
            ready.push(row);
        }
        self.emptied.notify_all();
        (!over || !ready.is_empty()).then_some(ready)
    }

    /// No more rows are wanted.
    fn stop(&self) {
        let mut state = self.locked();
        state.end = state.next;
        self.emptied.notify_all();
    }
}

/// A thread that computes, until it ends in whatever way.
struct Leaving<'q, T>(&'q Queue<T>);

impl<T> Drop for Leaving<'_, T> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            self.0.stop();
        }
        self.0.locked().working -= 1;
        self.0.filled.notify_one();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two threads that compute, one that takes: `taken` gets what is ready until it has had enough. The number handed out last is given back.
    fn run(numbers: Range<usize>, slow: usize, mut taken: impl FnMut(Vec<usize>) -> bool) -> usize {
        let queue = Queue::new(numbers, 2);
        std::thread::scope(|scope| {
            for _ in 0..2 {
                scope.spawn(|| {
                    let _leaving = Leaving(&queue);
                    let mut place = queue.next();
                    while let Some(number) = place {
                        if number == slow {
                            // Others fill the queue behind this one.
                            while !queue.locked().is_full() {
                                std::thread::yield_now();
                            }
                        }
                        place = queue.put(number, number);
                    }
                });
            }
            while let Some(ready) = queue.ready() {
                if !taken(ready) {
                    queue.stop();
                    break;
                }
            }
        });
        queue.locked().next
    }

    /// One row keeps all behind it waiting, as many as may wait: they come in order all the same, and all of them.
    #[test]
    fn rows_come_in_order_past_a_slow_one() {
        let (first, end) = (7, 7 + 3 * MOST_WAITING);
        let mut all = Vec::new();
        let next = run(first..end, first + 1, |rows| {
            all.extend(rows);
            true
        });
        assert_eq!(next, end);
        assert!(all.iter().copied().eq(first..end));
    }

    /// Once nobody takes rows any more, none are begun.
    #[test]
    fn ends_when_nothing_more_is_taken() {
        let end = 100 * MOST_WAITING;
        let next = run(0..end, usize::MAX, |rows| rows.is_empty());
        assert!(next < end, "{next}");
    }
}
