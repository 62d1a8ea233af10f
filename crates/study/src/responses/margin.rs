//! The impedance-ratio margin of a load: how far what feeds it stays below what it is itself.
//!
//! A load whose current follows its voltage is an impedance 1/g; one of constant power is negative, -V^2/P. Where the impedance
//! of its surroundings stays below its magnitude at every frequency, the loop of the two cannot grow (Middlebrook, Input filter
//! considerations in design and application of switching regulators, IEEE Industry Applications Society 1976). That is enough
//! for stability, not needed.

use super::peak::{between, highest};
use super::view::View;
use engine::Complex;
use engine::frequency::{Path, Resonance, frequency_response, resonances};
use network::primitive::{BranchIndex, CurrentLaw, Element};

/// Frequencies in hertz between which the greatest impedance is sought: beyond them a vehicle's feed is a straight line.
const BAND: (f64, f64) = (1.0, 100e6);

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Margin {
    /// The least 20 log10(|Zin| / |Zout|).
    Decibels {
        /// In dB.
        value: f64,
        /// Where it is least, in hertz.
        frequency: f64,
        /// The load's own impedance 1/g in ohm.
        own: f64,
        /// The magnitude of its surroundings' impedance there in ohm.
        feeding: f64,
        /// The resonance of its surroundings nearest to that frequency.
        resonance: Option<Resonance>,
    },
    /// The load's current follows no voltage (a constant current, or a part that is no load).
    FollowsNothing,
    /// Its surroundings have no impedance at all, or none that is finite.
    Unfed,
}

/// The branches of a part that follow a law of their own, and whether it is a constant power's.
pub(crate) fn law_of(view: &View<'_>, part: &str) -> Option<(BranchIndex, bool)> {
    let mut branches = view.lowered.network.branches.iter().enumerate();
    branches.find_map(|(index, branch)| match &branch.element {
        Element::Load(law) if branch.part == part => {
            Some((index, matches!(law, CurrentLaw::Power { .. } | CurrentLaw::Lockout { .. })))
        }
        _ => None,
    })
}

/// The margin of the part of that name.
pub(crate) fn margin(view: &View<'_>, part: &str) -> Result<Margin, String> {
    let network = &view.lowered.network;
    let (conductance, without, ends) = match law_of(view, part) {
        Some((branch, _)) => {
            let ends = &network.branches[branch];
            (view.bias.slope(branch), view.bias.without_load(branch), (ends.left, ends.right))
        }
        None => return Ok(Margin::FollowsNothing),
    };
    if conductance == 0.0 {
        return Ok(Margin::FollowsNothing);
    }
    // Its law taken out of the bias: 1/Zout = 1/Ztotal - g without the cancellation.
    let path = Path::impedance(ends.0, ends.1);
    let curve = |frequencies: &[f64]| -> Result<Vec<Option<f64>>, String> {
        let found = frequency_response(network, &without, &[path], frequencies)
            .map_err(|failure| failure.to_string())?;
        Ok(found.values[0].iter().map(|value| value.map(Complex::norm)).collect())
    };
    let swings = resonances(network, &without).map_err(|failure| failure.to_string())?;
    let highest = highest(&curve, between(BAND.0, BAND.1, &swings))?;
    Ok(match highest.filter(|(_, feeding)| *feeding > 0.0 && feeding.is_finite()) {
        Some((frequency, feeding)) => {
            let own = 1.0 / conductance;
            let value = 20.0 * (own.abs() / feeding).log10();
            let distance = |one: &Resonance| (one.frequency / frequency).ln().abs();
            let resonance = swings.into_iter().min_by(|one, other| distance(one).total_cmp(&distance(other)));
            Margin::Decibels { value, frequency, own, feeding, resonance }
        }
        None => Margin::Unfed,
    })
}
