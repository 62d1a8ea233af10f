//! The measures of one run in time, each against each value.

use super::leaf::{Leaf, Reader, Term, Without};
use super::neighbours::{Neighbours, Probed, effects, probed};
use super::probes::Looked;
use super::values::{SMALL, Variable};
use super::wanted::{Known, asked};
use crate::point::shown;
use crate::readings::Place;
use engine::sensitivity::{Effect, Motion, Orbit, Weights};
use language::description::{Harness, Measure, Start, Transient};
use network::lowered::Lowered;

/// Error that a step of the orbit may leave, as a fraction of each waveform's swing.
pub(super) const TOLERANCE: f64 = 1e-6;
/// Two derivatives are one where they differ by less than this fraction of each other, …
const SAME: f64 = 1e-4;
/// … or move the reading by less than this fraction.
const NOTHING: f64 = 1e-6;

/// All measures of a transient.
pub(super) fn of_transient(
    harness: &Harness,
    index: usize,
    transient: &Transient,
    base: &Lowered,
    variables: &[Variable],
    neighbours: &[Option<Neighbours>],
) -> Vec<Known> {
    let asked = asked(harness, |measure, place| place.0 == index && measure.in_time());
    if asked.is_empty() {
        return Vec::new();
    }
    let found = work_out(harness, transient, base, variables, neighbours, &asked);
    let with = |(measure, place): (Measure, Place), found| Known { measure, place, found };
    match found {
        Ok(found) => asked.into_iter().zip(found).map(|(asked, found)| with(asked, found)).collect(),
        Err(reason) => asked.into_iter().map(|asked| with(asked, Err(reason.clone()))).collect(),
    }
}

type Found = Result<(f64, Vec<Result<f64, String>>), String>;

fn work_out(
    harness: &Harness,
    transient: &Transient,
    base: &Lowered,
    variables: &[Variable],
    neighbours: &[Option<Neighbours>],
    asked: &[(Measure, Place)],
) -> Result<Vec<Found>, String> {
    if transient.start != Start::Steady {
        return Err("its run does not begin with `start steady`".to_owned());
    }
    let mut base = base.clone();
    let shown_here = shown(&base, transient);
    if !shown_here.repeats {
        return Err("its sources have no common period".to_owned());
    }
    let looked = Looked::put(harness, &mut base);
    let orbit =
        Orbit::new(&base.network, shown_here.length, TOLERANCE).map_err(|failure| failure.to_string())?;
    let reader = Reader { orbit: &orbit, looked: &looked, shown: &shown_here };
    let leaves: Vec<Result<Leaf, String>> = asked
        .iter()
        .map(|(measure, place)| {
            reader.leaf(measure, place.1).map_err(|without| match without {
                Without::Absent => "it looks at what is absent here".to_owned(),
                Without::Reason(reason) => reason,
            })
        })
        .collect();

    // The networks of all neighbours, with the same probes.
    let put = |harness: &Harness, lowered: &mut Lowered| {
        Looked::put(harness, lowered);
    };
    let length = |lowered: &Lowered| shown(lowered, transient).length;
    let probed = probed(neighbours, &put, &length);
    let (mut effects, places) = effects(&orbit, &probed, variables);
    let mut numbers: Vec<Weights> = Vec::new();
    for leaf in leaves.iter().flatten() {
        let all = leaf.terms.iter().chain(leaf.ties.iter().map(|(_, term)| term));
        numbers.extend(all.map(|term| term.weights.clone()));
    }
    let slopes = orbit.sensitivities(&numbers, &mut effects).map_err(|failure| failure.to_string())?;
    let mut next = 0;
    let mut results = Vec::new();
    for leaf in leaves {
        let leaf = match leaf {
            Ok(leaf) => leaf,
            Err(reason) => {
                results.push(Err(reason));
                continue;
            }
        };
        let count = leaf.terms.len() + leaf.ties.len();
        let rows = &slopes[next..next + count];
        next += count;
        let saturation = leaf.core.as_ref().map(|(part, peak)| (part.as_str(), *peak));
        let reached = saturation.and_then(|(part, peak)| gone(&base, part, peak));
        let value = if leaf.core.is_some() { reached.unwrap_or(f64::NAN) } else { leaf.value };
        let by_value = places.iter().zip(&probed).zip(variables).map(|((place, probed), variable)| {
            let effect = *place.as_ref().map_err(Clone::clone)?;
            let Some(Probed { lowered, periods, width }) = probed else { return Err(String::new()) };
            if leaf.timed && periods[0] != periods[1] {
                return Err("it changes the period, and the reading stands at stated times".to_owned());
            }
            let little = variable.stated.little().abs();
            let slope = derivative(&orbit, &effects[effect], effect, &leaf, rows, little)?;
            match saturation {
                None => Ok(slope),
                Some((part, peak)) => {
                    let none = || "the core is no longer there".to_owned();
                    let at = |lowered: &Lowered, peak: f64| gone(lowered, part, peak).ok_or_else(none);
                    let step = SMALL * peak;
                    let by_current = if step > 0.0 {
                        (at(&base, peak + step)? - at(&base, peak - step)?) / (2.0 * step)
                    } else {
                        0.0
                    };
                    Ok(by_current * slope + (at(&lowered[1], peak)? - at(&lowered[0], peak)?) / width)
                }
            }
        });
        results.push(Ok((value, by_value.collect())));
    }
    Ok(results)
}

/// Share of a coil's inductance that is gone at a current.
fn gone(lowered: &Lowered, part: &str, current: f64) -> Option<f64> {
    Some(1.0 - lowered.part(part)?.inductor.as_ref()?.inductance_left(current))
}

/// The derivative of a leaf by the value of an effect.
fn derivative(
    orbit: &Orbit<'_>,
    effect: &Effect<'_>,
    column: usize,
    leaf: &Leaf,
    rows: &[Vec<f64>],
    little: f64,
) -> Result<f64, String> {
    let of_term = |term: &Term, row: &Vec<f64>| -> Result<f64, String> {
        if term.corner.is_some_and(|time| orbit.motion(effect, time) == Motion::Unclear) {
            return Err("a kink: the peak stands where two edges meet that move differently".to_owned());
        }
        if term.squared.is_some_and(|probe| orbit.jumps_unclearly(effect, probe)) {
            return Err("a kink: the waveform jumps where two edges meet that move differently".to_owned());
        }
        Ok(term.factor * row[column])
    };
    let terms: Vec<f64> =
        leaf.terms.iter().zip(rows).map(|(term, row)| of_term(term, row)).collect::<Result<_, _>>()?;
    let sum: f64 = terms.iter().sum();
    for ((index, term), row) in leaf.ties.iter().zip(&rows[leaf.terms.len()..]) {
        let apart = (of_term(term, row)? - terms[*index]).abs();
        if apart > SAME * sum.abs() && apart * little > NOTHING * leaf.value.abs() {
            return Err("a kink: the waveform is as high elsewhere, and changes differently there".to_owned());
        }
    }
    Ok(sum)
}
