//! From a task to its answer.

use super::answer::{has_costs, objectives, requirements, standing};
use super::candidate::{Names, candidates};
use super::element::{Element, elements};
use super::front::Scale;
use super::hunt::State;
use super::impedance::{Lone, lone};
use super::judge::Judge;
use super::outcome::{Counts, Design, Dropped};
use super::survey::{Survey, screen};
use super::task::{DesignError, Progress, Search, Task, plain};
use super::tolerances::Draws;
use crate::options::{Options, product};
use language::Description;
use language::description::{AxisKind, Comparison, Harness, Place, Start};
use language::stock::Stock;

/// Length in seconds of the run that plugs in, where the file has none from rest: some swings of the largest coils and capacitors of
/// such vehicles (own choice).
const PLUG_IN_SPAN: f64 = 10e-3;

/// By how much less accurately filters are run while they are compared, and the least accurate that a run may be.
const QUICKLY: f64 = 10.0;
const LEAST_ACCURATE: f64 = 1e-2;

/// Finds the filters that meet every requirement with tolerances and that no other beats.
///
/// # Errors
/// No place, no requirement, nothing to build from; picks that name nothing.
pub fn design(
    task: &Task<'_>,
    search: &Search,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Design, DesignError> {
    let place = the_place(task.description, search.choice.as_deref())?;
    let first = task.description.baseline();
    check(&first)?;
    let comparisons: Vec<Comparison> = first.requirements.iter().map(|each| each.comparison).collect();
    let mut judge = judge(task, search, place, &first)?;
    let mut counts = Counts::default();
    let surveyed = Survey::new(&mut judge, &comparisons, &mut counts)?;
    let borne = surveyed.through.filter(|current| judge.judges_cores && *current > 0.0);
    let (all, lones) = buildable(task.stock, search.turns, borne, &mut counts);
    let (found, short) = candidates(&all, task.stock, &search.topologies);
    if short > 0 {
        counts.dropped.push(Dropped { rule: "more of a part than the stock has".to_owned(), filters: short });
    }
    counts.considered = search
        .topologies
        .iter()
        .map(|topology| (*topology, found.iter().filter(|each| each.topology == *topology).count()))
        .collect();
    if found.is_empty() {
        return plain(
            "The stock has nothing to build a filter of: it takes at least a coil (or a ring and winding wire), or a resistor and a capacitor.",
        );
    }
    // What withstands nothing in particular is never overstressed; a stage before the load has its voltage and more.
    let rated = all.iter().map(|element| {
        let part = task.stock.items[element.line].part.as_ref()?;
        part.number("rated").filter(|_| element.word == "capacitor")
    });
    let rated: Vec<Option<f64>> = rated.collect();
    let screen =
        if search.prune { screen(&judge, &surveyed, &first, &lones, rated) } else { Err(String::new()) };
    let limit = judge.noise.map(|noise| first.requirements[noise].limit.value);
    let mut state = State {
        judge: &judge,
        comparisons: &comparisons,
        all: &all,
        search,
        progress,
        counts,
        scale: Scale::new(limit, surveyed.baseline.peak),
        has_costs: has_costs(task.stock),
        beaten: 0,
        steps: judge.steps().into_iter().map(|step| (step, 0)).collect(),
        draws: Draws::new(&judge, search),
        held: Vec::new(),
        near: Vec::new(),
    };
    let unscreened = screen.as_ref().err().cloned().filter(|reason| !reason.is_empty());
    state.run(found, screen.ok().as_ref())?;
    let winners = state.winners()?;
    let nearest = if winners.is_empty() { state.nearest()? } else { None };
    let State { counts, .. } = state;
    Ok(Design {
        harness: task.description.title().to_owned(),
        choice: judge.place.choice.clone(),
        nodes: [judge.place.from.clone(), judge.place.to.clone(), judge.place.back.clone()],
        objectives: objectives(&first, judge.noise),
        has_costs: has_costs(task.stock),
        requirements: requirements(&first),
        baseline: standing(&surveyed.baseline, judge.noise),
        counts,
        unscreened,
        winners,
        nearest,
        draws: search.draws,
        points: judge.points.len(),
        lines: task.stock.items.iter().map(|item| item.name.clone()).collect(),
    })
}

fn the_place(description: &Description, choice: Option<&str>) -> Result<Place, DesignError> {
    let mut places = description.places();
    if let Some(choice) = choice {
        let known: Vec<String> = places.iter().map(|place| place.choice.clone()).collect();
        return match places.into_iter().find(|place| place.choice == choice) {
            Some(place) => Ok(place),
            None if known.is_empty() => plain(NO_PLACE),
            None => plain(format!(
                "No choice {choice} has a place for a filter. Those that have one: {}.",
                known.join(", ")
            )),
        };
    }
    match places.len() {
        0 => plain(NO_PLACE),
        1 => Ok(places.remove(0)),
        _ => {
            let names: Vec<String> = places.into_iter().map(|place| place.choice).collect();
            plain(format!(
                "The file has several places for a filter: say which with --choice ({}).",
                names.join(", ")
            ))
        }
    }
}

const NO_PLACE: &str = "The file does not say where a filter may go. Write `place tap -> cam` into the choice that it belongs to, with the nodes on the source's side and on the load's.";

fn check(first: &Harness) -> Result<(), DesignError> {
    if first.requirements.is_empty() {
        return plain(
            "The file requires nothing, so that every filter would do. Write `require noise < 60 mV`, for one.",
        );
    }
    if first.transients.is_empty() {
        return plain("The file has no run in time. Write `transient span 1 ms, start steady`, for one.");
    }
    Ok(())
}

fn judge<'a>(
    task: &'a Task<'a>,
    search: &Search,
    place: Place,
    first: &Harness,
) -> Result<Judge<'a>, DesignError> {
    let options = Options { pictures: false, ..search.options.clone() };
    let quick = Options { accuracy: (QUICKLY * options.accuracy).min(LEAST_ACCURATE), ..options.clone() };
    let mut axes = options.points(task.description).map_err(DesignError::Options)?;
    for (index, (axis, points)) in task.description.axes().iter().zip(&mut axes).enumerate() {
        if index == place.axis {
            *points = vec![0];
        } else if axis.kind == AxisKind::Choice && points.len() > 1 {
            // What else the builder may pick stays as it is.
            points.truncate(1);
        }
    }
    let points: Vec<Vec<usize>> = product(&axes).collect();
    let noise = first
        .requirements
        .iter()
        .position(|each| matches!(each.comparison, Comparison::Less | Comparison::LessOrEqual));
    let from_rest = first.transients.iter().find(|each| each.start == Start::Rest);
    Ok(Judge {
        names: Names::new(task.description, &place),
        order: (0..points.len()).collect(),
        baseline: Vec::new(),
        judges_cores: first.transients.first().is_some_and(|transient| transient.start != Start::Rest),
        span: from_rest.map_or(PLUG_IN_SPAN, |transient| transient.span),
        task,
        place,
        options,
        quick,
        points,
        noise,
    })
}

/// The elements that can be made, with what they are alone; others are counted.
fn buildable(
    stock: &Stock,
    turns: usize,
    current: Option<f64>,
    counts: &mut Counts,
) -> (Vec<Element>, Vec<Option<Lone>>) {
    let (mut all, mut lones, mut wrong) = (Vec::new(), Vec::new(), 0);
    for element in elements(stock, turns, current) {
        match lone(&element) {
            Ok(found) => {
                all.push(element);
                lones.push(found);
            }
            Err(_) => wrong += 1,
        }
    }
    if wrong > 0 {
        counts.dropped.push(Dropped { rule: "windings that can't be".to_owned(), filters: wrong });
    }
    (all, lones)
}

#[cfg(test)]
mod tests;
