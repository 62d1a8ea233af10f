//! Winding sheets as text, as a drawing to scale, and for programs.

mod csv;
mod drawing;
mod facts;
mod json;
mod pair;
mod text;

pub use csv::csv;
pub use drawing::{Drawing, drawings};
pub use json::json;
pub use pair::pair_text;
pub use text::{no_sheet, text};

pub(crate) use facts::{range, turns};
pub(crate) use pair::pair_sections;
