//! One study point: lowered, run, read and judged.

use crate::facts;
use crate::options::Options;
use crate::outcome::{Outcome, Outcomes};
use crate::recorder::Recorder;
use crate::responses::Measures;
use crate::result::{Run, TransientWork};
use crate::shown::Shown;
use crate::warnings;
use engine::frequency::Means;
use engine::{Method, Request, Summary};
use language::Description;
use language::description::{Harness, Start, Transient};
use network::lowered::{Lowered, LoweredPart, Warning};
use network::primitive::Element;
use network::waveform::period::Period;

/// A common period with more corners than this is not waited for.
const MOST_EVENTS: f64 = 1e6;
/// From this number of corners in a common period on a run takes seconds.
const MANY_CORNERS: f64 = 1e4;
/// A run over more corners than this is refused: it would take the better part of an hour.
const MOST_CORNERS: f64 = 1e8;

/// Runs one point; a failure becomes the run's error.
pub(crate) fn run_point(description: &Description, at: &[usize], options: &Options) -> Run {
    let harness = match description.check_at(at) {
        Ok(harness) => harness,
        Err(mistakes) => {
            let text = mistakes.into_iter().map(|mistake| mistake.message).collect::<Vec<_>>().join("; ");
            return failed(&description.at(at), at, text);
        }
    };
    run_harness(&harness, at, options)
}

/// Runs the harness of one point.
pub(crate) fn run_harness(harness: &Harness, at: &[usize], options: &Options) -> Run {
    run_over(harness, at, options, true)
}

/// The same without what nobody asks for over frequency: no warnings of resonances, and no linearisation for them.
pub(crate) fn run_in_time(harness: &Harness, at: &[usize], options: &Options) -> Run {
    run_over(harness, at, options, crate::responses::asks_over_frequency(harness))
}

fn run_over(harness: &Harness, at: &[usize], options: &Options, over_frequency: bool) -> Run {
    let mut warnings = Vec::new();
    let mut outcomes = Vec::new();
    let mut work = Vec::new();
    let mut error = None;
    let mut steady = None;
    for (index, transient) in harness.transients.iter().enumerate() {
        match run_transient(harness, index, transient, (options, over_frequency), &mut warnings) {
            Ok((outcome, summary, lowered)) => {
                outcomes.push(Some(outcome));
                if transient.start == Start::Steady {
                    steady = Some(lowered);
                }
                let transient = transient.name.clone();
                work.push(TransientWork {
                    transient,
                    road: summary.road,
                    settled: summary.settled,
                    work: summary.work,
                });
            }
            Err(text) => {
                outcomes.push(None);
                let named = transient.name.as_ref().map_or(String::new(), |name| format!("{name}: "));
                error.get_or_insert(format!("{named}{text}"));
            }
        }
    }
    let bias = outcomes.iter().flatten().find_map(|outcome| outcome.bias.clone());
    let measures = if over_frequency {
        Measures::of_point(harness, steady, bias, options.accuracy, &mut warnings).unwrap_or_else(|text| {
            error.get_or_insert(text);
            Measures::default()
        })
    } else {
        Measures::default()
    };
    let read = read(harness, at, outcomes, &measures);
    warnings.extend(read.warnings);
    let start = harness.transients.first().map_or(Start::Steady, |transient| transient.start);
    let parts = if options.pictures {
        network::lowering::lower(harness, start).map(|lowered| facts::of_parts(&lowered)).unwrap_or_default()
    } else {
        Vec::new()
    };
    Run { parts, warnings, work, error, ..read }
}

/// What is told of a point in which the program itself failed.
pub(crate) const OWN_FAULT: &str =
    "the program failed here by a fault of its own; please report it with this file";

/// A point that could not be run, for the reason given.
pub(crate) fn failed(harness: &Harness, at: &[usize], reason: String) -> Run {
    let outcomes = harness.transients.iter().map(|_| None).collect();
    Run { error: Some(reason), ..read(harness, at, outcomes, &Measures::default()) }
}

