//! A winding sheet for a terminal.

use super::facts;
use crate::table::{Style, section};
use crate::text::wrap;
use crate::words::winding as words;
use study::winding::Sheet;

/// The sheet as text, with a line end at its end.
#[must_use]
pub fn text(sheet: &Sheet, style: Style) -> String {
    let cans: Vec<String> = sheet.cans.iter().map(facts::can).collect();
    let sections = [
        Some(wrap(&facts::title(sheet), "", style.prose())),
        section("To be wound", &facts::making(sheet), style),
        section("Capacitors that go with it", &cans, style),
        section("How", &words::winding(sheet), style),
        section("What meters should read", &words::readings(sheet), style),
        section("Before power comes on", &words::checks(sheet), style),
        section("Take care", &words::cautions(sheet), style),
    ];
    format!("{}\n", sections.into_iter().flatten().collect::<Vec<_>>().join("\n\n"))
}

/// Why a coil has no sheet, and what would give it one.
#[must_use]
pub fn no_sheet(part: &str, missing: &str) -> String {
    words::no_sheet(part, missing)
}
