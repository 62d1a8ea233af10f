//! Sensitivities: by how much numbers read from a periodic steady state change with what the network is made of.
//!
//! The orbit is computed anew, on a mesh of its own, by the three-stage Radau IIA method (order 5, stiffly accurate, fit for
//! differential-algebraic equations; Hairer and Wanner, Solving Ordinary Differential Equations II, section IV.5) over the
//! network's own equations, whatever road the run took. With q and F the charges and the currents of the stages X, a step from
//! q0 solves
//!
//! ```text
//! R_i = sum_j d_ij (q(X_j) - q0) / h + F(X_i, t_i) = 0,   d = the inverse of Radau's matrix,   q1 = q(X_3),
//! ```
//!
//! and the periodic state is found by Newton's method with the period's derivative. What is read is a weighted sum of stage values,
//! to first order. Where a value moves corners of sources, the steps between two corners shift and grow along, and so do the times at
//! which their stages are read: a voltage that jumps at an edge jumps there still when the edge has moved. The derivative is that of these very equations, by their adjoint (discrete adjoints; Giles and Pierce, Flow,
//! Turbulence and Combustion 65, 2000): backwards in time
//!
//! ```text
//! sum_i d_ij C_j' l_i / h + G_j' l_j = -(weight of X_j) - [j = 3] C_3' m1,   m0 = -sum_ij d_ij l_i / h,   m periodic,
//! ```
//!
//! with C = dq/dx and G = dF/dx at the stages. One such walk serves all values: each adds what its own change of q and F weighs,
//! `sum_j (sum_i d_ij l_i / h + [j = 3] m1) dq(X_j) + l_j dF(X_j)`. No step of it is a difference of two runs.
//! How q and F change with a value is taken from the two networks of a [`Variation`].

mod adjoint;
mod extremes;
mod mesh;
mod orbit;
mod polynomial;
mod radau;
mod scales;
mod system;
mod touched;
mod weights;

pub use adjoint::Effect;
pub use extremes::{Extreme, Extremes};
pub use orbit::{MOST_STATES, Orbit, Weights};
pub use polynomial::Polynomial;
pub use touched::{Motion, Unlike, Variation, alike};
pub use weights::Integrand;
