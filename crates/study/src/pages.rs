//! A page for every code of a warning: what it means, why it is told, and an example of either side.
//!
//! Warnings of parts and networks have theirs here too, since this is where all of them are told.

mod capacitors;
mod curves;
mod drawing;
mod runs;

pub use language::pages::Page;

/// Every page of a warning, by theme.
pub fn all() -> impl Iterator<Item = &'static Page> {
    [drawing::PAGES, capacitors::PAGES, runs::PAGES, curves::PAGES].into_iter().flatten()
}

/// The page of a code.
#[must_use]
pub fn page(code: &str) -> Option<&'static Page> {
    all().find(|page| page.code == code)
}
