//! study

pub mod result;
