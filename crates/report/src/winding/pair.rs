//! Two windings on one core: why there is no winding sheet, and what meters should read.

use super::facts::{range, title_of, why};
use crate::table::{Style, section};
use crate::text::{value, wrap};
use crate::words::winding::{checks_of_pair, no_making, with_own_cautions};
use quantity::Dimension;
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
        ("What meters should read", readings(pair)),
        ("Before power comes on", checks_of_pair(pair)),
    ]
}

fn readings(pair: &Pair) -> Vec<String> {
    let henry = |inductance: f64| value(inductance, Dimension::INDUCTANCE);
    let whence = if pair.assumed { "; it follows from the coupling that is assumed" } else { "" };
    let mut lines = vec![
        format!(
            "LC meter at the first winding, {}, the second open: {} ({})",
            ends(pair, 0),
            range(&pair.inductance, Dimension::INDUCTANCE),
            why(pair.inductance.spread)
        ),
        format!("at the second, {}, the first open: {}", ends(pair, 1), henry(pair.second_inductance)),
        format!("at the first, the second shorted: {}, the leakage{whence}", henry(pair.shorted)),
        format!(
            "both in series, the end of the first on the start of the second: {}; end on end: {}. The other way round, one winding \
             runs backwards",
            henry(pair.series.0),
            henry(pair.series.1)
        ),
    ];
    lines.extend(pair.resistance.map(|resistance| {
        let ohm = value(resistance, Dimension::RESISTANCE);
        format!("ohmmeter at each winding: {ohm}, as the file says; take off what its own leads read")
    }));
    lines.extend(pair.lost.map(|(tenth, third)| {
        let ampere = |current: f64| value(current, Dimension::CURRENT);
        format!(
            "a meter tests without current: where both currents together reach {} a tenth of what is common is gone, at {} three tenths",
            ampere(tenth),
            ampere(third)
        )
    }));
    lines
}

/// `tap to cam`.
fn ends(pair: &Pair, winding: usize) -> String {
    let (start, end) = &pair.windings[winding];
    format!("{start} to {end}")
}
