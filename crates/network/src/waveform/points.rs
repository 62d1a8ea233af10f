//! A waveform drawn through points.

use super::Piece;
use super::corner::tolerance;
use std::sync::Arc;

/// Straight lines from point to point, level before the first and after the last.
///
/// Two points at one time are a jump.
#[derive(Clone, Debug, PartialEq)]
pub struct Points {
    points: Arc<[(f64, f64)]>,
}

impl Points {
    /// Through (time in seconds, value), put in order of time; points of one time keep theirs. No points are 0 throughout.
    #[must_use]
    pub fn new(mut points: Vec<(f64, f64)>) -> Self {
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { points: points.into() }
    }

    /// The points, in order of time.
    #[must_use]
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }

    /// The value of all points, where they have only one.
    pub(super) fn constant(&self) -> Option<f64> {
        let first = self.points.first().map_or(0.0, |point| point.1);
        self.points.iter().all(|point| point.1 == first).then_some(first)
    }

    pub(super) fn piece(&self, time: f64) -> Piece {
        let now = time + tolerance(time, 0.0);
        let index = self.points.partition_point(|point| point.0 <= now);
        let before = index.checked_sub(1).map(|index| self.points[index]);
        match (before, self.points.get(index).copied()) {
            (None, None) => Piece { value: 0.0, slope: 0.0, end: f64::INFINITY },
            (Some((_, value)), None) => Piece { value, slope: 0.0, end: f64::INFINITY },
            (None, Some((end, value))) => Piece { value, slope: 0.0, end },
            (Some((start, from)), Some((end, to))) => {
                let slope = (to - from) / (end - start);
                Piece { value: from + slope * (time - start).max(0.0), slope, end }
            }
        }
    }

    /// Value at `time` in seconds, just after it where the waveform jumps.
    #[must_use]
    pub fn value(&self, time: f64) -> f64 {
        self.piece(time).value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_jumps_and_level_ends() {
        let points = Points::new(vec![(1.0, 2.0), (2.0, 4.0), (2.0, -1.0), (4.0, 0.0)]);
        assert_eq!(points.piece(0.0), Piece { value: 2.0, slope: 0.0, end: 1.0 });
        assert_eq!(points.piece(1.5), Piece { value: 3.0, slope: 2.0, end: 2.0 });
        assert_eq!(points.piece(2.0), Piece { value: -1.0, slope: 0.5, end: 4.0 });
        assert_eq!(points.piece(4.0), Piece { value: 0.0, slope: 0.0, end: f64::INFINITY });
        assert_eq!(Points::new(Vec::new()).piece(1.0).value, 0.0);
    }

    #[test]
    fn only_level_points_are_constant() {
        assert_eq!(Points::new(vec![(0.0, 5.0), (1.0, 5.0)]).constant(), Some(5.0));
        assert_eq!(Points::new(vec![(0.0, 5.0), (1.0, 6.0)]).constant(), None);
    }
}
