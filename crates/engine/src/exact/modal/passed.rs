//! Legs as they were walked, whoever walked them.

use super::signals::Signals;
use super::stride::Stride;
use crate::exact::reduced::Reduced;

/// The network at an instant: its state, its extended sources, the rate of each bent rest (nothing where all laws are straight).
#[derive(Clone, Copy)]
pub(crate) struct Instant<'a> {
    pub(crate) state: &'a [f64],
    pub(crate) sources: &'a [f64],
    pub(crate) rest: &'a [f64],
}

/// A stretch over which sources and the rates of bent rests are straight lines.
#[derive(Clone, Copy)]
pub(crate) struct Passed<'a> {
    pub(crate) reduced: &'a Reduced,
    pub(crate) signals: &'a Signals,
    pub(crate) stride: &'a Stride,
    /// Start and end in seconds.
    pub(crate) start: f64,
    pub(crate) end: f64,
    /// Just after the start, just before the end.
    pub(crate) from: Instant<'a>,
    pub(crate) to: Instant<'a>,
    /// Slopes of the extended sources.
    pub(crate) slopes: &'a [f64],
    /// How the rate of each bent rest grows a second.
    pub(crate) growth: &'a [f64],
}

/// A span that can be gone through again and again.
pub(crate) trait Legs {
    /// Visits all legs in the order of time.
    fn each(&mut self, visit: &mut dyn FnMut(&Passed<'_>));
    /// Equations and probes of one of the legs.
    fn some(&self) -> (&Reduced, &Signals);
    /// From which voltage to which each load that could leave its line keeps to it; their voltages are the last signals.
    fn ranges(&self) -> &[(f64, f64)];
}
