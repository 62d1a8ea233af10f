//! Pictures as SVG: a file for each kind of chart, and one style for all of them.
//!
//! Every chart is a function from a result to a document. [`pictures`], [`spectra`] and [`inductances`] show a comparison,
//! [`response_pictures`] the curves over frequency, [`sweep_pictures`] a sweep, [`pareto`] what a choice costs. The theme
//! alone knows colours, dashes and letters, for light and dark pages; classes and ids are a picture's own, so that several can be inlined into
//! one page. No text is ever cut: it is set in lines. Curves are thinned so that no extreme is lost, and no picture takes
//! more than 200 kB.
//!
//! Why no plotting crate: plotters 0.3.7, the best known one, places everything on whole pixels (its `BackendCoord` is
//! `(i32, i32)`), which makes steps of gentle curves, and its SVG writer knows no class, no style sheet, no dash, no clip,
//! no shared path and no `<title>`, so neither a dark theme nor a dashed waveform before nor a picture that can be read
//! aloud; its ticks, rounded in plain numbers, would have been ours anyway. What it would have replaced (`canvas`, `scale`
//! and `field`) is some 400 lines here; the rest is the charts' own layout.

pub(crate) mod canvas;
pub(crate) mod document;
mod field;
mod heat_map;
mod histogram;
mod inductance;
mod labels;
mod pareto;
mod response;
mod scale;
mod spectrum;
pub(crate) mod style;
mod sweep;
mod thin;
mod waveforms;
pub(crate) mod words;

pub use pareto::{Pareto, ParetoPoint};
pub(crate) use thin::thin;
pub(crate) use waveforms::{Bound, Waveforms, limits};

use crate::sweep::Summary;
use study::result::{Comparison, Responses};

/// A picture ready to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// What it shows: the name of a test point, a response, a requirement.
    pub subject: String,
    /// A name for its file: `rail.svg`. Without its ending it begins every id of the document.
    pub file_name: String,
    /// The SVG document.
    pub text: String,
}

/// Waveforms before and after: a picture for each test point that was seen somewhere, in the file's order.
#[must_use]
pub fn pictures(comparison: &Comparison) -> Vec<Picture> {
    waveforms::pictures(comparison)
}

/// Curves over frequency: a picture for each response that some point has, in the file's order.
#[must_use]
pub fn response_pictures(responses: &Responses) -> Vec<Picture> {
    response::pictures(responses)
}

/// Spectra: a picture for each test point whose waveform repeats, in the file's order.
#[must_use]
pub fn spectra(comparison: &Comparison) -> Vec<Picture> {
    spectrum::pictures(comparison)
}

/// Inductance over current of every coil that saturates; nothing where none does.
#[must_use]
pub fn inductances(comparison: &Comparison) -> Option<Picture> {
    inductance::picture(comparison)
}

/// Everything that there is to draw of a comparison.
#[must_use]
pub fn of_comparison(comparison: &Comparison) -> Vec<Picture> {
    let mut all = pictures(comparison);
    all.extend(spectra(comparison));
    all.extend(inductances(comparison));
    all
}

/// Heat maps over two axes of conditions and swept values, and histograms of draws: a picture for each requirement, or for
/// each reading where nothing is required.
#[must_use]
pub fn sweep_pictures(summary: &Summary) -> Vec<Picture> {
    sweep::pictures(summary)
}

/// Candidates by two quantities, those that no other beats in both connected.
#[must_use]
pub fn pareto(chart: &Pareto) -> Picture {
    pareto::picture(chart)
}
