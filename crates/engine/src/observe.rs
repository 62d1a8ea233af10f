//! How waveforms leave the engine: as a stream of short stretches, so that memory does not grow with the span.

/// A stretch of time over which each probe's signal is a parabola through three values.
#[derive(Clone, Copy, Debug)]
pub struct Stretch<'a> {
    /// Start in seconds.
    pub start: f64,
    /// End in seconds, later than the start.
    pub end: f64,
    /// For each probe: the value just after the start, in the middle, and just before the end.
    pub values: &'a [[f64; 3]],
}

/// Takes the stretches of a run in the order of time, without gaps.
pub trait Observer {
    /// Forget everything: the run begins anew at its start, on another road.
    fn restart(&mut self);
    /// The next stretch.
    fn stretch(&mut self, stretch: &Stretch<'_>);
}

/// Observes nothing.
pub struct Ignore;

impl Observer for Ignore {
    fn restart(&mut self) {}

    fn stretch(&mut self, _: &Stretch<'_>) {}
}
