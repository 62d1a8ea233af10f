//! A result to its reader: words or JSON to standard output, files into a folder.

use crate::arguments::{StudyArguments, Telling};
use crate::{Stop, output, terminal};
use report::table::Style;
use report::write;
use std::path::{Path, PathBuf};

/// Prints the result in the form that was asked for.
///
/// The outcome is best looked at after [`keep`]: files are written even where nobody listens.
pub(crate) fn tell(
    telling: Telling,
    text: impl FnOnce(Style) -> String,
    json: impl FnOnce() -> String,
) -> Result<(), Stop> {
    if telling.json {
        output::print(&json())
    } else if telling.quiet.on {
        Ok(())
    } else {
        output::print(&text(terminal::style()))
    }
}

/// Writes the files that are wanted, and tells which.
pub(crate) fn keep<C: AsRef<[u8]>>(
    asked: &StudyArguments,
    files: impl FnOnce() -> Vec<(String, C)>,
) -> Result<(), Stop> {
    let Telling { json, quiet } = asked.telling;
    let Some(folder) = folder(&asked.subject.file, asked.out.folder.as_deref(), json) else { return Ok(()) };
    let paths = written(&folder, &files())?;
    if quiet.on { Ok(()) } else { list(&paths, json) }
}

/// Where the files go; nowhere with `--json` alone.
pub(crate) fn folder(file: &Path, out: Option<&Path>, json: bool) -> Option<PathBuf> {
    let default = || {
        let stem = file.file_stem().map_or_else(|| "harness".into(), ToOwned::to_owned);
        Path::new("quietrail-out").join(stem)
    };
    out.map(Path::to_owned).or_else(|| (!json).then(default))
}

/// Writes files into a folder and gives their paths.
pub(crate) fn written<C: AsRef<[u8]>>(folder: &Path, files: &[(String, C)]) -> Result<Vec<PathBuf>, Stop> {
    write::files(folder, files).map_err(|error| Stop::machine(output::capitalised(&error.to_string())))
}

/// Tells which files were written; beside the result, where the result must stand alone.
fn list(paths: &[PathBuf], aside: bool) -> Result<(), Stop> {
    let lines: Vec<String> = paths.iter().map(|path| format!("  {}", path.display())).collect();
    let text = format!("Files\n{}\n", lines.join("\n"));
    if aside {
        output::complain(&text);
        Ok(())
    } else {
        output::print(&format!("\n{text}"))
    }
}
