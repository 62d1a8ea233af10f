//! Winding sheets as text and as a drawing to scale.

mod drawing;
mod facts;
mod steps;
mod text;

pub use drawing::{Drawing, drawings};
pub use text::text;
