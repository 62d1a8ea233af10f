//! What stands before the search: the baseline, and what is around the place.

use super::impedance::Lone;
use super::judge::{Depth, Judge, mean, means, reading};
use super::outcome::Counts;
use super::screen::{Asked, Point, Rule, Screen};
use super::surroundings::{Levels, TIE, surroundings};
use super::task::{DesignError, Task, plain};
use super::worst::Worst;
use crate::readings::measure_of;
use language::Description;
use language::description::{Comparison, Harness, Measure, Place, Start};
use rayon::prelude::*;

/// The current through the tie, and its mean.
const TIE_CURRENT: &str = "quietrail_tie_current";
const THROUGH: &str = "quietrail_through";

/// What the file gives with its baseline, and with almost a short in the place.
pub(super) struct Survey {
    pub(super) baseline: Worst,
    /// For each study point the harness with the tie.
    tied: Vec<Harness>,
    levels: Vec<Levels>,
    testpoints: Vec<usize>,
    /// Greatest mean current in ampere through the place, where it is known.
    pub(super) through: Option<f64>,
}

impl Survey {
    pub(super) fn new(
        judge: &mut Judge<'_>,
        comparisons: &[Comparison],
        counts: &mut Counts,
    ) -> Result<Self, DesignError> {
        let first = judge.task.description.baseline();
        let testpoints = looked_at(&first);
        let mut more = Judge::statements(&judge.place, judge.span);
        let seen: Vec<String> =
            (0..testpoints.len()).map(|index| format!("quietrail_seen_{index}")).collect();
        for (name, index) in seen.iter().zip(&testpoints) {
            more.push_str(&format!("reading {name} = mean({})\n", first.testpoints[*index].name));
        }
        let tie = judge.names.of("tie");
        more.push_str(&format!(
            "testpoint {TIE_CURRENT} = current({tie})\nreading {THROUGH} = mean({TIE_CURRENT})\n"
        ));
        let option = format!(
            "    option {tie} {{\n        resistor {tie} {} -> {}  resistance {TIE} ohm\n    }}\n",
            judge.place.from, judge.place.to
        );
        let description = filled(judge.task, &judge.place, &option, &more)?;
        let axis = &description.axes()[judge.place.axis];
        let own = axis.baseline.unwrap_or(0);
        let tied_option = axis.points.len() - 1;
        let runs: Vec<_> = (0..judge.points.len())
            .into_par_iter()
            .map(|point| {
                let at = judge.with_option(point, own);
                let harness = judge.harness(&description, &at)?;
                let tied_at = judge.with_option(point, tied_option);
                let tied = judge.harness(&description, &tied_at)?;
                let run = judge.running(&harness, &at, Depth::Full);
                let tied_run = judge.running(&tied, &tied_at, Depth::Full);
                let levels = means(&tied_run, &seen);
                Ok((at, harness, run, tied, (levels, reading(&tied_run, THROUGH)), tied_run.error))
            })
            .collect::<Result<_, String>>()
            .map_err(DesignError::Plain)?;
        counts.runs += 2 * runs.len();
        let mut baseline: Option<Worst> = None;
        let (mut tied, mut levels, mut through) = (Vec::new(), Vec::new(), None::<f64>);
        let sizes: Vec<usize> =
            runs.iter().map(|(_, _, run, ..)| run.work.iter().map(|work| work.work.steps).sum()).collect();
        judge.baseline = runs.iter().map(|(_, _, run, ..)| mean(run).unwrap_or(f64::NAN)).collect();
        for (point, (at, harness, run, tie, (level, current), error)) in runs.into_iter().enumerate() {
            if let Some(error) = run.error.or(error) {
                return plain(format!("The baseline can't be run: {error}"));
            }
            let Some((ports, seen)) = level else {
                return plain(
                    "The baseline gives no mean at the place's nodes, so filters can't be compared with it.",
                );
            };
            let mut worst = judge.judged(&crate::result::Run { error: None, ..run }, point);
            worst.join(
                &judge.plugged(&judge.plugging_in(&harness, &at, Depth::Full), comparisons.len()),
                comparisons,
            );
            counts.runs += 1;
            match &mut baseline {
                None => baseline = Some(worst),
                Some(known) => known.join(&worst, comparisons),
            }
            through = through.into_iter().chain(current.map(f64::abs)).reduce(f64::max);
            tied.push(tie);
            levels.push(Levels { ports, seen, current: current.unwrap_or(0.0) });
        }
        // What is quickly run may spare what takes long.
        judge.order.sort_by_key(|point| sizes[*point]);
        let Some(baseline) = baseline else { return plain("There is no study point to run.") };
        Ok(Self { baseline, tied, levels, testpoints, through })
    }
}

/// Test points of requirements that bounds speak of.
fn looked_at(first: &Harness) -> Vec<usize> {
    let mut found = Vec::new();
    for requirement in &first.requirements {
        if let Some((_, name)) = asked(first, requirement)
            && let Some(index) = first.testpoints.iter().position(|each| each.name == name)
        {
            crate::examine::push_new(&mut found, &index);
        }
    }
    found
}

fn asked<'h>(
    first: &'h Harness,
    requirement: &'h language::description::Requirement,
) -> Option<(Asked, &'h str)> {
    let below = matches!(requirement.comparison, Comparison::Less | Comparison::LessOrEqual);
    match measure_of(first, &requirement.reading)? {
        Measure::PeakToPeak(name) if below => Some((Asked::PeakToPeak, name)),
        Measure::RmsAc(name) if below => Some((Asked::RmsAc, name)),
        Measure::Minimum(name) if !below => Some((Asked::Minimum, name)),
        _ => None,
    }
}

/// The bounds of this harness; or why there are none.
pub(super) fn screen(
    judge: &Judge<'_>,
    survey: &Survey,
    first: &Harness,
    lones: &[Option<Lone>],
    rated: Vec<Option<f64>>,
) -> Result<Screen, String> {
    if first.transients.first().is_none_or(|transient| transient.start != Start::Steady) {
        return Err("the file's first run is not a steady one".to_owned());
    }
    let mut rules = Vec::new();
    for (index, requirement) in first.requirements.iter().enumerate() {
        let Some((asked, name)) = asked(first, requirement) else { continue };
        let seen = survey.testpoints.iter().position(|each| first.testpoints[*each].name == name);
        let (Some(seen), limit) = (seen, requirement.limit.value) else { continue };
        rules.push(Rule { requirement: index, asked, seen, comparison: requirement.comparison, limit });
    }
    let judged =
        |lone: &Option<Lone>| lone.as_ref().and_then(|lone| lone.bears).filter(|_| judge.judges_cores);
    let bears: Vec<Option<f64>> = lones.iter().map(judged).collect();
    let points: Vec<Point> = judge
        .order
        .par_iter()
        .map(|point| {
            let around =
                surroundings(&survey.tied[*point], &judge.place, &survey.testpoints, &survey.levels[*point])?;
            Point::new(around, judge.baseline[*point], lones, &bears)
        })
        .collect::<Result<_, String>>()?;
    let noise = judge.noise.and_then(|noise| rules.iter().position(|rule| rule.requirement == noise));
    Ok(Screen { points, rules, noise, rated, bears })
}

/// The file with options of filters in it.
pub(super) fn filled(
    task: &Task<'_>,
    place: &Place,
    options: &str,
    more: &str,
) -> Result<Description, DesignError> {
    place
        .filled(task.sources, task.settings, task.loader, options, more)
        .description
        .map_err(DesignError::Text)
}
