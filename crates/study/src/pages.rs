//! A page for every code of a warning, and of a mistake that only the equations show: what it means, why it is told, and an
//! example of either side.
//!
//! What parts and networks tell has its pages here too, since this is where all of it is gathered.

mod batteries;
mod capacitors;
mod contradictions;
mod curves;
mod drawing;
mod ranges;
mod runs;
mod wires;

pub use language::pages::Page;

/// Every page of a warning, by theme.
pub fn all() -> impl Iterator<Item = &'static Page> {
    let themes = [
        drawing::PAGES,
        capacitors::PAGES,
        runs::PAGES,
        ranges::PAGES,
        wires::PAGES,
        curves::PAGES,
        batteries::PAGES,
    ];
    themes.into_iter().flatten()
}

/// Every page of a mistake that the language by itself does not see.
pub fn mistakes() -> impl Iterator<Item = &'static Page> {
    contradictions::PAGES.iter()
}

/// The page of a warning's code.
#[must_use]
pub fn page(code: &str) -> Option<&'static Page> {
    all().find(|page| page.code == code)
}
