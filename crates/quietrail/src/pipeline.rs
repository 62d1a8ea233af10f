//! The one place that speaks with the language and the study.

use crate::fingerprint::Fnv;
use crate::input::Disk;
use crate::progress::{self, while_working};
use crate::{Stop, arguments, input, output};
use language::description::{Axis, Description, DrawsOfTolerances, Harness};
use language::stock::{Stock, read_stock};
use language::{Mistake, Read, Source};
use report::checked::Checked;
use report::page::{Live, Subject};
use std::ops::Range;
use std::path::Path;
use std::sync::Arc;
use study::design::{Design, Progress, Search, Task};
use study::influence::Influence;
use study::picture::{Candidate, Counted, Pictures, Request};
use study::result::{Comparison, Responses};
use study::sensitivity::Sensitivities;
use study::sweep::{Drawing, Plan, Stretch};
use study::winding::Sheets;
use study::worst::{Question, Worst};
use study::{Examination, Options};

/// A file that is in order.
pub(crate) struct Study {
    description: Description,
    /// What the spans of its remarks speak of.
    sources: Vec<Source>,
    examination: Examination,
}

/// Why a file can't be run.
enum Refused {
    /// The text is wrong: its mistakes, and what their spans speak of.
    Mistakes(Vec<Mistake>, Vec<Source>),
    /// No network can be made of it.
    Impossible(Box<Study>),
}

impl Study {
    /// Reads the file that a command is about, with its settings.
    pub(crate) fn open(subject: &arguments::Subject) -> Result<Self, Stop> {
        Self::read(&subject.file, input::read(&subject.file)?, &subject.points.set)
    }

    /// Reads the text with the settings of the command line and looks at every point without running it.
    pub(crate) fn read(path: &Path, text: String, settings: &[String]) -> Result<Self, Stop> {
        Self::read_from(path, text, settings, &Disk::default())
    }

    /// The same from a disk that remembers what was asked of it.
    pub(crate) fn read_from(
        path: &Path,
        text: String,
        settings: &[String],
        disk: &Disk,
    ) -> Result<Self, Stop> {
        let name = path.display().to_string();
        Self::look(&name, text, settings, disk).map_err(|refused| {
            Stop::input(match &refused {
                Refused::Mistakes(mistakes, sources) => told(mistakes, sources),
                Refused::Impossible(study) => told(&study.examination.errors, &study.sources),
            })
        })
    }

    /// The same for those who want to know more of why it can't be run.
    fn look(name: &str, text: String, settings: &[String], disk: &Disk) -> Result<Self, Refused> {
        let source = Source { name: name.to_owned(), text };
        let Read { description, sources } = language::read_with(&source, settings, disk);
        let description = match description {
            Ok(description) => description,
            Err(mistakes) => return Err(Refused::Mistakes(mistakes, sources)),
        };
        let examination = study::examine(&description);
        let study = Self { description, sources, examination };
        if study.examination.errors.is_empty() {
            Ok(study)
        } else {
            Err(Refused::Impossible(Box::new(study)))
        }
    }

    /// What a check finds, as JSON, and whether the file is in order.
    pub(crate) fn check_json(
        path: &Path,
        text: String,
        settings: &[String],
        only: &[(String, String)],
    ) -> Result<(String, bool), Stop> {
        let looked = Self::look(&path.display().to_string(), text, settings, &Disk::default());
        let in_order = looked.is_ok();
        let study = match looked {
            Ok(study) => study,
            Err(Refused::Impossible(study)) => *study,
            Err(Refused::Mistakes(mistakes, sources)) => {
                let checked =
                    Checked { sources: &sources, mistakes: &mistakes, examination: None, points: None };
                return Ok((report::checked::json(&checked), false));
            }
        };
        let remarks = [study.description.remarks(), study.description.without_effect()].concat();
        let checked = Checked {
            sources: &study.sources,
            mistakes: &remarks,
            examination: Some(&study.examination),
            points: study.points(only)?,
        };
        Ok((report::checked::json(&checked), in_order))
    }

    /// How many points the picks leave; `None` where they are too many to be run at once.
    pub(crate) fn points(&self, only: &[(String, String)]) -> Result<Option<usize>, Stop> {
        if only.is_empty() {
            return Ok(self.examination.points);
        }
        let options = self.options(only, None)?;
        let points = options.points(&self.description).ok();
        Ok(points.map(|axes| axes.iter().map(Vec::len).product()))
    }

    /// What is worth knowing about the text, drawn for a terminal; empty where there is nothing.
    pub(crate) fn remarks(&self) -> String {
        let all = [self.description.remarks(), self.description.without_effect()].concat();
        language::render(&all, &self.sources, true)
    }

