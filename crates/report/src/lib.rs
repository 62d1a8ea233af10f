//! What a study found, shown: a table for the terminal, sentences, JSON and pictures.
//!
//! Everything here reads [`study::result`] and nothing else; no number is computed that the study could
//! not defend, only differences and ratios of its results.

pub mod checked;
pub mod csv;
pub mod design;
pub mod json;
pub mod measure;
pub mod options;
pub mod page;
pub mod picture;
pub mod responses;
pub mod sensitivity;
pub mod svg;
pub mod sweep;
pub mod table;
pub mod text;
mod theme;
pub mod verdict;
pub mod winding;
mod words;
pub mod worst;
mod worst_case;
pub mod write;
