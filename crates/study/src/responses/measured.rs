//! Measures over frequency: gains, insertion losses, resonances and impedance margins of one point.

use super::loss::Loss;
use super::margin::{Margin, margin};
use super::peak::{between, highest};
use super::resonances::listed;
use super::view::View;
use crate::result::ListedResonance;
use language::description::{Harness, Measure};

/// What a measure over frequency came to.
#[derive(Clone, Debug, Default)]
pub(crate) struct Found {
    /// In dB.
    pub(crate) value: Option<f64>,
    /// The resonances that it looked at.
    pub(crate) list: Option<Vec<ListedResonance>>,
    /// Why there is no value; nothing where there is one or need be none.
    pub(crate) reason: Option<String>,
    /// False where there is nothing to judge: what it names is absent, nothing resonates, or the load's current follows nothing.
    pub(crate) applies: bool,
}

impl Found {
    fn absent() -> Self {
        Self::default()
    }

    fn decibels(magnitude: Option<f64>, otherwise: &str) -> Self {
        let value = magnitude.map(|magnitude| 20.0 * magnitude.log10()).filter(|value| value.is_finite());
        let reason = value.is_none().then(|| otherwise.to_owned());
        Self { value, list: None, reason, applies: true }
    }

    fn without(reason: String) -> Self {
        Self { reason: Some(reason), applies: true, ..Self::default() }
    }
}

/// Works a measure over frequency out; nothing for one that is read in time.
pub(crate) fn measured(view: &View<'_>, measure: &Measure) -> Option<Found> {
    let found = match measure {
        Measure::PeakGain { response, band } => gain(view, response, *band),
        Measure::InsertionLoss { instance, source, load, band } => {
            loss(view, instance, [*source, *load], *band)
        }
        Measure::Resonances(response) => resonances(view, response.as_deref()),
        Measure::ImpedanceMargin(part) => impedance_margin(view, part),
        _ => return None,
    };
    Some(found.unwrap_or_else(Found::without))
}

const NO_BAND: &str = "nothing says between which frequencies to look; give it a band, or add a line like `frequency 10 Hz .. 30 MHz, points 40`";

/// The band given, or all stated frequencies.
pub(super) fn band_of(harness: &Harness, band: Option<(f64, f64)>) -> Result<(f64, f64), String> {
    let stated = || {
        let least = harness.frequencies.iter().copied().reduce(f64::min)?;
        Some((least, harness.frequencies.iter().copied().fold(least, f64::max)))
    };
    band.or_else(stated).ok_or_else(|| NO_BAND.to_owned())
}

fn gain(view: &View<'_>, response: &str, band: Option<(f64, f64)>) -> Result<Found, String> {
    let Some(index) = view.response(response) else { return Ok(Found::absent()) };
    let (low, high) = band_of(view.harness, band)?;
    let curve = |frequencies: &[f64]| view.magnitudes(index, frequencies);
    let highest = highest(&curve, between(low, high, &view.resonances()?))?;
    let reason = format!("{response} is nothing or not finite all over its band");
    Ok(Found::decibels(highest.map(|(_, magnitude)| magnitude), &reason))
}

fn loss(view: &View<'_>, instance: &str, ends: [f64; 2], band: Option<(f64, f64)>) -> Result<Found, String> {
    if view.harness.instances.iter().all(|known| known.name != instance) {
        return Ok(Found::absent());
    }
    let Some(loss) = Loss::new(view.harness, view.lowered, &view.bias, instance, ends) else {
        return Err(format!(
            "{instance} has no two terminals on nodes of their own, apart from gnd, between which a loss could stand"
        ));
    };
    let least = loss.least(band_of(view.harness, band)?)?;
    Ok(Found::decibels(least, &format!("nothing comes through {instance} all over its band")))
}

fn resonances(view: &View<'_>, response: Option<&str>) -> Result<Found, String> {
    let Some(name) = response.or_else(|| view.harness.responses.first().map(|first| first.name.as_str()))
    else {
        return Err("there is no response in which a resonance could stand out; add one like `response path = transfer(voltage(NODE), DRIVE)`".to_owned());
    };
    let Some(index) = view.response(name) else { return Ok(Found::absent()) };
    let list: Vec<ListedResonance> = listed(view, &view.resonances()?, index)?;
    let heights = list.iter().filter_map(|resonance| resonance.height);
    let value = heights.max_by(f64::total_cmp);
    let applies = !list.is_empty();
    let reason =
        (applies && value.is_none()).then(|| format!("{name} is not finite where the harness resonates"));
    Ok(Found { value, list: Some(list), reason, applies })
}

fn impedance_margin(view: &View<'_>, part: &str) -> Result<Found, String> {
    if view.lowered.part(part).is_none() {
        return Ok(Found::absent());
    }
    match margin(view, part)? {
        Margin::Decibels { value, .. } => Ok(Found { value: Some(value), applies: true, ..Found::default() }),
        Margin::Unfed => Err(format!("what feeds {part} has no finite impedance")),
        // A constant current has an infinite impedance, and so any margin.
        Margin::FollowsNothing => Ok(Found::absent()),
    }
}