    /// The same with a line each, for beside a result: `pipe.harness:33:1: remark: …`.
    fn remark_lines(&self) -> Vec<String> {
        let line = |remark: &language::Mistake| {
            let source = self.sources.get(remark.span.source)?;
            let (line, column) = source.line_and_column(remark.span.start);
            Some(format!("{}:{line}:{column}: remark: {}", source.name, remark.message))
        };
        self.description.remarks().iter().filter_map(line).collect()
    }

    /// Tells what is worth knowing about the text, unless it is to be quiet.
    pub(crate) fn remark(&self, quiet: bool) {
        if !quiet {
            self.remark_lines().iter().for_each(|remark| output::complain(remark));
        }
    }

    /// Tells beforehand what will take long, unless it is to be quiet.
    pub(crate) fn warn_of_time(&self, quiet: bool) {
        if !quiet {
            self.examination.takes_long.iter().for_each(|notice| output::complain(notice));
        }
    }

    pub(crate) fn axes(&self) -> &[Axis] {
        self.description.axes()
    }

    pub(crate) fn title(&self) -> &str {
        self.description.title()
    }

    pub(crate) fn examination(&self) -> &Examination {
        &self.examination
    }

    /// The harness with the first case of every condition and the baseline of every choice.
    pub(crate) fn baseline(&self) -> Arc<Harness> {
        self.description.baseline()
    }

    /// What the command line asks of the run, checked against the file.
    pub(crate) fn options(&self, only: &[(String, String)], accuracy: Option<f64>) -> Result<Options, Stop> {
        let options = Options {
            only: only.to_vec(),
            accuracy: accuracy.unwrap_or(study::Options::default().accuracy),
            ..Options::default()
        };
        options.points(&self.description).map_err(|unknown| Stop::input(unknown.to_string()))?;
        Ok(options)
    }

    /// The same for a sweep, which may have any number of points; the plan tells what is wrong.
    pub(crate) fn options_without_limit(&self, only: &[(String, String)], accuracy: Option<f64>) -> Options {
        let accuracy = accuracy.unwrap_or(Options::default().accuracy);
        Options { only: only.to_vec(), accuracy, pictures: false }
    }

    /// The points of a sweep.
    pub(crate) fn plan(&self, options: &Options, drawing: Option<Drawing>) -> Result<Plan, Stop> {
        Plan::new(&self.description, options, drawing).map_err(|unknown| Stop::input(unknown.to_string()))
    }

    /// How the file wants its tolerances drawn.
    pub(crate) fn draws(&self) -> Option<DrawsOfTolerances> {
        self.description.draws()
    }

