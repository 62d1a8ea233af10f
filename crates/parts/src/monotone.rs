//! Piecewise cubics through points that rise and fall only where the points do.

/// Slopes at the points of a piecewise cubic that never leaves the range of neighbouring points: Fritsch and Carlson, Monotone
/// piecewise cubic interpolation, SIAM Journal on Numerical Analysis 17 (1980).
///
/// Between two other points the slope is that of the parabola through all three, at the ends it is `first` and `last`; then the
/// slopes of each interval are drawn back into the circle of radius 3 that the paper gives. `x` rises and has at least two points, `y`
/// as many.
pub(crate) fn slopes(x: &[f64], y: &[f64], first: f64, last: f64) -> Vec<f64> {
    let widths: Vec<f64> = x.windows(2).map(|ends| ends[1] - ends[0]).collect();
    let secants: Vec<f64> =
        y.windows(2).zip(&widths).map(|(ends, width)| (ends[1] - ends[0]) / width).collect();
    let inner = secants.windows(2).zip(widths.windows(2)).map(|(secant, width)| {
        if secant[0] * secant[1] <= 0.0 {
            0.0
        } else {
            (width[1] * secant[0] + width[0] * secant[1]) / (width[0] + width[1])
        }
    });
    let mut slopes: Vec<f64> = std::iter::once(first).chain(inner).chain(std::iter::once(last)).collect();
    for (interval, &secant) in secants.iter().enumerate() {
        if secant == 0.0 {
            slopes[interval] = 0.0;
            slopes[interval + 1] = 0.0;
            continue;
        }
        let (left, right) = ((slopes[interval] / secant).max(0.0), (slopes[interval + 1] / secant).max(0.0));
        let shrink = (3.0 / left.hypot(right)).min(1.0);
        slopes[interval] = shrink * left * secant;
        slopes[interval + 1] = shrink * right * secant;
    }
    slopes
}

/// Coefficients of 1, t, t² and t³ of the cubic over an interval of `width` with the values `y` and the slopes `m` at its ends
/// (Hermite's form, textbook).
pub(crate) fn cubic(width: f64, y: [f64; 2], m: [f64; 2]) -> [f64; 4] {
    let secant = (y[1] - y[0]) / width;
    let second = (3.0 * secant - 2.0 * m[0] - m[1]) / width;
    let third = (m[0] + m[1] - 2.0 * secant) / (width * width);
    [y[0], m[0], second, third]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_between_three_points_keeps_its_slope() {
        // y = x²: the parabola through three points is itself, 2 x = 4 at x = 2; the ends are as given.
        assert_eq!(slopes(&[1.0, 2.0, 4.0], &[1.0, 4.0, 16.0], 2.0, 8.0), [2.0, 4.0, 8.0]);
    }

    #[test]
    fn steps_do_not_overshoot() {
        // Data of the paper's kind: flat, a steep step, flat again. The cubic must stay between 0 and 1 and never fall.
        let (x, y) = ([0.0, 1.0, 2.0, 2.1, 3.0], [0.0, 1e-3, 2e-3, 1.0, 1.001]);
        let slopes = slopes(&x, &y, 1e-3, 1e-3);
        let mut before = 0.0;
        for interval in 0..4 {
            let width = x[interval + 1] - x[interval];
            let [a, b, c, d] =
                cubic(width, [y[interval], y[interval + 1]], [slopes[interval], slopes[interval + 1]]);
            for step in 0..=100 {
                let t = width * f64::from(step) / 100.0;
                let value = a + t * (b + t * (c + t * d));
                assert!(value >= before - 1e-12, "{value} after {before}");
                before = value;
            }
        }
        assert!((before - 1.001).abs() < 1e-12);
    }

    #[test]
    fn a_turn_is_flat() {
        assert_eq!(slopes(&[0.0, 1.0, 2.0], &[0.0, 1.0, 0.0], 1.0, -1.0)[1], 0.0);
    }
}
