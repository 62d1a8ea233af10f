//! Sparse linear systems, real and complex in one implementation.
//!
//! A network's matrix has a few entries a row, in a pattern that stays while values change. The pattern is analysed once
//! (`order`), factored once with pivoting (`lu`), and from then on refactored with the same pivots, which costs no search;
//! a pivot that has become small asks for a fresh factorization.

mod condition;
mod flow;
mod lanes;
mod lu;
mod matrix;
mod number;
mod order;
mod plan;
mod solver;

pub use condition::error_of_solution;
pub(crate) use flow::{Flow, Initial, Place, Wanted};
pub(crate) use lanes::Lanes;
pub use lu::{Factors, Singular};
pub use matrix::{Assembly, Matrix, Stamp};
pub(crate) use number::Number;
pub use order::{depth_first, minimum_degree};
pub use solver::{Solver, free_unknowns};
