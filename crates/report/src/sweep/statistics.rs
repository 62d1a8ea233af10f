//! Statistics of draws.

/// 97.5 % quantile of the standard normal distribution, for intervals of 95 % confidence.
const Z: f64 = 1.959_963_984_540_054;

/// Interval of 95 % confidence of a yield, of which `met` of `all` draws are known: Wilson, Journal of the American Statistical
/// Association 22 (1927). Draws of a low-discrepancy sequence lie closer than it says.
#[must_use]
pub fn wilson(met: usize, all: usize) -> (f64, f64) {
    if all == 0 {
        return (0.0, 1.0);
    }
    let n = all as f64;
    let p = met as f64 / n;
    let centre = p + Z * Z / (2.0 * n);
    let spread = Z * (p * (1.0 - p) / n + Z * Z / (4.0 * n * n)).sqrt();
    let scale = 1.0 + Z * Z / n;
    (((centre - spread) / scale).max(0.0), ((centre + spread) / scale).min(1.0))
}

/// The value below which a share `p` of rising `sorted` values lies, straight lines between them (definition 7 of Hyndman and Fan,
/// The American Statistician 50 (1996)); `None` of no values.
#[must_use]
pub fn percentile(sorted: &[f64], p: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let place = p.clamp(0.0, 1.0) * last as f64;
    let below = place.floor() as usize;
    let above = (below + 1).min(last);
    Some(sorted[below] + (sorted[above] - sorted[below]) * (place - below as f64))
}

/// Spearman's rank correlation, ties at their mean rank; `None` where one of both does not vary.
#[must_use]
pub fn rank_correlation(x: &[f64], y: &[f64]) -> Option<f64> {
    let (x, y) = (ranks(x), ranks(y));
    let mean = (x.len() as f64 - 1.0) / 2.0;
    let product =
        |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| (a - mean) * (b - mean)).sum() };
    let scale = (product(&x, &x) * product(&y, &y)).sqrt();
    (scale > 0.0).then(|| product(&x, &y) / scale)
}

fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut first = 0;
    while first < order.len() {
        let alike = order[first..].iter().take_while(|index| values[**index] == values[order[first]]).count();
        let rank = first as f64 + (alike as f64 - 1.0) / 2.0;
        order[first..first + alike].iter().for_each(|index| ranks[*index] = rank);
        first += alike;
    }
    ranks
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Newcombe, Statistics in Medicine 17 (1998), table I, score method without correction: 81 of 263, 15 of 148, 0 of 20, 1 of 29.
    #[test]
    fn published_intervals() {
        for (met, all, low, high) in [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ] {
            let (found_low, found_high) = wilson(met, all);
            assert!((found_low - low).abs() < 5e-5 && (found_high - high).abs() < 5e-5, "{met} {all}");
        }
    }

    #[test]
    fn percentiles_of_few_values() {
        let sorted = [1.0, 2.0, 4.0, 8.0];
        assert_eq!(percentile(&sorted, 0.5), Some(3.0));
        assert_eq!((percentile(&sorted, 0.0), percentile(&sorted, 1.0)), (Some(1.0), Some(8.0)));
        assert_eq!(percentile(&[], 0.5), None);
    }

    /// Closed form without ties: 1 - 6 sum d^2 / (n (n^2 - 1)).
    #[test]
    fn ranks_correlate() {
        let (x, y) = ([1.0, 2.0, 3.0, 4.0, 5.0], [2.0, 1.0, 40.0, 30.0, 50.0]);
        let exact = 1.0 - 6.0 * 4.0 / (5.0 * 24.0);
        assert!((rank_correlation(&x, &y).unwrap() - exact).abs() < 1e-12);
        assert_eq!(rank_correlation(&x, &[1.0; 5]), None);
        assert!((rank_correlation(&x, &[9.0, 7.0, 5.0, 3.0, 1.0]).unwrap() + 1.0).abs() < 1e-12);
        assert!((rank_correlation(&[1.0, 1.0, 2.0], &[3.0, 3.0, 4.0]).unwrap() - 1.0).abs() < 1e-12);
    }
}
