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
