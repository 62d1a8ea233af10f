//! `quietrail response`: every curve over frequency, for every option under every condition.

use crate::arguments::StudyArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::progress::while_working;
use crate::{Stop, deliver};
use report::responses;
use report::table::Style;
use study::result::Responses;

pub(crate) fn run(arguments: &StudyArguments) -> Result<Exit, Stop> {
    let (subject, quiet) = (&arguments.subject, arguments.telling.quiet.on);
    let study = Study::open(subject)?;
    let options = study.options(&subject.points.only, None)?;
    if study.baseline().responses.is_empty() {
        return Err(Stop::input(format!(
            "{} asks for no response. Add lines such as\n  frequency 10 Hz .. 30 MHz, points 40\n  response path = transfer(voltage(NODE), DRIVE)",
            subject.file.display()
        )));
    }
    study.remark(quiet);
    let found = while_working("Curves over frequency", quiet, || study.responses(&options))?;
    let told =
        deliver::tell(arguments.telling, |style| responses::table(&found, style), || responses::json(&found));
    deliver::keep(arguments, || files(&found))?;
    told?;
    let failed = found.points.runs.iter().any(|run| run.error.is_some());
    Ok(if failed { Exit::ComputationFailed } else { Exit::Met })
}

fn files(found: &Responses) -> Vec<(String, String)> {
    let mut files = vec![
        ("response.txt".to_owned(), responses::table(found, Style::default())),
        ("response.json".to_owned(), responses::json(found)),
        ("response.csv".to_owned(), responses::csv(found)),
    ];
    let pictures = responses::pictures(found);
    files.extend(pictures.into_iter().map(|picture| (picture.file_name, picture.text)));
    files
}
