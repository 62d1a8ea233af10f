//! The highest point of a curve that can be asked for at any frequency.

use engine::frequency::Resonance;

/// A peak is searched between its neighbours this many times, with as many points each time: it ends up within
/// (2 / 16)^4 of the spacing, below what three digits show of any curve.
const ROUNDS: usize = 4;
const POINTS: usize = 16;
/// Points a decade of a search over a band.
const PER_DECADE: f64 = 40.0;
/// Tops this close to the highest are searched too, for a flat grid may have missed theirs by as much: 2 dB.
const RIVAL: f64 = 0.794;
/// At most so many tops.
const MOST_TOPS: usize = 6;

/// Magnitudes at frequencies in hertz.
pub(super) type Magnitudes<'a> = &'a dyn Fn(&[f64]) -> Result<Vec<Option<f64>>, String>;

/// Frequencies of a band that miss no peak: so many a decade, and some across each resonance, whose width is its frequency by its
/// quality.
pub(super) fn between(low: f64, high: f64, resonances: &[Resonance]) -> Vec<f64> {
    let steps = (PER_DECADE * (high / low).log10()).ceil().max(1.0);
    let mut frequencies: Vec<f64> = (0..=steps as usize)
        .map(|step| low * ((high / low).ln() * step as f64 / steps).exp())
        .map(|frequency| frequency.clamp(low, high))
        .collect();
    for resonance in resonances {
        let swing = resonance.pole.im / std::f64::consts::TAU;
        frequencies.push(swing);
        for widths in [-4.0, -2.0, -1.0, -0.5, 0.0, 0.5, 1.0, 2.0, 4.0] {
            frequencies.push(resonance.frequency * (1.0 + widths / (2.0 * resonance.quality)));
        }
    }
    frequencies.retain(|frequency| *frequency >= low && *frequency <= high);
    frequencies
}

/// Frequency and magnitude of the highest point, refined between the frequencies given.
pub(super) fn highest(
    curve: Magnitudes<'_>,
    mut frequencies: Vec<f64>,
) -> Result<Option<(f64, f64)>, String> {
    frequencies.sort_by(f64::total_cmp);
    frequencies.dedup();
    let magnitudes = curve(&frequencies)?;
    let points: Vec<(f64, f64)> =
        frequencies.into_iter().zip(magnitudes).filter_map(|(f, m)| Some((f, m?))).collect();
    let Some(top) = points.iter().map(|point| point.1).max_by(f64::total_cmp) else { return Ok(None) };
    let at = |index: Option<usize>| index.and_then(|index| points.get(index)).copied();
    let mut tops: Vec<usize> = (0..points.len())
        .filter(|&index| {
            let lower = |other: Option<(f64, f64)>| other.is_none_or(|other| other.1 <= points[index].1);
            points[index].1 >= RIVAL * top && lower(at(index.checked_sub(1))) && lower(at(Some(index + 1)))
        })
        .collect();
    tops.sort_by(|one, other| points[*other].1.total_cmp(&points[*one].1));
    tops.truncate(MOST_TOPS);
    let mut best: Option<(f64, f64)> = None;
    for index in tops {
        let top = points[index];
        let low = at(index.checked_sub(1)).unwrap_or(top).0;
        let high = at(Some(index + 1)).unwrap_or(top).0;
        let found = refine(curve, low, top, high)?;
        if best.is_none_or(|best| found.1 > best.1) {
            best = Some(found);
        }
    }
    Ok(best)
}

/// The top between two neighbours of a point.
pub(super) fn refine(
    curve: Magnitudes<'_>,
    mut low: f64,
    mut best: (f64, f64),
    mut high: f64,
) -> Result<(f64, f64), String> {
    for _ in 0..ROUNDS {
        let ratio = (high / low).powf(1.0 / POINTS as f64);
        let tried: Vec<f64> = (0..=POINTS).map(|k| low * ratio.powi(k as i32)).collect();
        for (frequency, magnitude) in tried.iter().zip(curve(&tried)?) {
            if let Some(magnitude) = magnitude.filter(|magnitude| *magnitude > best.1) {
                best = (*frequency, magnitude);
            }
        }
        (low, high) = ((best.0 / ratio).max(low), (best.0 * ratio).min(high));
    }
    Ok(best)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// |1 / (1 - x^2 + j x / Q)| has its top Q / sqrt(1 - 1 / 4 Q^2) at x = sqrt(1 - 1 / 2 Q^2) (any textbook of filters).
    #[test]
    fn a_sharp_peak_is_found_by_its_pole() {
        for quality in [0.9_f64, 3.0, 400.0, 1e6] {
            let curve = |frequencies: &[f64]| {
                let gain = |f: &f64| {
                    let x = f / 1234.5;
                    Some(1.0 / (1.0 - x * x).hypot(x / quality))
                };
                Ok(frequencies.iter().map(gain).collect())
            };
            let damping = 1.0 / (2.0 * quality);
            let unit = std::f64::consts::TAU * 1234.5;
            let pole = engine::Complex::new(-damping * unit, unit * (1.0 - damping * damping).sqrt());
            let resonance = Resonance {
                frequency: 1234.5,
                quality,
                parts: Vec::new(),
                pole,
                impedance: None,
                capacitor: None,
            };
            let (frequency, top) =
                highest(&curve, between(10.0, 1e6, &[resonance])).expect("no failure").expect("a top");
            let expected = quality / (1.0 - damping * damping).sqrt();
            // A parabola's top, missed by (1/8)^4 of half a width at most, is lower by the square of that.
            assert!((top / expected - 1.0).abs() < 1e-6, "{top} {expected}");
            assert!((frequency / (1234.5 * (1.0 - 2.0 * damping * damping).sqrt()) - 1.0).abs() < 1e-3);
        }
    }

    #[test]
    fn an_end_may_be_the_highest() {
        let falling = |frequencies: &[f64]| Ok(frequencies.iter().map(|f| Some(1.0 / f)).collect());
        assert_eq!(highest(&falling, between(10.0, 1e3, &[])), Ok(Some((10.0, 0.1))));
        assert_eq!(highest(&falling, between(10.0, 10.0, &[])), Ok(Some((10.0, 0.1))));
        let nothing = |frequencies: &[f64]| Ok(vec![None; frequencies.len()]);
        assert_eq!(highest(&nothing, between(10.0, 1e3, &[])), Ok(None));
    }
}
