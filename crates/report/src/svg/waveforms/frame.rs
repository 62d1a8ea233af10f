//! What all rows of a page share: where the panels stand, their scales, and what is allowed in them.

use super::panel::Allowed;
use super::subject::{Bound, Limit, Subject, Waveforms};
use crate::svg::scale::{Scale, Tick};
use quantity::Dimension;

/// Left edge and width of the three columns; room for tick labels at the left of each, and for the peak-to-peak at
/// the right of the last.
pub(super) const COMMON: (f64, f64) = (92.0, 208.0);
pub(super) const MAGNIFIED: (f64, f64) = (394.0, 198.0);
pub(super) const WHOLE: (f64, f64) = (686.0, 192.0);
/// Height of every panel.
pub(super) const PANEL: f64 = 100.0;
/// Bytes that the curves of a page may take, so that a page stays well under 200 kB; a point takes about ten, a stretch
/// at most four points, a row has three curves.
const CURVE_BYTES: usize = 150_000;
const BYTES_PER_STRETCH: usize = 3 * 4 * 10;
/// The common scale is stretched to show a limit, but to no more than this many times what the waveforms need.
const MOST_STRETCH: f64 = 2.0;

pub(super) struct Frame {
    /// Time from the start of the details.
    pub(super) detail: Scale,
    pub(super) detail_ticks: Vec<Tick>,
    /// Time over the whole span.
    pub(super) span: Scale,
    pub(super) span_ticks: Vec<Tick>,
    /// Values, for all rows.
    pub(super) common: Scale,
    pub(super) common_ticks: Vec<Tick>,
    /// Stretches that a curve is drawn in.
    pub(super) bins: usize,
    limits: Vec<Limit>,
    ends: (f64, f64),
    longest: f64,
}

impl Frame {
    pub(super) fn new(subject: &Subject) -> Self {
        let seen = || subject.rows.iter().filter_map(|row| row.seen.as_ref().ok());
        let longest = seen().map(|one| duration(&one.detail)).fold(0.0, f64::max);
        let (from, to) = seen()
            .filter_map(|one| Some((one.overview.first()?.0, one.overview.last()?.0)))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), (first, last)| {
                (from.min(first), to.max(last))
            });
        let ends = if from < to { (from, to) } else { (0.0, longest) };
        let extremes = seen()
            .map(|one| one.extremes)
            .fold((0.0_f64, 0.0_f64), |(low, high), (least, greatest)| (low.min(least), high.max(greatest)));
        let allowed = seen().map(|one| allowed(&subject.limits, one.extremes));
        let detail = Scale::new(0.0, longest, (0.0, COMMON.1));
        let span = Scale::new(ends.0, ends.1, (0.0, WHOLE.1));
        let common =
            value_scale(allowed.fold(extremes, |reach, allowed| stretched(reach, allowed, extremes)));
        Self {
            detail_ticks: detail.ticks(4, Dimension::TIME),
            span_ticks: span.ticks(4, Dimension::TIME),
            common_ticks: common.ticks(5, subject.dimension),
            bins: (CURVE_BYTES / (BYTES_PER_STRETCH * subject.rows.len().max(1))).clamp(24, 600),
            detail,
            span,
            common,
            limits: subject.limits.clone(),
            ends,
            longest,
        }
    }

    /// What requirements allow a row's waveform, on the scale that it is drawn on.
    pub(super) fn allowed(&self, seen: &Waveforms) -> Allowed {
        allowed(&self.limits, seen.extremes)
    }

    /// Where a row's detail lies in the whole span; nothing where it is the whole span.
    pub(super) fn window(&self, seen: &Waveforms) -> Option<(f64, f64)> {
        let (first, last) = (seen.detail.first()?.0, seen.detail.last()?.0);
        (last - first < 0.95 * (self.ends.1 - self.ends.0)).then_some((first, last))
    }

    /// A row's detail with times from its start, so that windows at different places lie over each other; where another
    /// row's detail is longer, the overview goes on from there.
    pub(super) fn detail_points(&self, seen: &Waveforms) -> Vec<(f64, f64)> {
        let start = seen.detail.first().map_or(0.0, |first| first.0);
        let mut points = own_detail(seen);
        for &(time, value) in &seen.overview {
            let time = time - start;
            match points.last() {
                Some(last) if last.0 >= self.longest => break,
                Some(last) if time > self.longest => {
                    let share = (self.longest - last.0) / (time - last.0);
                    points.push((self.longest, last.1 + share * (value - last.1)));
                }
                Some(last) if time > last.0 => points.push((time, value)),
                _ => {}
            }
        }
        points
    }

    /// The time of a row's magnified panel: its own after a start from rest, otherwise that of all rows.
    pub(super) fn magnified_time(&self, from_rest: bool, seen: &Waveforms) -> Scale {
        if from_rest && duration(&seen.detail) > 0.0 {
            Scale::new(0.0, duration(&seen.detail), (0.0, MAGNIFIED.1))
        } else {
            self.shared_magnified_time()
        }
    }

    pub(super) fn shared_magnified_time(&self) -> Scale {
        Scale::new(0.0, self.longest, (0.0, MAGNIFIED.1))
    }
}

