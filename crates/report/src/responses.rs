//! Responses over frequency: the same curves as JSON, as columns for a spreadsheet, as a table and as pictures.

mod csv;
mod json;
mod marks;
mod rows;

pub use crate::svg::response_pictures as pictures;
pub use crate::table::responses as table;
pub use csv::csv;
pub use json::json;

pub(crate) use marks::{band_words, ringing};
pub(crate) use rows::{Row, level, rows, shown};
