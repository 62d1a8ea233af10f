//! `quietrail format`: lays files out in columns, in place.

use crate::arguments::FormatArguments;
use crate::exit::Exit;
use crate::{Stop, input, output};
use language::Source;
use std::fs;
use std::io::{ErrorKind, Read};
use std::path::Path;

/// The name of standard input on the command line.
const STANDARD_INPUT: &str = "-";

pub(crate) fn run(arguments: &FormatArguments) -> Result<Exit, Stop> {
    let mut exit = Exit::Met;
    let mut changed = Vec::new();
    // One file's mistakes do not keep the others from being laid out.
    for path in &arguments.files {
        let done = if path.as_os_str() == STANDARD_INPUT {
            from_standard_input(arguments.check)
        } else {
            file(path, arguments.check)
        };
        match done {
            Ok(true) => changed.push(path.display().to_string()),
            Ok(false) => {}
            Err(stop) => {
                output::complain(&stop.told);
                exit = exit.or_graver(stop.exit);
            }
        }
    }
    if arguments.check && !changed.is_empty() {
        output::print(&format!("{}\n", changed.join("\n")))?;
        exit = exit.or_graver(Exit::NotMet);
    }
    Ok(exit)
}

/// Lays out one file; whether that changes it.
fn file(path: &Path, only_check: bool) -> Result<bool, Stop> {
    let text = input::read(path)?;
    let new = laid_out(path.display().to_string(), &text)?;
    if new != text && !only_check {
        replace(path, &new).map_err(|error| {
            let shown = path.display();
            Stop::machine(match error.kind() {
                ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
                    format!("{shown} may not be written: {error}. Change its permissions, or its folder's.")
                }
                _ => format!("{shown} could not be written: {error}. Check the path and the disk."),
            })
        })?;
    }
    Ok(new != text)
}

/// Writes beside the file and renames, so that a reader never meets half of it; a link goes on leading to the file.
fn replace(path: &Path, text: &str) -> std::io::Result<()> {
    let path = fs::canonicalize(path)?;
    let permissions = fs::metadata(&path)?.permissions();
    if permissions.readonly() {
        return Err(ErrorKind::PermissionDenied.into());
    }
    report::write::file(&path, text).map_err(|error| error.source)?;
    fs::set_permissions(&path, permissions)
}

fn from_standard_input(only_check: bool) -> Result<bool, Stop> {
    let mut bytes = Vec::new();
    std::io::stdin().lock().read_to_end(&mut bytes).map_err(|error| {
        Stop::machine(format!("Standard input could not be read: {error}. Check where it comes from."))
    })?;
    let text = input::utf8("Standard input", bytes)?;
    let new = laid_out("standard input".to_owned(), &text)?;
    if !only_check {
        output::print(&new)?;
    }
    Ok(new != text)
}

fn laid_out(name: String, text: &str) -> Result<String, Stop> {
    let source = Source { name, text: text.to_owned() };
    language::format(&source)
        .map_err(|mistakes| Stop::input(language::render(&mistakes, std::slice::from_ref(&source), true)))
}
