//! Lines of a waveform that repeats.

/// The spectrum of a test point.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Spectrum {
    /// Frequency in hertz, rising, and peak amplitude in the signal's unit. Where lines lie closer than a picture shows, the
    /// largest of them stands for all. A smooth waveform's are exact; an edge folds a little of what lies above the last
    /// line back, a few per cent at the upper end and nothing at the lower.
    pub lines: Vec<(f64, f64)>,
}
