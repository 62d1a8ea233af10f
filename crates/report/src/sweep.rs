//! A sweep: a line for each point as it is computed, and a summary of all lines in the end.

mod asked;
mod csv;
mod grid;
mod json;
mod outline;
#[cfg(feature = "parquet")]
mod parquet;
mod statistics;
mod summary;

pub use crate::svg::sweep_pictures as pictures;
pub(crate) use asked::Asked;
pub use csv::{csv_heading, csv_line};
pub(crate) use grid::{Cell, Grid};
pub use json::{Line, json_line, manifest, opening, parse, row_value, share_of, with_share};
pub use outline::Outline;
#[cfg(feature = "parquet")]
pub use parquet::ParquetRows;
pub use statistics::{percentile, rank_correlation, wilson};
pub use summary::Summary;
pub(crate) use summary::{PickSummary, Yield};
