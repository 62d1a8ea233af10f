//! Where a walk's waveforms go.

use crate::filter::Filters;
use crate::observe::Observer;
use crate::probes::Probes;

/// Probes to look at, their filters, and who watches.
pub(crate) struct Sink<'s, 'e, 'n> {
    pub(crate) probes: &'s Probes<'e, 'n>,
    pub(crate) filters: &'s mut Filters,
    pub(crate) observer: &'s mut dyn Observer,
    /// Time in seconds before which nothing is handed on.
    pub(crate) from: f64,
}
