//! `quietrail compare`: every option under every condition.

use crate::arguments::CompareArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, deliver, output, terminal};
use report::{csv, json, svg, table};
use study::result::Comparison;

pub(crate) fn run(arguments: &CompareArguments) -> Result<Exit, Stop> {
    let asked = &arguments.study;
    let study = Study::open(&asked.subject)?;
    let options = study.options(&asked.subject.points.only, arguments.accuracy.fraction)?;
    let quiet = asked.telling.quiet.on;
    study.warn_of_time(quiet);
    let comparison = study.compare(&options, quiet)?;
    let told = deliver::tell(
        asked.telling,
        |style| table::comparison(&comparison, style),
        || json::comparison(&comparison),
    );
    // The answer comes first; what is said of the text can wait.
    study.remark(quiet);
    if arguments.verbose
        && let Some(work) = table::work(&comparison, terminal::style())
    {
        output::complain(&format!("\n{work}"));
    }
    deliver::keep(asked, || files(&comparison))?;
    told?;
    Ok(Exit::of(&comparison, arguments.strict.all))
}

/// Texts and pictures side by side: they take about as long.
fn files(comparison: &Comparison) -> Vec<(String, String)> {
    let texts = || {
        vec![
            ("table.txt".to_owned(), table::comparison(comparison, table::Style::default())),
            ("result.json".to_owned(), json::comparison(comparison)),
            ("result.csv".to_owned(), csv::comparison(comparison)),
        ]
    };
    let (mut files, pictures) = rayon::join(texts, || svg::of_comparison(comparison));
    files.extend(pictures.into_iter().map(|picture| (picture.file_name, picture.text)));
    files
}
