//! A language server for harness files: it speaks the Language Server Protocol over standard input and output.
//!
//! What is told follows from `language` alone: its mistakes, the tables of its kinds, and the outline of a text. What a
//! harness would warn of without being run comes from `study`.

mod completion;
mod context;
mod definition;
mod diagnostics;
mod document;
mod format;
mod hover;
mod include;
mod names;
mod place;
mod rename;
mod server;
mod symbols;
#[cfg(test)]
mod tests;

pub use server::{Ending, serve};
