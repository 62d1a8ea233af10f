//! `quietrail sensitivity`: what a little more of each value does to each reading.

use crate::arguments::SensitivityArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::progress::while_working;
use crate::{Stop, deliver};
use report::sensitivity::{self, Extent};
use report::table::Style;
use study::sensitivity::Sensitivities;

pub(crate) fn run(arguments: &SensitivityArguments) -> Result<Exit, Stop> {
    let asked = &arguments.study;
    let (subject, quiet) = (&asked.subject, asked.telling.quiet.on);
    let study = Study::open(subject)?;
    let options = study.options(&subject.points.only, None)?;
    let harness = study.baseline();
    if harness.readings.is_empty() && harness.requirements.is_empty() {
        return Err(Stop::input(format!(
            "{} has nothing that could change. Add a line such as\n  reading noise = peak_to_peak(TESTPOINT)",
            subject.file.display()
        )));
    }
    study.remark(quiet);
    let found = while_working("Derivatives", quiet, || study.sensitivities(&options))?;
    let extent = if arguments.all { Extent::Everything } else { Extent::Worst };
    let told = deliver::tell(
        asked.telling,
        |style| sensitivity::table(&found, extent, style),
        || sensitivity::json(&found),
    );
    deliver::keep(asked, || files(&found))?;
    told?;
    let failed = found.points.iter().any(|point| point.error.is_some());
    Ok(if failed { Exit::ComputationFailed } else { Exit::Met })
}

fn files(found: &Sensitivities) -> Vec<(String, String)> {
    vec![
        ("sensitivity.txt".to_owned(), sensitivity::table(found, Extent::Everything, Style::default())),
        ("sensitivity.json".to_owned(), sensitivity::json(found)),
        ("sensitivity.csv".to_owned(), sensitivity::csv(found)),
    ]
}
