//! `quietrail winding`: how to wind the coils of a file.

use crate::arguments::WindingArguments;
use crate::compare::{capitalised, folder, list};
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, input, output};
use report::text::count;
use report::{winding, write};
use std::path::Path;
use study::winding::Sheets;

pub(crate) fn run(arguments: &WindingArguments) -> Result<Exit, Stop> {
    let text = input::read(&arguments.file)?;
    let study = Study::read(&arguments.file, text, &arguments.set)?;
    let options = study.options(&arguments.only, None)?;
    let found = study.winding_sheets(&options)?;
    if found.sheets.is_empty() {
        return Err(Stop::input(nothing_to_wind(&arguments.file, &found)));
    }
    found.without.iter().for_each(|(part, missing)| output::complain(&without(part, missing)));
    let texts: Vec<String> = found.sheets.iter().map(winding::text).collect();
    // The sheets reach the reader even where a file cannot be written.
    let told = output::print(&texts.join("\n"));
    let mut files = vec![("winding.txt".to_owned(), texts.join("\n"))];
    files.extend(winding::drawings(&found.sheets).into_iter().map(|one| (one.file_name, one.text)));
    if let Some(folder) = folder(&arguments.file, arguments.out.as_deref(), false) {
        let written = write::files(&folder, &files);
        list(&written.map_err(|error| Stop::machine(capitalised(&error.to_string())))?, false)?;
    }
    told?;
    Ok(Exit::Met)
}

fn without(part: &str, missing: &str) -> String {
    format!("{part}: no sheet, for its making is not given: add {missing}.")
}

fn nothing_to_wind(file: &Path, found: &Sheets) -> String {
    let file = file.display();
    if found.without.is_empty() {
        return format!(
            "{file} has no coil here. Add one by its making, such as\n  coil choke tap -> cam  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 25, wire_diameter 0.4 mm"
        );
    }
    let each: Vec<String> =
        found.without.iter().map(|(part, missing)| format!("  {}", without(part, missing))).collect();
    format!(
        "{file} has {} here, but the making of none:\n{}",
        count(found.without.len(), "coil"),
        each.join("\n")
    )
}
