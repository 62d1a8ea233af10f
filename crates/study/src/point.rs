//! One study point: lowered, run, read and judged.

use crate::options::Options;
use crate::outcome::{Outcome, Outcomes};
use crate::recorder::Recorder;
use crate::result::Run;
use crate::warnings;
use engine::{Method, Request};
use language::Description;
use language::description::{Harness, Start, Transient};
use network::lowered::{Lowered, Warning};
use network::waveform::period::Period;

/// A common period with more corners than this is not waited for.
const MOST_EVENTS: f64 = 1e6;

/// Runs one point; a failure becomes the run's error.
pub(crate) fn run_point(description: &Description, at: &[usize], options: &Options) -> Run {
    let harness = description.at(at);
    let mut warnings = Vec::new();
    let mut outcomes = Vec::new();
    let mut error = None;
    for (index, transient) in harness.transients.iter().enumerate() {
        match run_transient(&harness, index, transient, options, &mut warnings) {
            Ok(outcome) => outcomes.push(Some(outcome)),
            Err(text) => {
                outcomes.push(None);
                let named = transient.name.as_ref().map_or(String::new(), |name| format!("{name}: "));
                error.get_or_insert(format!("{named}{text}"));
            }
        }
    }
    let measured = Outcomes { harness: &harness, outcomes: &outcomes };
    let readings = harness.readings.iter().map(|reading| measured.reading(reading)).collect();
    let requirements =
        harness.requirements.iter().map(|requirement| measured.requirement(requirement)).collect();
    // A failure says by itself why the values of its transient are missing.
    warnings.extend(measured.without_value());
    let first = outcomes.iter_mut().next().and_then(Option::as_mut);
    let (testpoints, coils) = match first {
        Some(outcome) => (std::mem::take(&mut outcome.testpoints), std::mem::take(&mut outcome.coils)),
        None => (vec![None; harness.testpoints.len()], Vec::new()),
    };
    Run { at: at.to_vec(), readings, requirements, testpoints, coils, warnings, error }
}
fn run_transient(
    harness: &Harness,
    index: usize,
    transient: &Transient,
    options: &Options,
    warnings: &mut Vec<Warning>,
) -> Result<Outcome, String> {
    let mut lowered = network::lowering::lower(harness, transient.start)
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))?;
    let say = |found: Vec<Warning>, warnings: &mut Vec<Warning>| {
        found.iter().for_each(|warning| crate::examine::push_new(warnings, warning));
    };
    say(lowered.warnings.clone(), warnings);
    say(warnings::of_drawing(harness, &lowered), warnings);
    if transient.start == Start::Steady
        && let Some(part) = &lowered.aperiodic
    {
        return Err(format!(
            "{part}, so nothing repeats and there is no steady state; use `start operating` or `start rest`"
        ));
    }
    let period = common_period(&lowered, transient);
    if transient.start == Start::Steady && period.is_none() {
        say(vec![warnings::no_common_period(transient.span)], warnings);
    }
    let start = match transient.start {
        Start::Steady => engine::Start::Steady { period },
        Start::Operating => engine::Start::Operating,
        Start::Rest => engine::Start::Rest,
    };
    let shown = match (transient.start, period) {
        (Start::Steady, Some(period)) => period,
        _ => transient.span,
    };
    let mut recorder = Recorder::new(harness, index, &lowered, shown, period);
    lowered.network.probes = recorder.probes();
    let request =
        Request { start, span: transient.span, accuracy: options.accuracy, method: Method::Automatic };
    engine::run(&lowered.network, &request, &mut recorder).map_err(|failure| failure.to_string())?;
    let outcome = recorder.finish(&lowered, period);
    say(warnings::of_run(&lowered, transient.start, &outcome.facts), warnings);
    Ok(outcome.outcome)
}

/// The common period of all sources; the span where nothing moves; `None` where they have none that can be waited for.
fn common_period(lowered: &Lowered, transient: &Transient) -> Option<f64> {
    if lowered.periods.is_empty() {
        return Some(transient.span);
    }
    let common = Period::common(&lowered.periods)?.seconds();
    // Four corners a period of each source.
    let events: f64 = lowered.periods.iter().map(|period| 4.0 * common / period.seconds()).sum();
    (events <= MOST_EVENTS).then_some(common)
}
