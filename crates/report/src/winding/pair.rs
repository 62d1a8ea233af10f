//! Two windings on one core: why there is no winding sheet, and what meters should read.

use super::facts::title_of;
use crate::table::{Style, section};
use crate::text::wrap;
use crate::words::winding::{checks_of_pair, no_making, readings_of_pair, with_own_cautions};
use study::winding::Pair;

/// What is known of a pair as text, with a line end at its end.
#[must_use]
pub fn pair_text(pair: &Pair, style: Style) -> String {
    let mut sections = vec![wrap(&pair_title(pair), "", style.prose())];
    sections.extend(pair_sections(pair).iter().filter_map(|(heading, lines)| section(heading, lines, style)));
    sections.extend(section("Take care", &with_own_cautions(&pair.cautions), style));
    format!("{}\n", sections.join("\n\n"))
}

/// `Guarded camera: two windings on one core, cm (guard choke)`.
fn pair_title(pair: &Pair) -> String {
    title_of(&pair.harness, "two windings on one core,", &pair.part, &pair.fitted_by)
}

/// Headings with their lines; cautions stand elsewhere.
pub(crate) fn pair_sections(pair: &Pair) -> [(&'static str, Vec<String>); 3] {
    [
        ("Why there is no winding sheet", no_making(pair)),
        ("What meters should read", readings_of_pair(pair)),
        ("Before power comes on", checks_of_pair(pair)),
    ]
}
