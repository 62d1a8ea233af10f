//! A smooth curve through points that goes up and down only where the points do, with its integrals.

use crate::monotone::{cubic, slopes};

/// A curve `y(x)` through points of rising `x`; before the first and behind the last it is level.
#[derive(Clone, Debug, PartialEq)]
pub struct MonotoneCurve {
    pieces: Vec<Piece>,
    /// The last point's abscissa, ordinate, integral of `y` and integral of `x y`.
    end: [f64; 4],
}

/// One cubic, in powers of the distance from its left point.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    start: f64,
    coefficients: [f64; 4],
    /// Integral of `y` from the first point to this one.
    integral: f64,
    /// Integral of `x y` from the first point to this one.
    moment: f64,
}

impl Piece {
    fn value(&self, x: f64) -> f64 {
        let [a, b, c, d] = self.coefficients;
        let t = x - self.start;
        a + t * (b + t * (c + t * d))
    }

    fn slope(&self, x: f64) -> f64 {
        let [_, b, c, d] = self.coefficients;
        let t = x - self.start;
        b + t * (2.0 * c + t * 3.0 * d)
    }

    fn integral(&self, x: f64) -> f64 {
        let [a, b, c, d] = self.coefficients;
        let t = x - self.start;
        self.integral + t * (a + t * (b / 2.0 + t * (c / 3.0 + t * d / 4.0)))
    }

    fn moment(&self, x: f64) -> f64 {
        let [a, b, c, d] = self.coefficients;
        let t = x - self.start;
        let within = t * t * (a / 2.0 + t * (b / 3.0 + t * (c / 4.0 + t * d / 5.0)));
        self.moment + self.start * (self.integral(x) - self.integral) + within
    }
}

impl MonotoneCurve {
    /// The curve through `points` (abscissa, ordinate), of which there must be one at least and whose abscissas must rise; `None`
    /// otherwise. `first_slope` is the slope at the first point, where it is known: 0 for a curve that is even about it.
    #[must_use]
    pub fn through(points: &[(f64, f64)], first_slope: Option<f64>) -> Option<Self> {
        let (last, _) = points.split_last()?;
        let finite = points.iter().all(|(x, y)| x.is_finite() && y.is_finite());
        if !finite || points.windows(2).any(|pair| pair[1].0 <= pair[0].0) {
            return None;
        }
        let slopes = slopes_at(points, first_slope);
        let mut pieces: Vec<Piece> = Vec::with_capacity(points.len() - 1);
        let (mut integral, mut moment) = (0.0, 0.0);
        for (pair, ends) in points.windows(2).zip(slopes.windows(2)) {
            let ((x, y), (next, end)) = (pair[0], pair[1]);
            let coefficients = cubic(next - x, [y, end], [ends[0], ends[1]]);
            let piece = Piece { start: x, coefficients, integral, moment };
            (integral, moment) = (piece.integral(next), piece.moment(next));
            pieces.push(piece);
        }
        Some(Self { pieces, end: [last.0, last.1, integral, moment] })
    }

    /// The piece at `x`; `None` behind the last point.
    fn piece(&self, x: f64) -> Option<&Piece> {
        if x >= self.end[0] {
            return None;
        }
        let after = self.pieces.partition_point(|piece| piece.start <= x);
        self.pieces.get(after.max(1) - 1)
    }

    /// The abscissa of the first point.
    #[must_use]
    pub fn first(&self) -> f64 {
        self.pieces.first().map_or(self.end[0], |piece| piece.start)
    }

    /// The abscissa of the last point.
    #[must_use]
    pub fn last(&self) -> f64 {
        self.end[0]
    }

    /// The least and the greatest ordinate.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        let ordinates = self.pieces.iter().map(|piece| piece.coefficients[0]);
        ordinates.fold((self.end[1], self.end[1]), |(low, high), y| (low.min(y), high.max(y)))
    }

    /// The curve's value.
    #[must_use]
    pub fn value(&self, x: f64) -> f64 {
        self.piece(x.max(self.first())).map_or(self.end[1], |piece| piece.value(x.max(self.first())))
    }

    /// The curve's slope; 0 outside of the points.
    #[must_use]
    pub fn slope(&self, x: f64) -> f64 {
        if x < self.first() { 0.0 } else { self.piece(x).map_or(0.0, |piece| piece.slope(x)) }
    }

    /// The integral of the curve from the first point to `x`, which must not lie before it.
    #[must_use]
    pub fn integral(&self, x: f64) -> f64 {
        let [last, value, integral, _] = self.end;
        self.piece(x).map_or_else(|| integral + value * (x - last), |piece| piece.integral(x))
    }

    /// The integral of `x y` from the first point to `x`, which must not lie before it.
    #[must_use]
    pub fn moment(&self, x: f64) -> f64 {
        let [last, value, _, moment] = self.end;
        self.piece(x)
            .map_or_else(|| moment + value * (x - last) * f64::midpoint(x, last), |piece| piece.moment(x))
    }
}