/// A row's detail with times from its start.
pub(super) fn own_detail(seen: &Waveforms) -> Vec<(f64, f64)> {
    let start = seen.detail.first().map_or(0.0, |first| first.0);
    seen.detail.iter().map(|(time, value)| (time - start, *value)).collect()
}

/// What limits allow a waveform with these extremes: of a limited height, as much above its middle as below.
fn allowed(limits: &[Limit], (least, greatest): (f64, f64)) -> Allowed {
    let middle = 0.5 * (least + greatest);
    limits.iter().fold((None, None), |(low, high), limit| match limit.bound {
        Bound::Height(height) => (Some(middle - 0.5 * height), Some(middle + 0.5 * height)),
        Bound::Least(least) => (Some(least), high),
        Bound::Greatest(greatest) => (low, Some(greatest)),
    })
}

/// `reach` with the limits that lie near enough to `extremes` to be worth the room.
fn stretched(reach: (f64, f64), (low, high): Allowed, extremes: (f64, f64)) -> (f64, f64) {
    let most = MOST_STRETCH * (extremes.1 - extremes.0);
    let low = low.filter(|low| extremes.1 - low <= most).unwrap_or(reach.0);
    let high = high.filter(|high| high - extremes.0 <= most).unwrap_or(reach.1);
    (reach.0.min(low), reach.1.max(high))
}

/// The scale of a panel's height for values between two.
pub(super) fn value_scale((low, high): (f64, f64)) -> Scale {
    Scale::new(low, high, (PANEL, 0.0)).padded(0.08)
}

/// Least and greatest value.
pub(super) fn extremes(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let values = || points.iter().map(|(_, value)| *value);
    Some((values().min_by(f64::total_cmp)?, values().max_by(f64::total_cmp)?))
}

/// Time from the first to the last point.
pub(super) fn duration(points: &[(f64, f64)]) -> f64 {
    match (points.first(), points.last()) {
        (Some(first), Some(last)) => last.0 - first.0,
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limited_height_is_centred_on_the_waveform() {
        let limits = [Limit { text: String::new(), bound: Bound::Height(0.06) }];
        let (low, high) = allowed(&limits, (-0.01, 0.05));
        assert!((low.unwrap() + 0.01).abs() < 1e-12 && (high.unwrap() - 0.05).abs() < 1e-12);
    }

    #[test]
    fn a_limit_far_away_does_not_flatten_the_waveforms() {
        let extremes = (0.0, 10.0);
        assert_eq!(stretched(extremes, (Some(-5.0), Some(18.0)), extremes), (-5.0, 18.0));
        assert_eq!(stretched(extremes, (None, Some(100.0)), extremes), extremes);
    }
}
