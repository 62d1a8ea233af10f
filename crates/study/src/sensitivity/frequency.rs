//! The measures over frequency, each against each value: around the means of the periodic steady state, which move with the value.

use super::neighbours::{Neighbours, effects, probed};
use super::transient::TOLERANCE;
use super::values::Variable;
use super::wanted::{Known, asked};
use crate::point::common_period;
use crate::readings::Place;
use crate::responses::{Beside, View, slopes};
use engine::frequency::{Bias, Means};
use engine::sensitivity::{Orbit, Weights, alike};
use language::description::{Harness, Measure};
use network::lowered::Lowered;

/// Period of a network in which nothing moves: any will do.
const ANY_PERIOD: f64 = 1e-3;

/// Where a point and its neighbours are linearised; a neighbour without a bias has a reason.
struct Biases {
    here: Bias,
    beside: Vec<Result<[Bias; 2], String>>,
}

pub(super) fn of_frequency(
    harness: &Harness,
    base: &Lowered,
    variables: &[Variable],
    neighbours: &[Option<Neighbours>],
) -> Vec<Known> {
    let asked = asked(harness, |measure, _| !measure.in_time());
    if asked.is_empty() {
        return Vec::new();
    }
    let biases = biases(base, variables, neighbours);
    let with = |(measure, place): (Measure, Place)| {
        let found = biases
            .as_ref()
            .map_err(Clone::clone)
            .and_then(|biases| one(harness, base, neighbours, biases, &measure));
        Known { measure, place, found }
    };
    asked.into_iter().map(with).collect()
}

/// One measure against each value.
fn one(
    harness: &Harness,
    base: &Lowered,
    neighbours: &[Option<Neighbours>],
    biases: &Biases,
    measure: &Measure,
) -> Result<(f64, Vec<Result<f64, String>>), String> {
    let view = View::new(harness, base, biases.here.clone());
    let mut places = Vec::new();
    let mut others = Vec::new();
    for (neighbours, bias) in neighbours.iter().zip(&biases.beside) {
        let place = match (neighbours, bias) {
            (Some(neighbours), Ok(bias)) => {
                let [low, high] = [0, 1].map(|side| {
                    let (harness, lowered) = (&neighbours.harnesses[side], &neighbours.lowered[side]);
                    View::new(harness, lowered, bias[side].clone())
                });
                others.push(Beside { views: [low, high], width: neighbours.width });
                Ok(others.len() - 1)
            }
            (_, Err(reason)) => Err(reason.clone()),
            (None, Ok(_)) => Err(String::new()),
        };
        places.push(place);
    }
    let (value, found) = slopes(&view, measure, &others)?;
    Ok((value, places.into_iter().map(|place| place.map(|place| found[place])).collect()))
}

fn biases(
    base: &Lowered,
    variables: &[Variable],
    neighbours: &[Option<Neighbours>],
) -> Result<Biases, String> {
    const OTHER: &str = "the network becomes another one beside it";
    let told = |variable: &Variable| variable.stated.excluded.clone().unwrap_or_default();
    let rest = |lowered: &Lowered| Bias::resting(&lowered.network).map_err(|failure| failure.to_string());
    let mut probed_base = base.clone();
    probed_base.network.probes.clear();
    let means = Means::new(&mut probed_base.network);
    if means.is_idle() {
        let beside = neighbours.iter().zip(variables).map(|(neighbours, variable)| {
            let Some(Neighbours { lowered: [low, high], .. }) = neighbours else {
                return Err(told(variable));
            };
            if alike(&base.network, &low.network) && alike(&base.network, &high.network) {
                Ok([rest(low)?, rest(high)?])
            } else {
                Err(OTHER.to_owned())
            }
        });
        return Ok(Biases { here: rest(base)?, beside: beside.collect() });
    }
    let period = if base.periods.is_empty() && base.aperiodic.is_none() {
        Some(ANY_PERIOD)
    } else {
        common_period(base).filter(|_| base.aperiodic.is_none())
    };
    let period = period.ok_or("its sources have no common period, around whose means it would stand")?;
    let orbit = Orbit::new(&probed_base.network, period, TOLERANCE).map_err(|failure| failure.to_string())?;
    let mean = |probe| orbit.mean(probe, &[(0.0, period)]);
    let found: Vec<(Weights, f64)> = means.probes().map(mean).collect();
    let put = |_: &Harness, lowered: &mut Lowered| {
        lowered.network.probes.clear();
        let _ = Means::new(&mut lowered.network);
    };
    let length = |lowered: &Lowered| common_period(lowered).unwrap_or(period);
    let probed = probed(neighbours, &put, &length);
    let (mut effects, places) = effects(&orbit, &probed, variables);
    let numbers: Vec<_> = found.iter().map(|(weights, _)| weights.clone()).collect();
    let slopes = orbit.sensitivities(&numbers, &mut effects).map_err(|failure| failure.to_string())?;
    let at = |lowered: &Lowered, column: Option<usize>, by: f64| {
        let mean = |(row, (_, mean)): (usize, &(Weights, f64))| {
            mean + column.map_or(0.0, |column| by * slopes[row][column])
        };
        let standing: Vec<f64> = found.iter().enumerate().map(mean).collect();
        means.standing_at(&standing).bias(&lowered.network).map_err(|failure| failure.to_string())
    };
    let beside = places.iter().zip(neighbours).map(|(place, neighbours)| {
        let column = *place.as_ref().map_err(Clone::clone)?;
        let Some(Neighbours { lowered: [low, high], width, .. }) = neighbours else {
            return Err(String::new());
        };
        Ok([at(low, Some(column), -0.5 * width)?, at(high, Some(column), 0.5 * width)?])
    });
    Ok(Biases { here: at(base, None, 0.0)?, beside: beside.collect() })
}
