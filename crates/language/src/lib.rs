//! The harness language: text to a checked description, with every mistake told at once.

pub mod description;
mod kind;

pub use kind::Kind;
