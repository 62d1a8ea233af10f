//! `quietrail sensitivity`: what a little more of each value does to each reading, and which values to measure next.

use crate::arguments::SensitivityArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::progress::while_working;
use crate::{Stop, deliver};
use report::measure;
use report::sensitivity::{self, Extent};
use report::table::Style;
use study::Options;
use study::influence::Influence;
use study::result::Comparison;
use study::sensitivity::Sensitivities;

pub(crate) fn run(arguments: &SensitivityArguments) -> Result<Exit, Stop> {
    let asked = &arguments.study;
    let (subject, quiet) = (&asked.subject, asked.telling.quiet.on);
    let study = Study::open(subject)?;
    let options = study.options(&subject.points.only, None)?;
    let harness = study.baseline();
    if harness.readings.is_empty() && harness.requirements.is_empty() {
        return Err(Stop::input(format!(
            "{} has nothing that could change. Add a line such as\n  reading noise = peak_to_peak(TESTPOINT)",
            subject.file.display()
        )));
    }
    study.remark(quiet);
    let slopes = while_working("Derivatives", quiet, || study.sensitivities(&options))?;
    let comparison = study.compare(&Options { pictures: false, ..options.clone() }, quiet)?;
    let found = Found { influences: study.influences(&comparison, &options, quiet), slopes, comparison };
    let extent = if arguments.all { Extent::Everything } else { Extent::Worst };
    let told = deliver::tell(asked.telling, |style| found.text(extent, style), || found.json());
    deliver::keep(asked, || found.files())?;
    told?;
    let failed = found.slopes.points.iter().any(|point| point.error.is_some());
    Ok(if failed { Exit::ComputationFailed } else { Exit::Met })
}

/// Derivatives, which hold for small changes, and what values that are as far off as is usual do to the verdicts.
struct Found {
    slopes: Sensitivities,
    comparison: Comparison,
    influences: Vec<Influence>,
}

impl Found {
    fn text(&self, extent: Extent, style: Style) -> String {
        let slopes = sensitivity::table(&self.slopes, extent, style);
        match measure::text(&self.comparison, &self.influences, style) {
            Some(next) => format!("{slopes}\n{next}\n"),
            None => slopes,
        }
    }

    fn json(&self) -> String {
        sensitivity::json(&self.slopes, &self.comparison, &self.influences)
    }

    fn files(&self) -> Vec<(String, String)> {
        let mut files = vec![
            ("sensitivity.txt".to_owned(), self.text(Extent::Everything, Style::default())),
            ("sensitivity.json".to_owned(), self.json()),
            ("sensitivity.csv".to_owned(), sensitivity::csv(&self.slopes)),
        ];
        if !self.influences.is_empty() {
            files.push(("measure.csv".to_owned(), measure::csv(&self.comparison, &self.influences)));
        }
        files
    }
}
