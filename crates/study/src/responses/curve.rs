//! The curves of one study point, with what a table shows of them.

use super::peak::refine;
use super::view::View;
use crate::result::{Amplitude, Curve, Line};
use engine::Complex;
use network::lowered::Warning;
use quantity::{Dimension, Quantity, engineering};

/// Every response of a point.
pub(super) fn curves(
    view: &View<'_>,
    lines: &[Line],
    warnings: &mut Vec<Warning>,
) -> Result<Vec<Option<Curve>>, String> {
    let stated = &view.harness.frequencies;
    let decades = decades(stated);
    let all: Vec<f64> =
        stated.iter().chain(&decades).copied().chain(lines.iter().map(|line| line.frequency)).collect();
    let (values, unanswered) = view.at(&all)?;
    for unanswered in &unanswered {
        let frequency = engineering(Quantity::new(unanswered.frequency, Dimension::FREQUENCY), 4);
        warnings.push(Warning {
            code: "no_answer",
            about: unanswered.place.clone(),
            weight: 0.0,
            text: format!(
                "{} resonates without loss at {frequency}, so responses have no value there; give its parts their resistance",
                unanswered.place
            ),
        });
    }
    let mut responses = Vec::new();
    for (index, plan) in view.plans.iter().enumerate() {
        if plan.is_none() {
            responses.push(None);
            continue;
        }
        let own: Vec<Option<Complex<f64>>> = values.iter().map(|values| values[index]).collect();
        let (curve, rest) = own.split_at(stated.len());
        let (at_decades, at_lines) = rest.split_at(decades.len());
        if unanswered.is_empty() && curve.iter().any(Option::is_none) {
            let name = &view.harness.responses[index].name;
            warnings.push(not_finite(name));
        }
        let magnitudes = |values: &[Option<Complex<f64>>]| -> Vec<Option<f64>> {
            values.iter().map(|value| value.map(Complex::norm)).collect()
        };
        responses.push(Some(Curve {
            frequencies: stated.clone(),
            values: curve.iter().map(|value| value.map(|it| Amplitude { re: it.re, im: it.im })).collect(),
            decades: decades.iter().copied().zip(magnitudes(at_decades)).collect(),
            at_lines: magnitudes(at_lines),
            peak: peak(view, index, stated, &magnitudes(curve))?,
        }));
    }
    Ok(responses)
}

fn not_finite(response: &str) -> Warning {
    Warning {
        code: "no_value",
        about: response.to_owned(),
        weight: 0.0,
        text: format!(
            "{response} is not finite at some frequencies (a quotient divides by nothing): they are left out"
        ),
    }
}

/// Whole powers of ten from the least to the greatest frequency.
pub(super) fn decades(frequencies: &[f64]) -> Vec<f64> {
    let least = frequencies.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = frequencies.iter().copied().fold(0.0, f64::max);
    // Powers of ten are exact in both forms; rounding of the logarithm is not to lose one.
    let exponents = (least.log10() - 1e-9).ceil() as i32..=(greatest.log10() + 1e-9).floor() as i32;
    exponents.map(|exponent| 10_f64.powi(exponent)).filter(|_| greatest >= least).collect()
}

/// A peak stands out by at least a tenth of a decibel: less is no resonance, but the meeting of two slopes or rounding.
const LEAST_PROMINENCE: f64 = 1.0116;

/// Index of the highest inner point from which the curve falls by the least prominence on both sides before it rises above it.
fn highest_peak(points: &[(f64, f64)]) -> Option<usize> {
    let falls = |mut side: Box<dyn Iterator<Item = &(f64, f64)> + '_>, top: f64| {
        side.find_map(|point| match point.1 {
            magnitude if magnitude > top => Some(false),
            magnitude if magnitude * LEAST_PROMINENCE <= top => Some(true),
            _ => None,
        })
    };
    let stands_out = |at: &usize| {
        let top = points[*at].1;
        let left = falls(Box::new(points[..*at].iter().rev()), top);
        left == Some(true) && falls(Box::new(points[at + 1..].iter()), top) == Some(true)
    };
    let inner = 1..points.len().saturating_sub(1);
    let tops = inner.filter(|at| points[*at].1 >= points[at - 1].1 && points[*at].1 >= points[at + 1].1);
    tops.filter(stands_out).max_by(|one, other| points[*one].1.total_cmp(&points[*other].1))
}

/// The highest peak: the point among those computed, and then the top between its neighbours.
fn peak(
    view: &View<'_>,
    response: usize,
    frequencies: &[f64],
    magnitudes: &[Option<f64>],
) -> Result<Option<(f64, f64)>, String> {
    let mut points: Vec<(f64, f64)> =
        frequencies.iter().zip(magnitudes).filter_map(|(f, m)| Some((*f, (*m)?))).collect();
    points.sort_by(|one, other| one.0.total_cmp(&other.0));
    points.dedup_by(|one, other| one.0 == other.0);
    let Some(at) = highest_peak(&points) else { return Ok(None) };
    let curve = |tried: &[f64]| view.magnitudes(response, tried);
    refine(&curve, points[at - 1].0, points[at], points[at + 1].0).map(Some)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn top(magnitudes: &[f64]) -> Option<usize> {
        let points: Vec<(f64, f64)> =
            magnitudes.iter().enumerate().map(|(at, it)| (at as f64, *it)).collect();
        highest_peak(&points)
    }

    #[test]
    fn a_peak_stands_out_on_both_sides() {
        assert_eq!(top(&[1.0, 3.0, 1.0, 2.0, 1.0]), Some(1));
        assert_eq!(top(&[9.0, 2.0, 3.0, 1.0]), Some(2));
        assert_eq!(top(&[1.0, 2.0, 3.0]), None);
        assert_eq!(top(&[1.0, 1.005, 1.0]), None);
        assert_eq!(top(&[1.0, 1.2, 1.2, 1.0]).map(|at| at == 1 || at == 2), Some(true));
        assert_eq!(top(&[2.0, 1.0, 1.005, 0.5]), None);
        assert_eq!((top(&[]), top(&[1.0]), top(&[1.0, 2.0])), (None, None, None));
    }

    #[test]
    fn decades_are_those_within() {
        assert_eq!(decades(&[10.0, 3e3]), [10.0, 100.0, 1e3]);
        assert_eq!(decades(&[2e3, 1e3]), [1e3]);
        assert_eq!(decades(&[20.0, 50.0]), [] as [f64; 0]);
        assert_eq!(decades(&[]), [] as [f64; 0]);
    }
}
