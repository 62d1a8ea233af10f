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

/// What an observer needs of a probe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Enough {
    /// Its waveform.
    Waveform,
    /// [`Totals`] over all that is shown.
    Totals,
    /// The same without the mean square.
    Extremes,
}

/// What a probe's waveform came to over all that was shown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Totals {
    /// Least value.
    pub least: f64,
    /// Greatest value.
    pub greatest: f64,
    /// When it was greatest, in seconds.
    pub time_of_greatest: f64,
    /// Length in seconds of what was shown.
    pub duration: f64,
    /// The first value.
    pub first: f64,
    /// Integral over time of the departure from the first value.
    pub integral: f64,
    /// Integral of the square of that departure; 0 where [`Enough::Extremes`] was asked for.
    pub square: f64,
}

impl Totals {
    pub(crate) fn new() -> Self {
        Self {
            least: f64::INFINITY,
            greatest: f64::NEG_INFINITY,
            time_of_greatest: f64::NAN,
            duration: 0.0,
            first: f64::NAN,
            integral: 0.0,
            square: 0.0,
        }
    }

    pub(crate) fn see(&mut self, time: f64, value: f64) {
        self.least = self.least.min(value);
        if value > self.greatest {
            self.greatest = value;
            self.time_of_greatest = time;
        }
    }
}

/// Takes the stretches of a run in the order of time, without gaps.
pub trait Observer {
    /// Forget everything: the run begins anew at its start, on another road.
    fn restart(&mut self);
    /// The next stretch.
    fn stretch(&mut self, stretch: &Stretch<'_>);
    /// Asked by an engine that can tell extremes and means without drawing: what is enough of each probe. From now on until
    /// [`Observer::restart`] the values that stretches hold of a probe for which less than the waveform is enough mean nothing, and
    /// [`Observer::totals`] comes in the end.
    fn enough(&mut self, probes: usize) -> Vec<Enough> {
        vec![Enough::Waveform; probes]
    }
    /// What a probe's waveform came to, once all has been shown.
    fn totals(&mut self, probe: usize, totals: &Totals) {
        let _ = (probe, totals);
    }
}

/// Observes nothing.
pub struct Ignore;

impl Observer for Ignore {
    fn restart(&mut self) {}

    fn stretch(&mut self, _: &Stretch<'_>) {}

    fn enough(&mut self, probes: usize) -> Vec<Enough> {
        vec![Enough::Extremes; probes]
    }
}
