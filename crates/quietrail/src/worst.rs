//! `quietrail worst`: where a reading is worst over conditions and sweeps.

use crate::arguments::WorstArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::progress::while_working;
use crate::{Stop, deliver};
use language::description::{AxisKind, Comparison, Expression};
use report::worst::Answer;
use study::worst::Question;

pub(crate) fn run(arguments: &WorstArguments) -> Result<Exit, Stop> {
    let subject = &arguments.subject;
    let study = Study::open(subject)?;
    let options = study.options(&subject.points.only, arguments.accuracy.fraction)?;
    let harness = study.baseline();
    let Some(reading) = harness.readings.iter().find(|reading| reading.name == arguments.reading) else {
        let known: Vec<&str> = harness.readings.iter().map(|reading| reading.name.as_str()).collect();
        let known = if known.is_empty() { "none".to_owned() } else { known.join(", ") };
        return Err(Stop::input(format!(
            "{} has no reading {}. Its readings: {known}.",
            subject.file.display(),
            arguments.reading
        )));
    };
    let sweeps: Vec<&str> = study
        .axes()
        .iter()
        .filter(|axis| axis.kind == AxisKind::Sweep)
        .map(|axis| axis.name.as_str())
        .collect();
    if let Some(unknown) = arguments.over.iter().find(|name| !sweeps.contains(&name.as_str())) {
        let known = if sweeps.is_empty() { "none".to_owned() } else { sweeps.join(", ") };
        return Err(Stop::input(format!("--over {unknown}: no such sweep. Sweeps of the file: {known}.")));
    }
    let over: Vec<&str> =
        if arguments.over.is_empty() { sweeps } else { arguments.over.iter().map(String::as_str).collect() };
    // What must stay above its limit is worst where it is least.
    let above = harness.requirements.iter().any(|requirement| {
        matches!(&requirement.reading.expression, Expression::Reading(name) if *name == reading.name)
            && matches!(requirement.comparison, Comparison::Greater | Comparison::GreaterOrEqual)
    });
    let least = arguments.least || above;
    let question = Question { reading: &reading.name, least, over: &over };
    let telling = arguments.telling;
    let search = || study.worst(&question, &options);
    let found = while_working("Looking for the worst", telling.quiet.on, search)?;
    let answer = Answer {
        harness: study.title(),
        reading: (&reading.name, reading.dimension),
        least,
        axes: study.axes(),
        found: &found,
    };
    deliver::tell(telling, |style| answer.text(style), || answer.json())?;
    let failed = found.iter().any(|worst| worst.value.is_none());
    Ok(if failed { Exit::ComputationFailed } else { Exit::Met })
}