    /// The points of a sweep with these numbers, to be run.
    pub(crate) fn stretch<'a>(
        &'a self,
        plan: &'a Plan,
        options: &'a Options,
        numbers: Range<usize>,
    ) -> Stretch<'a> {
        Stretch { description: &self.description, plan, options, numbers }
    }

    /// Where a reading is worst, for each option.
    pub(crate) fn worst(&self, question: &Question<'_>, options: &Options) -> Result<Vec<Worst>, Stop> {
        study::worst::worst(&self.description, question, options)
            .map_err(|unknown| Stop::input(unknown.to_string()))
    }

    /// Searches a stock for filters.
    pub(crate) fn design(
        &self,
        stock: &Stock,
        settings: &[String],
        search: &Search,
        progress: &(dyn Fn(Progress) + Sync),
    ) -> Result<Design, Stop> {
        let disk = Disk::default();
        let task =
            Task { description: &self.description, sources: &self.sources, settings, loader: &disk, stock };
        study::design::design(&task, search, progress).map_err(|error| Stop::input(error.to_string()))
    }

    /// Reads a stock, and looks at what its parts come to.
    pub(crate) fn stock(path: &Path, text: String) -> Result<Stock, Stop> {
        let source = Source { name: path.display().to_string(), text };
        let refused = |mistakes: &[Mistake]| Stop::input(told(mistakes, std::slice::from_ref(&source)));
        let stock = read_stock(&source).map_err(|mistakes| refused(&mistakes))?;
        let errors = study::examine(stock.description()).errors;
        let errors: Vec<Mistake> = errors.into_iter().map(|mistake| stock.at_cell(mistake)).collect();
        if errors.is_empty() { Ok(stock) } else { Err(refused(&errors)) }
    }

    /// What tells one study from another: of all texts, what they come to, the program's version, and `more`.
    pub(crate) fn fingerprint(&self, more: &[String]) -> String {
        let mut hash = Fnv::default();
        hash.take(env!("CARGO_PKG_VERSION"));
        self.sources.iter().for_each(|source| hash.take(&source.text));
        // Traces of sources stand in files of their own.
        hash.take(&format!("{:?}", self.description.at(&[])));
        more.iter().for_each(|text| hash.take(text));
        format!("{:016x}", hash.0)
    }

    pub(crate) fn responses(&self, options: &Options) -> Result<Responses, Stop> {
        study::responses(&self.description, options).map_err(|unknown| Stop::input(unknown.to_string()))
    }

    /// What the cameras show.
    pub(crate) fn pictures(&self, options: &Options, request: &Request) -> Result<Pictures, Stop> {
        study::picture::pictures(&self.description, options, request)
            .map_err(|unknown| Stop::input(unknown.to_string()))
    }

    /// What would make a pattern that was counted.
    pub(crate) fn candidates(&self, options: &Options, counted: &Counted) -> Result<Vec<Candidate>, Stop> {
        study::picture::candidates(&self.description, options, counted)
            .map_err(|unknown| Stop::input(unknown.to_string()))
    }

    /// Winding sheets of the coils that the picks fit.
    pub(crate) fn winding_sheets(&self, options: &Options) -> Result<Sheets, Stop> {
        study::winding::sheets(&self.description, options).map_err(|unknown| Stop::input(unknown.to_string()))
    }

    /// Every reading against every value.
    pub(crate) fn sensitivities(&self, options: &Options) -> Result<Sensitivities, Stop> {
        study::sensitivity::sensitivities(&self.description, options)
            .map_err(|unknown| Stop::input(unknown.to_string()))
    }

    /// Runs every point; a bar tells how far that is where it takes long.
    pub(crate) fn compare(&self, options: &Options, quiet: bool) -> Result<Comparison, Stop> {
        let points = options.points(&self.description).map_err(|unknown| Stop::input(unknown.to_string()))?;
        let bar = progress::bar(points.iter().map(Vec::len).product(), 0, quiet);
        let found = study::compare_telling(&self.description, options, &|| bar.inc(1));
        bar.finish_and_clear();
        found.map_err(|unknown| Stop::input(unknown.to_string()))
    }

    /// Whether the file asks for curves over frequency.
    fn has_responses(&self) -> bool {
        !self.baseline().responses.is_empty()
    }

    /// The page about results of this study.
    pub(crate) fn page(&self, found: &Found, asked: &[String], live: Option<Live<'_>>) -> String {
        // The settings of the command line stand among the sources too, and are told as what was asked.
        let sources: Vec<Source> =
            self.sources.iter().filter(|source| !source.name.starts_with("--set ")).cloned().collect();
        report::page::page(&Subject {
            comparison: &found.comparison,
            responses: found.responses.as_ref(),
            cameras: Some(&found.cameras),
            influences: Some(&found.influences),
            winding: Some(&found.winding),
            description: &self.description,
            sources: &sources,
            asked,
            remarks: &self.remark_lines(),
            version: env!("CARGO_PKG_VERSION"),
            live,
        })
    }

    /// What the values that are rarely known well do to the verdicts.
    pub(crate) fn influences(
        &self,
        comparison: &Comparison,
        options: &Options,
        quiet: bool,
    ) -> Vec<Influence> {
        let points = report::measure::doubtful_points(comparison);
        while_working("Trying what is rarely known well", quiet, || {
            study::influence::influences(&self.description, &points, options)
        })
    }

    /// Everything that a page shows.
    pub(crate) fn everything(&self, options: &Options, quiet: bool) -> Result<Found, Stop> {
        let comparison = self.compare(options, quiet)?;
        let responses = if self.has_responses() {
            Some(while_working("Curves over frequency", quiet, || self.responses(options))?)
        } else {
            None
        };
        let influences = self.influences(&comparison, options, quiet);
        let cameras =
            while_working("Pictures of the cameras", quiet, || self.pictures(options, &Request::default()))?;
        Ok(Found { comparison, responses, influences, cameras, winding: self.winding_sheets(options)? })
    }
}

/// What a page shows of a study.
pub(crate) struct Found {
    pub(crate) comparison: Comparison,
    responses: Option<Responses>,
    cameras: Pictures,
    influences: Vec<Influence>,
    winding: Sheets,
}

/// Mistakes drawn for a terminal, and where more is said about them.
fn told(mistakes: &[language::Mistake], sources: &[Source]) -> String {
    let drawn = language::render(mistakes, sources, true);
    match mistakes.first() {
        // The code of each stands in brackets; one is enough to show how.
        Some(first) => format!("{drawn}\n`quietrail explain {}` says more.", first.code),
        None => drawn,
    }
}
