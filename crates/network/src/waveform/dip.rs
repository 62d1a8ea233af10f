//! The dip of a motor's current at each commutation.

use super::clock::Clock;
use super::corner::Bracket;
use super::period::Period;

/// Share of the commutation period over which the current falls, and over which it recovers.
const FLANK: f64 = 0.1;

/// A factor that falls from 1 by `depth` over the first 10 % of each commutation period and recovers over the next 10 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dip {
    /// When commutations begin.
    pub(super) clock: Clock,
    /// Depth as a fraction of the current, 0 to 1.
    pub(super) depth: f64,
    /// What makes some dips deeper than the others.
    pub(super) uneven: Option<Uneven>,
}

/// One commutation in `every`, that at t = 0 among them, dips deeper by `extra`.
///
/// The extra dips alone are triangles of base `0.2 Tc` that come every `every Tc`, with `Tc` the commutation period: lines at all
/// multiples n of the commutation frequency over `every`, of peak amplitude `2 extra w sinc^2(n w)`, `w = 0.1 / every`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uneven {
    /// Commutations from one deeper dip to the next, 1 or more.
    pub every: u32,
    /// By how much it is deeper, as a fraction of the current.
    pub extra: f64,
}

impl Dip {
    /// The factor at `time` in seconds.
    #[inline]
    pub(super) fn factor(&self, time: f64) -> f64 {
        let count = self.clock.count(time);
        let number = count.floor();
        let share = (1.0 - ((count - number) / FLANK - 1.0).abs()).max(0.0);
        1.0 - self.depth_of(number) * share
    }

    /// Depth of the dip of that number. A moment a rounding before a dip counts with the one before, whose share is 0 there.
    fn depth_of(&self, number: f64) -> f64 {
        match self.uneven {
            Some(uneven) if number.rem_euclid(f64::from(uneven.every)) == 0.0 => self.depth + uneven.extra,
            _ => self.depth,
        }
    }

    /// Adds the corners around the bracket's moment, which is `time` in seconds.
    pub(super) fn bracket(&self, time: f64, bracket: &mut Bracket) {
        let number = self.clock.count(time).floor();
        for number in [number - 1.0, number, number + 1.0] {
            for corner in [0.0, FLANK, 2.0 * FLANK] {
                bracket.add(self.clock.time(number + corner));
            }
        }
        bracket.add(self.clock.time(number + 2.0));
    }

    /// After how long all dips come again; `None` where that can't be held exactly.
    pub(super) fn exact_period(&self) -> Option<Period> {
        self.clock.exact()?.times(self.uneven.map_or(1, |uneven| uneven.every))
    }

    /// Mean of the factor over one period: each dip is a triangle of two flanks.
    pub(super) fn mean(&self) -> f64 {
        let extra = self.uneven.map_or(0.0, |uneven| uneven.extra / f64::from(uneven.every));
        1.0 - (self.depth + extra) * FLANK
    }
}
