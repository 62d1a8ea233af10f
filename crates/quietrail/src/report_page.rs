//! `quietrail report`: everything about a file as one page for a browser.

use crate::arguments::{PageArguments, ReportArguments};
use crate::exit::Exit;
use crate::input::Disk;
use crate::pipeline::{Found, Study};
use crate::{Stop, deliver, input, output, terminal};
use report::page::Live;
use report::table;
use std::path::PathBuf;

/// Name of the page in its folder.
pub(crate) const PAGE: &str = "report.html";

pub(crate) fn run(arguments: &ReportArguments) -> Result<Exit, Stop> {
    let report = Report::run(&arguments.page, &Disk::default())?;
    let paths = write(&arguments.page, &[(PAGE.to_owned(), report.page(&arguments.page, None))])?;
    if !arguments.page.quiet.on {
        output::print(&table::answer(report.comparison(), terminal::style()))?;
        output::print(&format!("\nOpen in a browser: {}\n", paths[0].display()))?;
    }
    Ok(Exit::of(report.comparison(), arguments.strict.all))
}

/// A file that was run.
pub(crate) struct Report {
    study: Study,
    found: Found,
}

impl Report {
    pub(crate) fn run(arguments: &PageArguments, disk: &Disk) -> Result<Self, Stop> {
        let (file, points) = (&arguments.subject.file, &arguments.subject.points);
        let study = Study::read_from(file, input::read(file)?, &points.set, disk)?;
        let options = study.options(&points.only, arguments.accuracy.fraction)?;
        let quiet = arguments.quiet.on;
        study.warn_of_time(quiet);
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
    let out = arguments.out.folder.as_deref();
    deliver::written(&deliver::folder(&arguments.subject.file, out, false).unwrap_or_default(), files)
}

/// What the command line added to the file, as it would be typed.
fn asked(arguments: &PageArguments) -> Vec<String> {
    let points = &arguments.subject.points;
    let only = points.only.iter().map(|(axis, option)| format!("--only \"{axis}={option}\""));
    let set = points.set.iter().map(|setting| format!("--set \"{setting}\""));
    let accuracy = arguments.accuracy.fraction.iter().map(|accuracy| format!("--accuracy {accuracy:e}"));
    only.chain(set).chain(accuracy).collect()
}
