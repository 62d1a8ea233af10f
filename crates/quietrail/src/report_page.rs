//! `quietrail report`: everything about a file as one page for a browser.

use crate::arguments::ReportArguments;
use crate::compare::{capitalised, folder};
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, input, output};
use report::{table, write};

/// Name of the page in its folder.
const PAGE: &str = "report.html";

pub(crate) fn run(arguments: &ReportArguments) -> Result<Exit, Stop> {
    let text = input::read(&arguments.file)?;
    let study = Study::read(&arguments.file, text, &arguments.set)?;
    let options = study.options(&arguments.only, arguments.accuracy)?;
    if !arguments.quiet {
        study.examination().takes_long.iter().for_each(|notice| output::complain(notice));
    }
    let comparison = study.compare(&options, arguments.quiet)?;
    let responses = if study.has_responses() { Some(study.responses(&options)?) } else { None };
    let page = study.page(&comparison, responses.as_ref(), &asked(arguments));
    let folder = folder(&arguments.file, arguments.out.as_deref(), false).unwrap_or_default();
    let paths = write::files(&folder, &[(PAGE.to_owned(), page)])
        .map_err(|error| Stop::machine(capitalised(&error.to_string())))?;
    if !arguments.quiet {
        output::print(&table::answer(&comparison))?;
        let page = paths.iter().map(|path| path.display().to_string()).collect::<Vec<_>>().join(" ");
        output::print(&format!("\nOpen in a browser: {page}\n"))?;
    }
    Ok(Exit::of(&comparison, arguments.strict))
}

/// What the command line added to the file, as it would be typed.
fn asked(arguments: &ReportArguments) -> Vec<String> {
    let only = arguments.only.iter().map(|(axis, option)| format!("--only \"{axis}={option}\""));
    let set = arguments.set.iter().map(|setting| format!("--set \"{setting}\""));
    let accuracy = arguments.accuracy.iter().map(|accuracy| format!("--accuracy {accuracy:e}"));
    only.chain(set).chain(accuracy).collect()
}
