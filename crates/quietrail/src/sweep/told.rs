//! What is said and drawn of all rows of a sweep, whether they were run at once or joined.

use super::folder::{CSV, JSON};
use crate::arguments::Quiet;
use crate::exit::Exit;
use crate::{Stop, deliver, output, terminal};
use report::sweep::{Summary, pictures};
use report::table;
use std::path::Path;

/// The summary in words, and where the rows are.
pub(super) fn words(folder: &Path, summary: &Summary, quiet: Quiet) -> Result<(), Stop> {
    if !quiet.on {
        output::print(&table::sweep(summary, terminal::style()))?;
    }
    let [csv, json] = [CSV, JSON].map(|name| folder.join(name).display().to_string());
    aside(quiet, &format!("\nEvery point: {csv} and {json}"));
    Ok(())
}

/// Words and pictures.
pub(super) fn everything(folder: &Path, summary: &Summary, quiet: Quiet) -> Result<(), Stop> {
    let files: Vec<(String, String)> =
        pictures(summary).into_iter().map(|picture| (picture.file_name, picture.text)).collect();
    // The summary reaches the reader even where a picture cannot be written.
    let drawn = deliver::written(folder, &files);
    words(folder, summary, quiet)?;
    let names: Vec<String> = drawn?.iter().map(|path| path.display().to_string()).collect();
    if !names.is_empty() {
        aside(quiet, &format!("Pictures:\n  {}", names.join("\n  ")));
    }
    Ok(())
}

/// Something beside the result.
pub(super) fn aside(quiet: Quiet, text: &str) {
    if !quiet.on {
        output::complain(text);
    }
}

pub(super) fn exit(summary: &Summary, strict: bool) -> Exit {
    if summary.failed() > 0 {
        Exit::ComputationFailed
    } else if summary.is_met(strict) {
        Exit::Met
    } else {
        Exit::NotMet
    }
}
