//! The dip of a motor's current at each commutation.

use super::clock::Clock;
use super::corner::Bracket;

/// Share of the commutation period over which the current falls, and over which it recovers.
const FLANK: f64 = 0.1;

/// A factor that falls from 1 by `depth` over the first 10 % of each commutation period and recovers over the next 10 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dip {
    /// When commutations begin.
    pub(super) clock: Clock,
    /// Depth as a fraction of the current, 0 to 1.
    pub(super) depth: f64,
}

impl Dip {
    /// The factor at `time` in seconds.
    #[inline]
    pub(super) fn factor(&self, time: f64) -> f64 {
        let count = self.clock.count(time);
        let fraction = count - count.floor();
        let share = (1.0 - (fraction / FLANK - 1.0).abs()).max(0.0);
        1.0 - self.depth * share
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

    /// Mean of the factor over one commutation period: the dip is a triangle of two flanks.
    pub(super) fn mean(&self) -> f64 {
        1.0 - self.depth * FLANK
    }
}
