//! Resonances as they stand out of a response.

use super::peak::{Magnitudes, refine};
use super::view::View;
use crate::result::{ListedResonance, Tops};
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
    Ok(with_heights(resonances, &tops(view, resonances, response)?))
}

/// The resonances of note with the heights of their tops.
fn with_heights(resonances: &[Resonance], tops: &[Option<(f64, f64)>]) -> Vec<ListedResonance> {
    let one = |(resonance, top): (&Resonance, &Option<(f64, f64)>)| ListedResonance {
        frequency: resonance.frequency,
        height: top.map(|(_, magnitude)| 20.0 * magnitude.log10()).filter(|height| height.is_finite()),
        quality: resonance.quality,
        parts: resonance.parts.clone(),
    };
    of_note(resonances).zip(tops).map(one).collect()
}

/// What stands out enough to be listed.
pub(super) fn of_note(resonances: &[Resonance]) -> impl Iterator<Item = &Resonance> {
    resonances.iter().filter(|resonance| resonance.quality > LISTED)
}

/// Frequency and magnitude of the top of a response at each resonance of note.
fn tops(view: &View<'_>, resonances: &[Resonance], response: usize) -> Result<Tops, String> {
    let curve = |frequencies: &[f64]| view.magnitudes(response, frequencies);
    of_note(resonances).map(|resonance| top(&curve, resonance)).collect()
}

/// The resonances in the first response, none where that has no curve; and their tops in each response.
pub(super) fn in_each(view: &View<'_>) -> Result<(Vec<ListedResonance>, Vec<Tops>), String> {
    let (Some(Some(_)), resonances) = (view.plans.first(), view.resonances()?) else {
        return Ok((Vec::new(), Vec::new()));
    };
    let of_response = |(index, plan): (usize, &Option<_>)| match plan {
        Some(_) => tops(view, &resonances, index),
        None => Ok(vec![None; of_note(&resonances).count()]),
    };
    let tops = view.plans.iter().enumerate().map(of_response).collect::<Result<Vec<Tops>, String>>()?;
    let first = tops.first().map_or(&[][..], Vec::as_slice);
    Ok((with_heights(&resonances, first), tops))
}

/// Frequency and magnitude of the top nearest to the pole, within the resonance's width; where the curve only rises or falls there,
/// its value at the resonance itself.
pub(super) fn top(curve: Magnitudes<'_>, resonance: &Resonance) -> Result<Option<(f64, f64)>, String> {
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
    match tops.max_by(|one, other| one.1.total_cmp(&other.1)) {
        Some((index, here)) => {
            let top = (frequencies[index], here);
            refine(curve, frequencies[index - 1], top, frequencies[index + 1]).map(Some)
        }
        None => Ok(value(frequencies.len() / 2).map(|magnitude| (resonance.frequency, magnitude))),
    }
}
