//! `quietrail completions` and `quietrail man-pages`: what a shell and `man` know of the command line.

use crate::arguments::{Arguments, CompletionsArguments, ManPagesArguments};
use crate::exit::Exit;
use crate::{Stop, output};
use clap::CommandFactory;
use std::fs;

const NAME: &str = "quietrail";

pub(crate) fn completions(arguments: &CompletionsArguments) -> Result<Exit, Stop> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut Arguments::command(), NAME, &mut script);
    output::print(&String::from_utf8_lossy(&script))?;
    Ok(Exit::Met)
}

pub(crate) fn man_pages(arguments: &ManPagesArguments) -> Result<Exit, Stop> {
    let folder = &arguments.folder;
    // `help` would get a page for every page.
    let command = Arguments::command().disable_help_subcommand(true);
    let written = fs::create_dir_all(folder).and_then(|()| clap_mangen::generate_to(command, folder));
    written.map_err(|error| {
        Stop::machine(format!(
            "The pages could not be written into {}: {error}. Check the path and its permissions.",
            folder.display()
        ))
    })?;
    output::print(&format!(
        "The manual pages are in {}: man {}/{NAME}.1\n",
        folder.display(),
        folder.display()
    ))?;
    Ok(Exit::Met)
}
