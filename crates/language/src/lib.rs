//! The harness language: text to a checked description, with every mistake told at once.
//!
//! [`read_with`] takes a text, and those that it includes, through these stations: tokens, statements, names, and then each
//! study point, where expressions become numbers. Every station goes on after a mistake, so that all of them are told in one
//! go. [`read`] does the same with a text that includes no others.

mod assemblies;
pub mod description;
mod findings;
mod format;
mod include;
mod kind;
pub mod kinds;
pub mod meanings;
mod mistake;
mod names;
mod other_words;
pub mod outline;
pub mod pages;
mod parser;
mod point;
mod program;
mod property_value;
mod reach;
mod read;
mod render;
mod scope;
mod source;
pub mod stock;
mod syntax;
mod token;
mod trace;
pub mod words;

pub use description::Description;
pub use findings::{Finding, Findings, Resolved};
pub use format::format;
pub use include::{Loader, MOST_TEXT};
pub use kind::Kind;
pub use mistake::{Mistake, Severity, nearest};
pub use other_words::meant;
pub use outline::outline;
pub use read::{Read, read, read_with};
pub use render::render;
pub use source::{Source, Span};
