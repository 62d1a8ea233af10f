//! The result for a terminal of 80 columns or more: the answer first, then a row per option with its worst case, a sentence
//! per option, every point in detail, and what one should know about it all.

mod design;
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

pub use design::design;
pub(crate) use grid::{Column, draw};
pub(crate) use notes::noted;
pub(crate) use parts::figure;
pub use parts::parts;
pub use responses::responses;
pub use sweep::sweep;
pub use work::work;

use crate::{text, verdict};
use study::result::Comparison;

/// The greatest number of characters in a line where nothing is known of the terminal.
pub const WIDTH: usize = 80;

/// Longer lines of running words are hard to read, however wide the terminal is.
const PROSE: usize = 100;

/// Heading of assumptions.
pub const ASSUMED: &str = "Assumed, because the file does not say";
/// Heading of warnings.
pub const WARNINGS: &str = "Warnings";

/// How the text is dressed.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// Colour the marks with ANSI escapes. The words stay: colour never tells anything alone.
    pub colour: bool,
    /// The greatest number of characters in a line of a table; at least [`WIDTH`].
    pub width: usize,
}

impl Default for Style {
    fn default() -> Self {
        Self { colour: false, width: WIDTH }
    }
}

impl Style {
    /// The greatest number of characters in a line of running words.
    #[must_use]
    pub fn prose(self) -> usize {
        self.width.min(PROSE)
    }
}

/// The whole report as text, with a line end at its end.
#[must_use]
pub fn comparison(comparison: &Comparison, style: Style) -> String {
    let (width, prose) = (style.width, style.prose());
    let mut sections = vec![opening(comparison, prose)];
    sections.extend(notes::failures(comparison, prose));
    sections.extend(summary::requirements(comparison, prose));
    sections.extend(summary::table(comparison, width));
    sections.push(sentences(comparison, prose));
    sections.extend(detail::table(comparison, width));
    sections.extend(notes::warnings(comparison, prose));
    sections.extend(notes::assumed(ASSUMED, &comparison.assumptions, prose));
    sections.extend(notes::plain("Take care", &comparison.cautions, prose));
    let whole = format!("{}\n", sections.join("\n\n"));
    if style.colour { mark::paint(&whole) } else { whole }
}

/// The title and the answer alone, with a line end at their end.
#[must_use]
pub fn answer(comparison: &Comparison, style: Style) -> String {
    format!("{}\n", opening(comparison, style.prose()))
}

/// Sentences under a heading, wrapped; nothing where there are none.
#[must_use]
pub fn section(heading: &str, sentences: &[String], style: Style) -> Option<String> {
    if heading == ASSUMED {
        notes::assumed(heading, sentences, style.prose())
    } else {
        notes::plain(heading, sentences, style.prose())
    }
}

fn opening(comparison: &Comparison, width: usize) -> String {
    let answer = text::wrap(&verdict::answer(comparison), "", width);
    format!("{}\n{answer}", text::wrap(&comparison.harness, "", width))
}

fn sentences(comparison: &Comparison, width: usize) -> String {
    let sentences: Vec<String> =
        verdict::sentences(comparison).iter().map(|sentence| text::wrap(sentence, "- ", width)).collect();
    let heading = verdict::heading(comparison).map_or_else(String::new, |heading| format!("{heading}\n"));
    format!("{heading}{}", sentences.join("\n"))
}
