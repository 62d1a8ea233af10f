//! Before and after as a picture: one page for each test point, a row for each pick of the builder.
//!
//! Every row shows the same moment three times: with the waveform before on a scale that all rows share, so that a flat
//! line means a quiet supply; alone on a scale of its own; and over the whole span that readings cover. A run that starts
//! from rest is drawn as it is, from t = 0; any other as its departure from the mean. No text is ever cut: it is set in
//! lines.
//!
//! Why no plotting crate: plotters 0.3.7, the best known one, places everything on whole pixels (its `BackendCoord` is
//! `(i32, i32)`), which makes steps of gentle curves, and its SVG writer knows no class, no style sheet, no dash, no clip,
//! no shared path and no `<title>`, so neither a dark theme nor a dashed waveform before nor a picture that can be read
//! aloud; its ticks, rounded in plain numbers, would have been ours anyway. What it would have replaced (`canvas`, `scale`
//! and `panel`) is some 290 lines here; the rest is the page's own layout.

pub(crate) mod canvas;
mod frame;
mod page;
mod panel;
mod response;
mod scale;
mod subject;
pub(crate) mod theme;
mod thin;
pub(crate) mod words;

pub(crate) use subject::{Bound, Waveforms, limits};
pub(crate) use thin::thin;

use study::result::{Comparison, Responses};

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

/// A picture for each response that some point has, in the file's order.
#[must_use]
pub fn response_pictures(responses: &Responses) -> Vec<ResponsePicture> {
    let each = responses.responses.iter().enumerate();
    each.filter_map(|(at, info)| {
        let text = response::draw(responses, at)?;
        Some(ResponsePicture { file_name: format!("response_{}.svg", info.name), text })
    })
    .collect()
}

/// A picture of a response, ready to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ResponsePicture {
    /// A name for its file: `response_path.svg`.
    pub file_name: String,
    /// The SVG document.
    pub text: String,
}
