//! `quietrail sensitivity`: what a little more of each value does to each reading.

use crate::arguments::SensitivityArguments;
use crate::compare::{capitalised, folder, list};
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, input, output};
use report::sensitivity::{self, Extent};
use report::write;
use study::sensitivity::Sensitivities;

pub(crate) fn run(arguments: &SensitivityArguments) -> Result<Exit, Stop> {
    let asked = &arguments.study;
    let text = input::read(&asked.file)?;
    let study = Study::read(&asked.file, text, &asked.set)?;
    let options = study.options(&asked.only, None)?;
    let harness = study.baseline();
    if harness.readings.is_empty() && harness.requirements.is_empty() {
        return Err(Stop::input(format!(
            "{} has nothing that could change. Add a line such as\n  reading noise = peak_to_peak(TESTPOINT)",
            asked.file.display()
        )));
    }
    study.remark_lines().iter().for_each(|remark| output::complain(remark));
    let found = study.sensitivities(&options)?;
    let extent = if arguments.all { Extent::Everything } else { Extent::Worst };
    // The result reaches the reader even where a file cannot be written.
    let told = if asked.json {
        output::print(&sensitivity::json(&found))
    } else {
        output::print(&sensitivity::table(&found, extent))
    };
    let folder = folder(&asked.file, asked.out.as_deref(), asked.json);
    match folder.map(|folder| write::files(&folder, &files(&found))) {
        Some(Ok(paths)) => list(&paths, asked.json)?,
        Some(Err(error)) => return Err(Stop::machine(capitalised(&error.to_string()))),
        None => {}
    }
    told?;
    let failed = found.points.iter().any(|point| point.error.is_some());
    Ok(if failed { Exit::ComputationFailed } else { Exit::Met })
}

fn files(found: &Sensitivities) -> Vec<(String, String)> {
    vec![
        ("sensitivity.txt".to_owned(), sensitivity::table(found, Extent::Everything)),
        ("sensitivity.json".to_owned(), sensitivity::json(found)),
        ("sensitivity.csv".to_owned(), sensitivity::csv(found)),
    ]
}
