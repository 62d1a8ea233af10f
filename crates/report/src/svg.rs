//! Before and after as a picture: one page for each test point, a row for each pick of the builder.
//!
//! Every row shows the same moment three times: with the waveform before on a scale that all rows share, so that a flat
//! line means a quiet supply; alone on a scale of its own; and over the whole span that readings cover. The pages are
//! written as plain SVG 1.1 elements with classes, because colours that follow the reader's light or dark theme, dashes
//! and shared paths need them, and because coordinates then keep their tenths of a pixel.

mod canvas;
mod page;
mod panel;
mod scale;
mod subject;
mod theme;
mod thin;

use study::result::Comparison;

/// A picture ready to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// The test point that it shows.
    pub testpoint: String,
    /// A name for its file: `rail.svg`.
    pub file_name: String,
    /// The SVG document.
    pub text: String,
}

/// A picture for each test point that was seen somewhere, in the file's order.
#[must_use]
pub fn pictures(comparison: &Comparison) -> Vec<Picture> {
    let subjects = (0..comparison.testpoints.len()).filter_map(|at| subject::subject(comparison, at));
    subjects
        .map(|subject| Picture {
            file_name: format!("{}.svg", subject.testpoint),
            text: page::draw(&subject),
            testpoint: subject.testpoint,
        })
        .collect()
}
