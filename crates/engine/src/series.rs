//! Networks of one drawing, run one after another: what their values have no part in is worked out once.

mod known_sources;

pub(crate) use known_sources::{KnownSources, Table};

use crate::equations::Equations;
use crate::failure::Failure;
use crate::linear::Solver;
use crate::observe::Observer;
use crate::run::{Request, Summary, run_equations};
use network::primitive::Network;
use std::cell::{Cell, RefCell};
use std::rc::Rc;

/// Runs networks one after another, and is quicker where they share a drawing or sources. What it remembers follows from a network alone, so that
/// every result is what [`crate::run`] gives, to the last bit.
///
/// One is for one thread; each thread that takes its share of a sweep has its own.
#[derive(Default)]
pub struct Series {
    kept: Rc<Kept>,
}

impl Series {
    /// Runs one more network, like [`crate::run`]. Where an observer does so while a run of this series is under way, it runs by itself.
    ///
    /// # Errors
    /// As [`crate::run`].
    pub fn run(
        &self,
        network: &Network,
        request: &Request,
        observer: &mut dyn Observer,
    ) -> Result<Summary, Failure> {
        // What a run under way has remembered stays its own.
        let in_use = Rc::strong_count(&self.kept) > 1;
        let kept = if in_use { Rc::default() } else { Rc::clone(&self.kept) };
        let equations = Equations::remembering(network, kept)?;
        run_equations(&equations, request, observer)
    }
}

/// What is remembered.
#[derive(Default)]
pub(crate) struct Kept {
    /// Of systems at direct current, and of snapshots.
    pub(crate) at_rest: Pattern,
    pub(crate) snapshots: Pattern,
    pub(crate) sources: RefCell<KnownSources>,
}

/// The pattern of a system and the order in which its unknowns are eliminated.
#[derive(Default)]
pub(crate) struct Pattern(Cell<Option<Solver<f64>>>);

impl Pattern {
    /// A system without values, of the pattern that was seen last where that had as many equations.
    pub(crate) fn take(&self, size: usize) -> Solver<f64> {
        self.0.take().filter(|solver| solver.size() == size).unwrap_or_else(|| Solver::new(size))
    }

    /// Remembers a system's pattern for the next.
    pub(crate) fn give(&self, mut solver: Solver<f64>) {
        // Pivots are the values' choice, and have to be chosen anew, lest results depend on what ran before.
        solver.forget_values();
        self.0.set(Some(solver));
    }
}
