//! The harness with a value a little lower and higher, as networks, and what that changes of an orbit.

use super::values::{SMALL, Variable};
use engine::sensitivity::{Effect, Orbit, Unlike, Variation};
use language::Description;
use language::description::{Harness, Start};
use network::lowered::Lowered;
use network::lowering::lower;

/// A period that changes by more than this many times as much as a value is another one.
const OTHER_PERIOD: f64 = 10.0;

/// A value's two neighbours.
pub(super) struct Neighbours {
    pub(super) harnesses: [Harness; 2],
    pub(super) lowered: [Lowered; 2],
    pub(super) width: f64,
}

/// The same networks with probes.
pub(super) struct Probed {
    pub(super) lowered: [Lowered; 2],
    pub(super) periods: [f64; 2],
    pub(super) width: f64,
}

/// Puts probes into the networks of all neighbours; `length` tells a network's period.
pub(super) fn probed(
    neighbours: &[Option<Neighbours>],
    put: &dyn Fn(&Harness, &mut Lowered),
    length: &dyn Fn(&Lowered) -> f64,
) -> Vec<Option<Probed>> {
    let of_one = |neighbours: &Neighbours| {
        let mut lowered = neighbours.lowered.clone();
        let periods = lowered.each_ref().map(length);
        neighbours.harnesses.iter().zip(&mut lowered).for_each(|(harness, lowered)| put(harness, lowered));
        Probed { lowered, periods, width: neighbours.width }
    };
    neighbours.iter().map(|neighbours| neighbours.as_ref().map(of_one)).collect()
}

/// What each value changes of an orbit: the effects, and for each value the place of its own among them, or why it has none.
pub(super) fn effects<'a>(
    orbit: &Orbit<'_>,
    probed: &'a [Option<Probed>],
    variables: &[Variable],
) -> (Vec<Effect<'a>>, Vec<Result<usize, String>>) {
    let mut effects: Vec<Effect<'a>> = Vec::new();
    let places = probed.iter().zip(variables).map(|(probed, variable)| match probed {
        None => Err(variable.stated.excluded.clone().unwrap_or_default()),
        Some(probed) => {
            effects.push(effect(orbit, probed)?);
            Ok(effects.len() - 1)
        }
    });
    let places = places.collect();
    (effects, places)
}

fn effect<'a>(orbit: &Orbit<'_>, probed: &'a Probed) -> Result<Effect<'a>, String> {
    let Probed { lowered, periods, width } = probed;
    let period = orbit.period();
    if periods.iter().any(|other| (other / period - 1.0).abs() > OTHER_PERIOD * SMALL) {
        return Err(
            "it changes how the sources' periods meet: there is no common period near this one".to_owned()
        );
    }
    let variation =
        Variation { networks: [&lowered[0].network, &lowered[1].network], periods: *periods, width: *width };
    let found = orbit.effect(&variation).map_err(|failure| failure.to_string())?;
    found.map_err(|unlike| {
        let reason = match unlike {
            Unlike::Branches => "the network becomes another one beside it",
            Unlike::Corners => "edges come, go or meet there: the values beside it are another case",
            Unlike::Jumps => "it moves an edge that takes no time",
            Unlike::Switch => "it moves a switch",
        };
        reason.to_owned()
    })
}

pub(super) fn lowered(harness: &Harness) -> Result<Lowered, String> {
    lower(harness, Start::Steady)
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))
}

/// The value a little lower and higher; at the end of its range with itself in the place of what lies beyond.
pub(super) fn neighbours(
    description: &Description,
    at: &[usize],
    harness: &Harness,
    base: &Lowered,
    variable: &Variable,
) -> Option<Neighbours> {
    let by = variable.departure();
    let side = |by: f64| {
        let departed = variable.departed(description, at, harness, by)?;
        let lowered = lowered(&departed).ok()?;
        Some((departed, lowered))
    };
    let here = || (harness.clone(), base.clone());
    let (low, high, width) = match (side(-by), side(by)) {
        (Some(low), Some(high)) => (low, high, 2.0 * by),
        (Some(low), None) => (low, here(), by),
        (None, Some(high)) => (here(), high, by),
        (None, None) => return None,
    };
    Some(Neighbours { harnesses: [low.0, high.0], lowered: [low.1, high.1], width })
}