/// The slope at each point; at the ends, where nothing is known, that of the parabola through the three points there.
fn slopes_at(points: &[(f64, f64)], first: Option<f64>) -> Vec<f64> {
    if points.len() < 2 {
        return vec![0.0; points.len()];
    }
    let (x, y): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
    let reversed: Vec<(f64, f64)> = points.iter().rev().copied().collect();
    slopes(&x, &y, first.unwrap_or_else(|| end_slope(points)), end_slope(&reversed))
}

/// Slope at the first point of the parabola through the first three, or of the line through two; 0 where it would run against the
/// first interval.
fn end_slope(points: &[(f64, f64)]) -> f64 {
    let secant = |k: usize| (points[k + 1].1 - points[k].1) / (points[k + 1].0 - points[k].0);
    let first = secant(0);
    if points.len() == 2 {
        return first;
    }
    let (h, next) = (points[1].0 - points[0].0, points[2].0 - points[1].0);
    let slope = ((2.0 * h + next) * first - h * secant(1)) / (h + next);
    if slope * first <= 0.0 { 0.0 } else { slope }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_parabola_stays_one() {
        let points: Vec<_> = (1..=4).map(|k| (f64::from(k), f64::from(k * k))).collect();
        let curve = MonotoneCurve::through(&points, None).unwrap();
        assert!((curve.slope(1.0) - 2.0).abs() < 1e-14);
        for x in [1.0_f64, 1.7, 2.0, 3.3, 4.0] {
            assert!((curve.value(x) - x * x).abs() < 1e-13);
            assert!((curve.integral(x) - (x.powi(3) - 1.0) / 3.0).abs() < 1e-13);
            assert!((curve.moment(x) - (x.powi(4) - 1.0) / 4.0).abs() < 1e-12);
        }
    }

    #[test]
    fn a_straight_line_stays_one() {
        let curve = MonotoneCurve::through(&[(0.0, 1.0), (1.0, 3.0), (4.0, 9.0)], None).unwrap();
        for x in [0.0, 0.3, 1.0, 2.5, 4.0] {
            assert!((curve.value(x) - (1.0 + 2.0 * x)).abs() < 1e-14);
            assert!((curve.integral(x) - (x + x * x)).abs() < 1e-13);
            assert!((curve.moment(x) - (x * x / 2.0 + 2.0 * x.powi(3) / 3.0)).abs() < 1e-12);
        }
        assert_eq!((curve.value(-1.0), curve.value(7.0)), (1.0, 9.0));
        // Level behind the last point.
        assert!((curve.integral(6.0) - (20.0 + 18.0)).abs() < 1e-13);
    }

    #[test]
    fn points_out_of_order_make_no_curve() {
        assert_eq!(MonotoneCurve::through(&[], None), None);
        assert_eq!(MonotoneCurve::through(&[(1.0, 1.0), (1.0, 2.0)], None), None);
        assert_eq!(MonotoneCurve::through(&[(f64::NAN, 1.0)], None), None);
    }

    proptest! {
        /// Between two points the curve stays between their ordinates: what "monotone" promises.
        #[test]
        fn nothing_overshoots(
            steps in prop::collection::vec(0.01..10.0_f64, 1..8),
            values in prop::collection::vec(0.1..10.0_f64, 9),
            share in 0.0..1.0_f64,
        ) {
            let mut x = 0.0;
            let mut points = vec![(0.0, values[0])];
            for (step, value) in steps.iter().zip(&values[1..]) {
                x += step;
                points.push((x, *value));
            }
            let curve = MonotoneCurve::through(&points, Some(0.0)).unwrap();
            for pair in points.windows(2) {
                let at = pair[0].0 + share * (pair[1].0 - pair[0].0);
                let (low, high) = (pair[0].1.min(pair[1].1), pair[0].1.max(pair[1].1));
                let value = curve.value(at);
                prop_assert!(value >= low - 1e-12 && value <= high + 1e-12, "{value} outside {low} .. {high}");
            }
        }
    }
}
