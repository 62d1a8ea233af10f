//! What a study found: plain data for tables, pictures, sentences and JSON.

mod coil;
mod response;
mod spectrum;

pub use coil::CoilState;
pub use engine::Road;
pub use engine::integrator::Work;
pub use network::lowered::Fact;
pub use response::{
    Amplitude, Band, Curve, InstanceLoss, Line, ListedResonance, ResponseInfo, Responses, Rhythm, Tops,
};
pub use spectrum::Spectrum;

use language::Kind;
use language::description::{Axis, Comparison as Comparator, Measure, Start};
use quantity::Dimension;

/// Every run of a comparison.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// Title of the harness.
    pub harness: String,
    /// Axes in the file's order.
    pub axes: Vec<Axis>,
    /// Runs in the order of the product of axes, the last axis fastest.
    pub runs: Vec<Run>,
    /// Test points in the file's order.
    pub testpoints: Vec<TestpointInfo>,
    /// How the first transient starts, whose waveforms the runs carry; `None` where the file has none.
    pub start: Option<Start>,
    /// Assumptions taken, as sentences, each once.
    pub assumptions: Vec<String>,
    /// Cautions that fit this harness, as short sentences.
    pub cautions: Vec<String>,
}

/// A test point's heading.
#[derive(Clone, Debug)]
pub struct TestpointInfo {
    /// Its name.
    pub name: String,
    /// What is looked at, in words: `voltage(cam)`.
    pub signal: String,
    /// Dimension of the signal.
    pub dimension: Dimension,
    /// Bandwidth in hertz.
    pub bandwidth: Option<f64>,
}

/// One study point.
#[derive(Clone, Debug)]
pub struct Run {
    /// Index of the option or case on each axis.
    pub at: Vec<usize>,
    /// Named readings in the file's order.
    pub readings: Vec<ReadingResult>,
    /// Requirements in the file's order.
    pub requirements: Vec<RequirementResult>,
    /// Test points in the file's order; `None` where one names a part that is absent here.
    pub testpoints: Vec<Option<TestpointResult>>,
    /// Coils with a saturation law or a stated limit, at their peak current.
    pub coils: Vec<CoilState>,
    /// What the values of parts come to, in the harness' order; parts without figures are left out.
    pub parts: Vec<PartFacts>,
    /// What the user should know, in the order in which it was found.
    pub warnings: Vec<network::lowered::Warning>,
    /// What each transient took, in the file's order; those that failed are left out.
    pub work: Vec<TransientWork>,
    /// Why there is no result, in a sentence or two; then the lists above hold null values.
    pub error: Option<String>,
}

/// A part with what its values come to.
#[derive(Clone, Debug, PartialEq)]
pub struct PartFacts {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: Kind,
    /// The figures, each name once.
    pub facts: Vec<Fact>,
}

/// What a transient took to compute.
#[derive(Clone, Debug, PartialEq)]
pub struct TransientWork {
    /// Name of the transient, if it has one.
    pub transient: Option<String>,
    /// The road that was taken through time.
    pub road: Road,
    /// Periods (or, without a common period, seconds) walked to settle; 0 where the periodic state has a closed form.
    pub settled: f64,
    /// Counts.
    pub work: Work,
}

/// Value of a named reading.
#[derive(Clone, Debug)]
pub struct ReadingResult {
    /// Its name.
    pub name: String,
    /// Value in SI units; `None` where a part is absent or the value is not finite.
    pub value: Option<f64>,
    /// Its dimension.
    pub dimension: Dimension,
    /// For an extreme of a band-limited test point (peak to peak, maximum, minimum, peak): the same without the limit.
    pub unlimited: Option<f64>,
    /// For resonances: each of them, by rising frequency.
    pub list: Option<Vec<ListedResonance>>,
}

/// Verdict on a requirement.
#[derive(Clone, Debug)]
pub struct RequirementResult {
    /// As written.
    pub text: String,
    /// Why it matters.
    pub why: Option<String>,
    /// Whether it holds; `None` where its value is missing.
    pub met: Option<bool>,
    /// The left side in SI units.
    pub value: Option<f64>,
    /// The comparison.
    pub comparison: Comparator,
    /// The right side in SI units.
    pub limit: f64,
    /// Dimension of both sides.
    pub dimension: Dimension,
    /// The measure that the left side is, through named readings too; `None` where it is arithmetic, or does not look at the
    /// whole first transient.
    pub measure: Option<Measure>,
    /// Names of the test points that the left side reads, through named readings too, each once.
    pub testpoints: Vec<String>,
    /// False where the left side names a part that is absent here: then there is nothing to judge and nothing to miss.
    /// True with a missing value means that the verdict is unknown.
    pub applies: bool,
}

/// What was seen at a test point.
#[derive(Clone, Debug)]
pub struct TestpointResult {
    /// Time average.
    pub mean: f64,
    /// Least value.
    pub minimum: f64,
    /// Greatest value.
    pub maximum: f64,
    /// Root of the mean square departure from the mean.
    pub rms_ac: f64,
    /// The whole span that readings cover, thinned so that extremes stay.
    pub overview: Trace,
    /// A stretch of it in full detail. Of a run that starts from rest, the rise from t = 0; otherwise two or three PWM
    /// periods, the first where the run repeats and the last where it does not.
    pub detail: Trace,
    /// What it is made of, where it repeats.
    pub spectrum: Option<Spectrum>,
}

/// A waveform to draw: straight lines between points; times in seconds, not decreasing.
#[derive(Clone, Debug, Default)]
pub struct Trace {
    /// (time, value) pairs.
    pub points: Vec<(f64, f64)>,
}
