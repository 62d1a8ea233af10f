//! Curves with as few points as the page can show.

/// Greatest distance in pixels by which a dropped point may lie off the line drawn instead.
const TOLERANCE: f64 = 0.07;
/// How many dropped points are checked against that line; keeps the work linear.
const LOOK_BACK: usize = 64;

/// Keeps the first, least, greatest and last point of each of `bins` equal stretches of x, in order, so that no extreme
/// is lost; then drops points that lie on a straight line.
pub(crate) fn thin(points: &[(f64, f64)], bins: usize) -> Vec<(f64, f64)> {
    straighten(&extremes(points, bins))
}

fn extremes(points: &[(f64, f64)], bins: usize) -> Vec<(f64, f64)> {
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return Vec::new() };
    if points.len() <= 4 * bins {
        return points.to_vec();
    }
    let width = (last.0 - first.0) / bins as f64;
    let bin = |x: f64| ((x - first.0) / width) as usize;
    let mut kept = Vec::new();
    for stretch in points.chunk_by(|a, b| bin(a.0) == bin(b.0)) {
        let place = |best: fn(&f64, &f64) -> bool| {
            (1..stretch.len())
                .fold(0, |at, next| if best(&stretch[next].1, &stretch[at].1) { next } else { at })
        };
        let mut chosen = [0, place(f64::lt), place(f64::gt), stretch.len() - 1];
        chosen.sort_unstable();
        for (at, index) in chosen.iter().enumerate() {
            if at == 0 || chosen[at - 1] != *index {
                kept.push(stretch[*index]);
            }
        }
    }
    kept
}

fn straighten(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    let mut anchor = 0;
    for at in 0..points.len() {
        if at == 0 {
            kept.push(points[0]);
        } else if at - anchor > LOOK_BACK || (anchor + 1..at).any(|between| off(points, anchor, between, at))
        {
            anchor = at - 1;
            kept.push(points[anchor]);
        }
    }
    if points.len() > 1 {
        kept.push(points[points.len() - 1]);
    }
    kept
}

/// Whether the point `between` lies further than the tolerance from the line through two others.
fn off(points: &[(f64, f64)], from: usize, between: usize, to: usize) -> bool {
    let (ax, ay) = points[from];
    let (dx, dy) = (points[to].0 - ax, points[to].1 - ay);
    let (px, py) = (points[between].0 - ax, points[between].1 - ay);
    let length = dx.hypot(dy);
    if length == 0.0 {
        return px.hypot(py) > TOLERANCE;
    }
    // A point beyond the end of the line would cut off an extreme although it lies on the line's extension.
    let along = (px * dx + py * dy) / length;
    (px * dy - py * dx).abs() / length > TOLERANCE || !(-TOLERANCE..=length + TOLERANCE).contains(&along)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Greatest and least value between two places.
    fn ends(points: &[(f64, f64)], from: f64, to: f64) -> Option<(f64, f64)> {
        let inside = points.iter().filter(|point| point.0 >= from && point.0 < to).map(|point| point.1);
        inside.fold(None, |ends: Option<(f64, f64)>, value| {
            Some(ends.map_or((value, value), |(low, high)| (low.min(value), high.max(value))))
        })
    }

    proptest! {
        /// Whatever the waveform and wherever a window of whole stretches lies: its extremes are there. Straightening may drop one
        /// by less than a tenth of a pixel, and never in favour of a greater one outside.
        #[test]
        fn extremes_of_every_window_survive(
            values in prop::collection::vec(0.0_f64..100.0, 2..4000),
            bins in 1_usize..200,
            window in (0_usize..200, 1_usize..200),
        ) {
            let points: Vec<(f64, f64)> =
                values.iter().enumerate().map(|(at, value)| (at as f64 / 7.0, *value)).collect();
            let kept = thin(&points, bins);
            // The last point lies on the last edge and is a stretch of its own.
            prop_assert!(kept.len() <= 4 * bins + 1 || points.len() <= 4 * bins);
            prop_assert!(kept.windows(2).all(|pair| pair[0].0 <= pair[1].0));
            let width = points[points.len() - 1].0 / bins as f64;
            let (from, to) = (window.0 as f64 * width, (window.0 + window.1) as f64 * width);
            // A point on an edge counts by its stretch, as the thinning does.
            let shift = 1e-9 * width;
            let whole = ends(&points, from - shift, to - shift);
            let picked = extremes(&points, bins);
            prop_assert_eq!(whole, ends(&picked, from - shift, to - shift));
            if let Some((low, high)) = whole {
                // An extreme that was dropped lies within the tolerance of the line drawn instead, whose ends are kept points: those of the
                // window, and the next on either side of it.
                let places = || kept.iter().map(|point| point.0);
                let before = places().rfind(|place| *place < from - shift).unwrap_or(0.0);
                let after = places().find(|place| *place >= to - shift).unwrap_or(f64::MAX);
                let (least, greatest) = ends(&kept, before, after.next_up()).expect("a line has ends");
                prop_assert!(least <= low + 2.0 * TOLERANCE && greatest >= high - 2.0 * TOLERANCE,
                    "{low} {high}: {least} {greatest}");
            }
        }
    }

    /// One sample among a million, as high as the picture, is there, and where it was.
    #[test]
    fn a_spike_of_one_sample_is_seen() {
        let place = |at: usize| at as f64 * 0.000_2;
        let mut points: Vec<(f64, f64)> =
            (0..1_000_000).map(|at| (place(at), 50.0 + 0.01 * (at as f64 * 0.001).sin())).collect();
        points[654_321].1 = 0.0;
        let kept = thin(&points, 200);
        assert!(kept.contains(&(place(654_321), 0.0)) && kept.len() <= 800, "{}", kept.len());
    }

    #[test]
    fn extremes_survive_and_straight_lines_need_two_points() {
        let mut points: Vec<(f64, f64)> = (0..10_000).map(|at| (f64::from(at) * 0.02, 50.0)).collect();
        assert!(thin(&points, 100).len() <= 10_000 / LOOK_BACK);
        points[4321].1 = 3.0;
        points[7654].1 = 97.0;
        let thinned = thin(&points, 100);
        assert!(thinned.contains(&points[4321]) && thinned.contains(&points[7654]));
        assert!(thinned.len() < 40);
        assert!(thinned.windows(2).all(|pair| pair[0].0 <= pair[1].0));
    }

    #[test]
    fn a_thinned_curve_stays_on_the_full_one() {
        let points: Vec<(f64, f64)> =
            (0..=300).map(f64::from).map(|x| (x, 50.0 + 40.0 * (x / 25.0).sin())).collect();
        let thinned = thin(&points, 300);
        for (x, y) in points {
            let after = thinned.iter().position(|point| point.0 >= x).unwrap();
            let (a, b) = (thinned[after.saturating_sub(1)], thinned[after]);
            let share = if b.0 > a.0 { (x - a.0) / (b.0 - a.0) } else { 1.0 };
            // The tolerance is measured across the line; its steepness here is at most 1.6, so vertically twice that.
            assert!((a.1 + share * (b.1 - a.1) - y).abs() < 2.0 * TOLERANCE, "{x}");
        }
    }
}
