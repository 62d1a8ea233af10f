//! `quietrail report`: everything about a file as one page for a browser.

use crate::arguments::{PageArguments, ReportArguments};
use crate::compare::{capitalised, folder};
use crate::exit::Exit;
use crate::input::Disk;
use crate::pipeline::{Found, Study};
use crate::{Stop, input, output, terminal};
use report::page::Live;
use report::{table, write};
use std::path::PathBuf;

/// Name of the page in its folder.
pub(crate) const PAGE: &str = "report.html";

pub(crate) fn run(arguments: &ReportArguments) -> Result<Exit, Stop> {
    let report = Report::run(&arguments.page, &Disk::default(), arguments.quiet)?;
    let paths = write(&arguments.page, &[(PAGE.to_owned(), report.page(&arguments.page, None))])?;
    if !arguments.quiet {
        output::print(&table::answer(report.comparison(), terminal::style()))?;
        output::print(&format!("\nOpen in a browser: {}\n", paths[0].display()))?;
    }
    Ok(Exit::of(report.comparison(), arguments.strict))
}

/// A file that was run.
pub(crate) struct Report {
    study: Study,
    found: Found,
}

impl Report {
    pub(crate) fn run(arguments: &PageArguments, disk: &Disk, quiet: bool) -> Result<Self, Stop> {
        let text = input::read(&arguments.file)?;
        let study = Study::read_from(&arguments.file, text, &arguments.set, disk)?;
        let options = study.options(&arguments.only, arguments.accuracy)?;
        if !quiet {
            study.examination().takes_long.iter().for_each(|notice| output::complain(notice));
        }
        let found = study.everything(&options, quiet)?;
        Ok(Self { study, found })
    }

    pub(crate) fn page(&self, arguments: &PageArguments, live: Option<Live<'_>>) -> String {
        self.study.page(&self.found, &asked(arguments), live)
    }

    pub(crate) fn comparison(&self) -> &study::result::Comparison {
        &self.found.comparison
    }
}

/// Writes files into the page's folder, and gives their paths.
pub(crate) fn write(arguments: &PageArguments, files: &[(String, String)]) -> Result<Vec<PathBuf>, Stop> {
    let folder = folder(&arguments.file, arguments.out.as_deref(), false).unwrap_or_default();
    write::files(&folder, files).map_err(|error| Stop::machine(capitalised(&error.to_string())))
}

/// What the command line added to the file, as it would be typed.
fn asked(arguments: &PageArguments) -> Vec<String> {
    let only = arguments.only.iter().map(|(axis, option)| format!("--only \"{axis}={option}\""));
    let set = arguments.set.iter().map(|setting| format!("--set \"{setting}\""));
    let accuracy = arguments.accuracy.iter().map(|accuracy| format!("--accuracy {accuracy:e}"));
    only.chain(set).chain(accuracy).collect()
}
