//! The engine: modified nodal analysis of a network of primitive branches, in time.
//!
//! It solves d/dt q(x) + f(x) + s(t) = 0, where x holds the node voltages and the currents of voltage sources and
//! inductors, q charges and flux linkages, f the currents of resistive branches, s the sources.
//! Three roads lead through time:
//!
//! - the **exact road** ([`exact`]) for networks whose laws are straight lines: the state moves by the matrix exponential
//!   from one corner of the sources to the next, and the periodic steady state is the solution of one linear system;
//! - the **semilinear road** for storage laws that bend (a saturable coil, a ceramic capacitor): the linear part moves as on the
//!   exact road, only what the laws bend is integrated, by exponential collocation;
//! - the **stepping road** ([`stepping`]) for everything else: TR-BDF2 with companion models and Newton's method.
//!
//! [`frequency`] answers small sines instead of following time; [`sensitivity`] says by how much a periodic steady state changes with
//! what the network is made of.
//!
//! [`run`] picks the road, [`Series`] does so for many networks of one drawing; tests let the stepping road check the other two, with which it shares no formula. The engine knows primitive branches alone, never a product's
//! name, a file or a unit.

mod clock;
pub mod equations;
pub mod exact;
pub mod failure;
mod filter;
pub mod frequency;
pub mod integrator;
pub mod linear;
pub mod observe;
mod operating_point;
mod periodic;
mod probes;
mod run;
mod semilinear;
pub mod sensitivity;
mod series;
mod sink;
mod snapshot;
pub mod stepping;
mod structure;

pub use failure::Failure;
pub use frequency::frequency_response;
pub use nalgebra::Complex;
pub use observe::{Observer, Stretch};
pub use operating_point::{DirectCurrent, operating_point};
pub use run::{Method, Request, Road, Start, Summary, run};
pub use series::Series;