/// Readings and verdicts from what the transients gave. A failure says by itself why the values of its transient are missing.
fn read(harness: &Harness, at: &[usize], mut outcomes: Vec<Option<Outcome>>, frequency: &Measures) -> Run {
    let measured = Outcomes { harness, outcomes: &outcomes, frequency };
    let readings = harness.readings.iter().map(|reading| measured.reading(reading)).collect();
    let requirements =
        harness.requirements.iter().map(|requirement| measured.requirement(requirement)).collect();
    let warnings = measured.without_value();
    let (testpoints, coils) = match outcomes.first_mut().and_then(Option::as_mut) {
        Some(outcome) => (std::mem::take(&mut outcome.testpoints), std::mem::take(&mut outcome.coils)),
        None => (vec![None; harness.testpoints.len()], Vec::new()),
    };
    Run {
        at: at.to_vec(),
        readings,
        requirements,
        testpoints,
        coils,
        parts: Vec::new(),
        warnings,
        work: Vec::new(),
        error: None,
    }
}

thread_local! {
    /// Of points that a thread runs one after another many share a drawing, or what the drives do.
    static SERIES: engine::Series = engine::Series::default();
}

fn run_transient(
    harness: &Harness,
    index: usize,
    transient: &Transient,
    (options, over_frequency): (&Options, bool),
    warnings: &mut Vec<Warning>,
) -> Result<(Outcome, Summary, Lowered), String> {
    let mut lowered = network::lowering::lower(harness, transient.start)
        .map_err(|errors| errors.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))?;
    let say = |found: Vec<Warning>, warnings: &mut Vec<Warning>| {
        found.iter().for_each(|warning| crate::examine::push_new(warnings, warning));
    };
    say(lowered.warnings.clone(), warnings);
    say(warnings::of_drawing(harness, &lowered), warnings);
    if transient.start == Start::Steady {
        refuse_aperiodic(&lowered)?;
    }
    let period = shown_period(&lowered, transient);
    if transient.start == Start::Steady && period.is_none() {
        say(
            vec![warnings::no_common_period(
                &pulsing(&lowered),
                slowest_beat(&lowered.periods),
                transient.span,
            )],
            warnings,
        );
    }
    let start = match transient.start {
        Start::Steady => engine::Start::Steady { period },
        Start::Operating => engine::Start::Operating,
        Start::Rest => engine::Start::Rest,
    };
    let shown = shown(&lowered, transient);
    refuse_endless(&lowered, shown.length)?;
    let mut recorder = Recorder::new(harness, index, &lowered, shown, options.pictures);
    let own = std::mem::replace(&mut lowered.network.probes, recorder.probes());
    let request =
        Request { start, span: transient.span, accuracy: options.accuracy, method: Method::Automatic };
    let mut means =
        (over_frequency && transient.start == Start::Steady).then(|| Means::new(&mut lowered.network));
    let run = SERIES.with(|series| match &mut means {
        Some(means) => series.run(&lowered.network, &request, &mut means.beside(&mut recorder)),
        None => series.run(&lowered.network, &request, &mut recorder),
    });
    let summary = run.map_err(|failure| failure.to_string())?;
    let finished = recorder.finish(&lowered);
    say(warnings::of_run(&lowered, transient.start, &finished.facts), warnings);
    let bias = means.and_then(|means| means.bias(&lowered.network).ok());
    lowered.network.probes = own;
    Ok((Outcome { bias, ..finished.outcome }, summary, lowered))
}

/// A source that never repeats leaves no steady state.
fn refuse_aperiodic(lowered: &Lowered) -> Result<(), String> {
    match &lowered.aperiodic {
        Some(part) => Err(format!(
            "{part}, so nothing repeats and there is no steady state; use `start operating` or `start rest`"
        )),
        None => Ok(()),
    }
}

/// The period in seconds after which everything repeats, `still` where nothing moves; otherwise why there is none.
pub(crate) fn repeats_after(lowered: &Lowered, still: f64) -> Result<f64, String> {
    refuse_aperiodic(lowered)?;
    if lowered.periods.is_empty() {
        return Ok(still);
    }
    let period = common_period(lowered).ok_or_else(|| {
        format!(
            "{} have no common period that can be waited for, so there is no waveform to repeat; give frequencies that share a large divisor (480 Hz beside 20 kHz, not 477 Hz)",
            pulsing(lowered).join(", ")
        )
    })?;
    refuse_endless(lowered, period)?;
    Ok(period)
}

