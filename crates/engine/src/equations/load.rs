//! Branches whose current follows from a voltage, or from time.

use super::Ends;
use crate::snapshot::Line;
use network::primitive::{CurrentLaw, Straight};

/// A branch whose current follows from a voltage.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Load {
    pub(crate) ends: Ends,
    /// The nodes whose voltage controls it; for most loads its own.
    pub(crate) control: Ends,
    pub(super) law: Law,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Law {
    Voltage(CurrentLaw),
    /// Conductances where closed and open, and the source that tells which.
    Switch {
        closed: f64,
        open: f64,
        source: usize,
    },
}

impl Load {
    /// From which voltage to which in volt a line of its law holds; everywhere for a switch, which only time moves.
    pub(crate) fn range(&self, line: Line) -> (f64, f64) {
        let everywhere = (f64::NEG_INFINITY, f64::INFINITY);
        let straight = Straight { conductance: line.conductance, offset: line.offset };
        match self.law {
            Law::Voltage(law) => law.range(straight).unwrap_or(everywhere),
            Law::Switch { .. } => everywhere,
        }
    }

    /// Whether another load has the same law.
    pub(crate) fn same_law(&self, other: &Self) -> bool {
        self.law == other.law
    }

    /// Whether time moves it from one line to another.
    pub(crate) fn is_switch(&self) -> bool {
        matches!(self.law, Law::Switch { .. })
    }

    /// The law that holds while sources have the given values.
    pub(crate) fn law(&self, source: impl Fn(usize) -> f64) -> CurrentLaw {
        match self.law {
            Law::Voltage(law) => law,
            Law::Switch { closed, source: position, .. } if source(position) > 0.5 => {
                CurrentLaw::Conductance(closed)
            }
            Law::Switch { open, .. } => CurrentLaw::Conductance(open),
        }
    }
}
