//! A winding sheet for a terminal.

use super::{facts, steps};
use crate::table::{WIDTH, section};
use crate::text::wrap;
use study::winding::Sheet;

/// The sheet as text of 80 columns, with a line end at its end.
#[must_use]
pub fn text(sheet: &Sheet) -> String {
    let cans: Vec<String> = sheet.cans.iter().map(facts::can).collect();
    let sections = [
        Some(wrap(&facts::title(sheet), "", WIDTH)),
        section("To be wound", &facts::making(sheet)),
        section("Capacitors that go with it", &cans),
        section("How", &steps::winding(sheet)),
        section("What meters should read", &facts::readings(sheet)),
        section("Before power comes on", &steps::checks(sheet)),
        section("Take care", &steps::cautions(sheet)),
    ];
    format!("{}\n", sections.into_iter().flatten().collect::<Vec<_>>().join("\n\n"))
}