/// Names of the parts that switch or pulse.
fn pulsing(lowered: &Lowered) -> Vec<String> {
    let periodic = |part: &&LoweredPart| {
        let waveform = part.source.map(|branch| &lowered.network.branches[branch].element);
        match waveform {
            Some(Element::CurrentSource(waveform) | Element::VoltageSource(waveform)) => {
                !waveform.periods().is_empty()
            }
            _ => false,
        }
    };
    lowered.parts.iter().filter(periodic).map(|part| part.name.clone()).collect()
}

/// Harmonics of a slower source that are looked at for a beat with a faster one: those beyond are weak.
const BEATING: f64 = 10.0;

/// How long in seconds the slowest beat of two periods takes: of the faster with the nearest harmonic of the slower.
fn slowest_beat(periods: &[Period]) -> Option<f64> {
    let rates: Vec<f64> = periods.iter().map(|period| 1.0 / period.seconds()).collect();
    let pairs = rates.iter().enumerate().flat_map(|(index, one)| {
        rates[index + 1..].iter().map(move |other| (one.min(*other), one.max(*other)))
    });
    let beats = pairs.filter_map(|(slow, fast)| {
        let order = (fast / slow).round();
        let rate = (fast - order * slow).abs();
        // Rounding of two numbers that are the same.
        (order <= BEATING && rate > 1e-12 * fast).then_some(1.0 / rate)
    });
    beats.max_by(f64::total_cmp)
}

/// Corners of all sources over a stretch of time: four a period each.
fn corners(lowered: &Lowered, length: f64) -> f64 {
    lowered.periods.iter().map(|period| 4.0 * length / period.seconds()).sum()
}

/// A run that would take hours is not begun.
fn refuse_endless(lowered: &Lowered, length: f64) -> Result<(), String> {
    let corners = corners(lowered, length);
    if corners <= MOST_CORNERS {
        return Ok(());
    }
    Err(format!(
        "the run would pass {corners:.1e} edges of pulses, more than {MOST_CORNERS:.0e}; shorten its span, or use `start steady`"
    ))
}

/// Says that a steady run has to follow very many edges, because the sources repeat together but rarely.
pub(crate) fn takes_long(lowered: &Lowered) -> Option<String> {
    let common = Period::common(&lowered.periods)?.seconds();
    let edges = corners(lowered, common);
    (MANY_CORNERS..=MOST_EVENTS).contains(&edges).then(|| {
        let seconds = quantity::engineering(
            quantity::Quantity { value: common, dimension: quantity::Dimension::TIME },
            3,
        );
        format!(
            "this takes a while: the sources repeat together every {seconds} only, {edges:.0} edges of pulses; frequencies that share a larger divisor (480 Hz beside 20 kHz, not 477 Hz) are quick"
        )
    })
}

/// The common period of all sources; `None` where they have none that can be waited for, and where nothing moves.
pub(crate) fn common_period(lowered: &Lowered) -> Option<f64> {
    let common = Period::common(&lowered.periods)?.seconds();
    (corners(lowered, common) <= MOST_EVENTS).then_some(common)
}

/// The stretch of time that a run shows.
pub(crate) fn shown(lowered: &Lowered, transient: &Transient) -> Shown {
    let period = shown_period(lowered, transient);
    let repeats = transient.start == Start::Steady && period.is_some();
    Shown {
        length: period.filter(|_| repeats).unwrap_or(transient.span),
        repeats,
        period: period.filter(|_| !lowered.periods.is_empty()),
        pwm: lowered.parts.iter().filter_map(|part| Some((part.name.clone(), part.limits.pwm?))).collect(),
    }
}

/// The period that a run shows: the common one of all sources, or the span where nothing moves.
fn shown_period(lowered: &Lowered, transient: &Transient) -> Option<f64> {
    if lowered.periods.is_empty() { Some(transient.span) } else { common_period(lowered) }
}
