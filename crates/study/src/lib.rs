//! Studies: the product of a harness' axes, each point run, read and judged.
//!
//! [`examine`] tells what can be told without running anything; [`compare`] runs every point of choices against conditions, in
//! parallel, with the same numbers whatever the number of threads; [`responses`] computes curves over frequency instead.

mod cautions;
mod coils;
mod compare;
pub mod design;
mod examine;
mod facts;
mod fourier;
pub mod influence;
mod meter;
mod options;
mod outcome;
pub mod pages;
pub mod picture;
mod point;
mod readings;
mod recorder;
mod responses;
pub mod result;
pub mod sensitivity;
mod shown;
mod spectrum;
pub mod sweep;
mod trace;
mod unknown;
mod warnings;
pub mod winding;
pub mod worst;

pub use compare::{compare, compare_telling};
pub use examine::{Examination, Noted, examine};
pub use facts::PartAt;
pub use options::{Options, OptionsError, UnknownPoint};
pub use responses::responses;
