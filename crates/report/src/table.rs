//! The result for a terminal of 80 columns: the answer first, then a row per option with its worst case, a sentence
//! per option, every point in detail, and what one should know about it all.

mod detail;
mod grid;
mod mark;
mod notes;
mod parts;
mod responses;
mod summary;
mod sweep;
mod swings;
mod work;

pub(crate) use grid::{Column, draw};
pub(crate) use notes::noted;
pub(crate) use parts::figure;
pub use parts::parts;
pub use responses::responses;
pub use sweep::sweep;
pub use work::work;

use crate::{text, verdict};
use study::result::Comparison;

/// The greatest number of characters in a line.
pub const WIDTH: usize = 80;

/// Heading of assumptions.
pub const ASSUMED: &str = "Assumed, because the file does not say";
/// Heading of warnings.
pub const WARNINGS: &str = "Warnings";

/// How the text is dressed.
#[derive(Clone, Copy, Debug, Default)]
pub struct Style {
    /// Colour the marks with ANSI escapes. The words stay: colour never tells anything alone.
    pub colour: bool,
}

/// The whole report as text, with a line end at its end.
#[must_use]
pub fn comparison(comparison: &Comparison, style: Style) -> String {
    let mut sections = vec![opening(comparison)];
    sections.extend(notes::failures(comparison));
    sections.extend(summary::requirements(comparison));
    sections.extend(summary::table(comparison));
    sections.push(sentences(comparison));
    sections.extend(detail::table(comparison));
    sections.extend(remarks(comparison));
    let whole = format!("{}\n", sections.join("\n\n"));
    if style.colour { mark::paint(&whole) } else { whole }
}

/// The title and the answer alone, with a line end at their end.
#[must_use]
pub fn answer(comparison: &Comparison) -> String {
    format!("{}\n", opening(comparison))
}

/// What one should know, as sections of text without a line end at their ends: warnings, assumptions, cautions.
#[must_use]
pub fn remarks(comparison: &Comparison) -> Vec<String> {
    let assumed = notes::assumed(ASSUMED, &comparison.assumptions);
    let cautions = notes::plain("Take care", &comparison.cautions);
    [notes::warnings(comparison), assumed, cautions].into_iter().flatten().collect()
}

/// Sentences under a heading, wrapped to the page; nothing where there are none.
#[must_use]
pub fn section(heading: &str, sentences: &[String]) -> Option<String> {
    if heading == ASSUMED { notes::assumed(heading, sentences) } else { notes::plain(heading, sentences) }
}

fn opening(comparison: &Comparison) -> String {
    let answer = text::wrap(&verdict::answer(comparison), "", WIDTH);
    format!("{}\n{answer}", text::wrap(&comparison.harness, "", WIDTH))
}

fn sentences(comparison: &Comparison) -> String {
    let sentences: Vec<String> =
        verdict::sentences(comparison).iter().map(|sentence| text::wrap(sentence, "- ", WIDTH)).collect();
    let heading = verdict::heading(comparison).map_or_else(String::new, |heading| format!("{heading}\n"));
    format!("{heading}{}", sentences.join("\n"))
}
