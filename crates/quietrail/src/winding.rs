//! `quietrail winding`: how to wind the coils of a file.

use crate::arguments::StudyArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, deliver, output};
use report::table::Style;
use report::text::count;
use report::winding::{self, no_sheet};
use std::path::Path;
use study::winding::Sheets;

pub(crate) fn run(arguments: &StudyArguments) -> Result<Exit, Stop> {
    let subject = &arguments.subject;
    let study = Study::open(subject)?;
    let options = study.options(&subject.points.only, None)?;
    let found = study.winding_sheets(&options)?;
    if found.sheets.is_empty() && found.pairs.is_empty() {
        return Err(Stop::input(nothing_to_wind(&subject.file, &found)));
    }
    if !arguments.telling.quiet.on {
        found.without.iter().for_each(|(part, missing)| output::complain(&no_sheet(part, missing)));
    }
    let json = || winding::json(study.title(), &found);
    let told = deliver::tell(arguments.telling, |style| text(&found, style), json);
    deliver::keep(arguments, || files(&found, json()))?;
    told?;
    Ok(Exit::Met)
}

fn text(found: &Sheets, style: Style) -> String {
    let sheets = found.sheets.iter().map(|sheet| winding::text(sheet, style));
    let pairs = found.pairs.iter().map(|pair| winding::pair_text(pair, style));
    sheets.chain(pairs).collect::<Vec<_>>().join("\n")
}

fn files(found: &Sheets, json: String) -> Vec<(String, String)> {
    let mut files = vec![
        ("winding.txt".to_owned(), text(found, Style::default())),
        ("winding.json".to_owned(), json),
        ("winding.csv".to_owned(), winding::csv(found)),
    ];
    files.extend(winding::drawings(&found.sheets).into_iter().map(|one| (one.file_name, one.text)));
    files
}

fn nothing_to_wind(file: &Path, found: &Sheets) -> String {
    let file = file.display();
    if found.without.is_empty() {
        return format!(
            "{file} has no coil here. Add one by its making, such as\n  coil choke tap -> cam  outer 21 mm, inner 13 mm, height 6.4 mm, permeability 2000, turns 25, wire_diameter 0.4 mm"
        );
    }
    let each: Vec<String> =
        found.without.iter().map(|(part, missing)| format!("  {}", no_sheet(part, missing))).collect();
    format!(
        "{file} has {} here, but the making of none:\n{}",
        count(found.without.len(), "coil"),
        each.join("\n")
    )
}
