//! Resonances as they stand out of a response.

use super::peak::{Magnitudes, refine};
use super::view::View;
use crate::result::ListedResonance;
use engine::frequency::Resonance;

/// A mode that is listed rings at least so much: below it a low-pass of second order has no peak (any textbook of filters).
const LISTED: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Points across a resonance.
const ACROSS: i32 = 16;

/// The resonances that are listed, each with its height in a response.
pub(super) fn listed(
    view: &View<'_>,
    resonances: &[Resonance],
    response: usize,
) -> Result<Vec<ListedResonance>, String> {
    let listed = resonances.iter().filter(|resonance| resonance.quality > LISTED);
    let curve = |frequencies: &[f64]| view.magnitudes(response, frequencies);
    let one = |resonance: &Resonance| {
        Ok(ListedResonance {
            frequency: resonance.frequency,
            height: height(&curve, resonance)?,
            quality: resonance.quality,
            parts: resonance.parts.clone(),
        })
    };
    listed.map(one).collect()
}

/// The resonances in the first response; none where that has no curve.
pub(super) fn in_first(view: &View<'_>) -> Result<Vec<ListedResonance>, String> {
    match view.plans.first() {
        Some(Some(_)) => listed(view, &view.resonances()?, 0),
        _ => Ok(Vec::new()),
    }
}

/// Height in dB of the top nearest to the pole, within the resonance's width; where the curve only rises or falls there, its value
/// at the resonance itself.
fn height(curve: Magnitudes<'_>, resonance: &Resonance) -> Result<Option<f64>, String> {
    let ratio = (1.0 + 1.0 / resonance.quality).powf(2.0 / f64::from(ACROSS));
    let frequencies: Vec<f64> =
        (-ACROSS / 2..=ACROSS / 2).map(|k| resonance.frequency * ratio.powi(k)).collect();
    let magnitudes = curve(&frequencies)?;
    let value = |index: usize| magnitudes.get(index).copied().flatten();
    let inner = 1..frequencies.len() - 1;
    let tops = inner.filter_map(|index| {
        let (before, here, after) = (value(index - 1)?, value(index)?, value(index + 1)?);
        (here >= before && here > after).then_some((index, here))
    });
    let magnitude = match tops.max_by(|one, other| one.1.total_cmp(&other.1)) {
        Some((index, here)) => {
            let top = (frequencies[index], here);
            Some(refine(curve, frequencies[index - 1], top, frequencies[index + 1])?.1)
        }
        None => value(frequencies.len() / 2),
    };
    Ok(magnitude.map(|magnitude| 20.0 * magnitude.log10()).filter(|height| height.is_finite()))
}
