//! `quietrail response`: every curve over frequency, for every option under every condition.

use crate::arguments::StudyArguments;
use crate::compare::{capitalised, folder, list};
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::progress::while_working;
use crate::{Stop, input, output, terminal};
use report::table::Style;
use report::{responses, write};
use study::result::Responses;

pub(crate) fn run(arguments: &StudyArguments) -> Result<Exit, Stop> {
    let text = input::read(&arguments.file)?;
    let study = Study::read(&arguments.file, text, &arguments.set)?;
    let options = study.options(&arguments.only, None)?;
    if study.baseline().responses.is_empty() {
        return Err(Stop::input(format!(
            "{} asks for no response. Add lines such as\n  frequency 10 Hz .. 30 MHz, points 40\n  response path = transfer(voltage(NODE), DRIVE)",
            arguments.file.display()
        )));
    }
    study.remark_lines().iter().for_each(|remark| output::complain(remark));
    let found = while_working("Curves over frequency", arguments.json, || study.responses(&options))?;
    // The result reaches the reader even where a file cannot be written.
    let told = if arguments.json {
        output::print(&responses::json(&found))
    } else {
        output::print(&responses::table(&found, terminal::style()))
    };
    let folder = folder(&arguments.file, arguments.out.as_deref(), arguments.json);
    match folder.map(|folder| write::files(&folder, &files(&found))) {
        Some(Ok(paths)) => list(&paths, arguments.json)?,
        Some(Err(error)) => return Err(Stop::machine(capitalised(&error.to_string()))),
        None => {}
    }
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
