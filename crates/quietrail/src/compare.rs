//! `quietrail compare`: every option under every condition.

use crate::arguments::CompareArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, input, output, terminal};
use report::{csv, json, svg, table, write};
use std::path::{Path, PathBuf};
use study::result::Comparison;

pub(crate) fn run(arguments: &CompareArguments) -> Result<Exit, Stop> {
    let text = input::read(&arguments.study.file)?;
    let study = Study::read(&arguments.study.file, text, &arguments.study.set)?;
    let options = study.options(&arguments.study.only, arguments.accuracy)?;
    let quiet = arguments.quiet;
    if !quiet {
        study.examination().takes_long.iter().for_each(|notice| output::complain(notice));
    }
    let comparison = study.compare(&options, quiet)?;
    // The result reaches the reader even where a file cannot be written.
    let told = if arguments.study.json {
        output::print(&json::comparison(&comparison))
    } else if quiet {
        Ok(())
    } else {
        output::print(&table::comparison(&comparison, terminal::style()))
    };
    if !quiet {
        // The answer comes first; what is said of the text can wait.
        study.remark_lines().iter().for_each(|remark| output::complain(remark));
    }
    if arguments.verbose
        && let Some(work) = table::work(&comparison)
    {
        output::complain(&format!("\n{work}"));
    }
    let written = folder(&arguments.study.file, arguments.study.out.as_deref(), arguments.study.json)
        .map(|folder| write::files(&folder, &files(&comparison)));
    match written {
        Some(Ok(paths)) if !quiet => list(&paths, arguments.study.json)?,
        Some(Err(error)) => return Err(Stop::machine(capitalised(&error.to_string()))),
        Some(Ok(_)) | None => {}
    }
    told?;
    Ok(Exit::of(&comparison, arguments.strict))
}

/// Where the files go; nowhere with `--json` alone.
pub(crate) fn folder(file: &Path, out: Option<&Path>, json: bool) -> Option<PathBuf> {
    let default = || {
        let stem = file.file_stem().map_or_else(|| "harness".into(), ToOwned::to_owned);
        Path::new("quietrail-out").join(stem)
    };
    out.map(Path::to_owned).or_else(|| (!json).then(default))
}

fn files(comparison: &Comparison) -> Vec<(String, String)> {
    let mut files = vec![
        ("table.txt".to_owned(), table::comparison(comparison, table::Style::default())),
        ("result.json".to_owned(), json::comparison(comparison)),
        ("result.csv".to_owned(), csv::comparison(comparison)),
    ];
    files.extend(svg::of_comparison(comparison).into_iter().map(|picture| (picture.file_name, picture.text)));
    files
}

/// Tells which files were written; beside the result, where the result must stand alone.
pub(crate) fn list(paths: &[PathBuf], aside: bool) -> Result<(), Stop> {
    let lines: Vec<String> = paths.iter().map(|path| format!("  {}", path.display())).collect();
    let text = format!("Files\n{}\n", lines.join("\n"));
    if aside {
        output::complain(&text);
        Ok(())
    } else {
        output::print(&format!("\n{text}"))
    }
}

pub(crate) fn capitalised(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| first.to_uppercase().chain(characters).collect())
}
