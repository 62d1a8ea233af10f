//! `quietrail sweep`: every point of all axes, with draws of tolerances, to files that can be gone on with.

mod folder;
mod join;
mod pace;
mod parquet;
mod share;

pub(crate) use join::run as join;
pub(crate) use share::Share;

use crate::arguments::SweepArguments;
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, input, output, progress};
use folder::{Begun, Folder};
use indicatif::ProgressBar;
use language::description::DrawsOfTolerances;
use pace::Pace;
use report::sweep::{Summary, csv_heading, csv_line, json_line, opening, row_value};
use report::table;
use std::io::Write as _;
use std::ops::Range;
use std::path::{Path, PathBuf};
use study::sweep::{Drawing, Law, Plan, Row};

/// Everything that a sweep is made of.
struct Sweep {
    study: Study,
    options: study::Options,
    plan: Plan,
    share: Share,
}

pub(crate) fn run(arguments: &SweepArguments) -> Result<Exit, Stop> {
    if arguments.format.is_some() {
        parquet::available()?;
    }
    let text = input::read(&arguments.study.file)?;
    let study = Study::read(&arguments.study.file, text, &arguments.study.set)?;
    let options = study.options_without_limit(&arguments.study.only, arguments.accuracy);
    let plan = study.plan(&options, drawing(arguments, study.draws()))?;
    if plan.drawing().is_some() && plan.variables().is_empty() {
        return Err(Stop::input(
            "Nothing in this harness has a tolerance, so there is nothing to draw. Write `capacitance 220 uF +- 20 %`, for one, or leave --draws and --corners (in the file: `draws`) out.",
        ));
    }
    study.remark_lines().iter().for_each(|remark| output::complain(remark));
    let sweep = Sweep { study, options, plan, share: arguments.share.unwrap_or_default() };
    let threads = arguments.threads.map_or(0, std::num::NonZero::get);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.map_err(|error| Stop::machine(format!("No threads could be started: {error}.")))?;
    pool.install(|| match (arguments.study.json, &arguments.study.out) {
        (true, None) => sweep.to_output(arguments),
        _ => sweep.to_folder(arguments),
    })
}

/// What is drawn: the command line beats the file.
fn drawing(arguments: &SweepArguments, of_file: Option<DrawsOfTolerances>) -> Option<Drawing> {
    if arguments.nominal {
        return None;
    }
    if arguments.corners {
        return Some(Drawing { draws: 1, seed: 0, law: Law::Corners });
    }
    let stated =
        of_file.unwrap_or(DrawsOfTolerances { draws: 0, seed: DrawsOfTolerances::SEED, normal: false });
    let draws = arguments.draws.map_or(stated.draws as usize, std::num::NonZero::get);
    let law = if arguments.normal || stated.normal { Law::Normal } else { Law::Uniform };
    (draws > 0).then(|| Drawing { draws, seed: arguments.seed.unwrap_or(stated.seed), law })
}

impl Sweep {
    /// The result alone on standard output, as it comes.
    fn to_output(&self, arguments: &SweepArguments) -> Result<Exit, Stop> {
        let axes = self.study.axes();
        let mut summary = self.summary();
        output::print(&opening(self.study.title(), axes, &self.plan))?;
        let mut comma = "";
        self.each_stretch(self.range(), None, |rows| {
            let mut text = String::new();
            for row in rows {
                text.push_str(comma);
                text.push_str(&row_value(axes, &self.plan, row).to_string());
                comma = ",\n";
                summary.extend(report::sweep::parse(&json_line(axes, &self.plan, row)));
            }
            output::print(&text)
        })?;
        output::print("]}\n")?;
        Ok(exit(&summary, arguments.strict))
    }

    fn to_folder(&self, arguments: &SweepArguments) -> Result<Exit, Stop> {
        let path = crate::compare::folder(&arguments.study.file, arguments.study.out.as_deref(), false)
            .unwrap_or_default();
        let range = self.range();
        let manifest = self.manifest(arguments);
        let (mut folder, begun) = Folder::begin(&path, &manifest, range.len(), arguments.anew)?;
        let done = match begun {
            Begun::Complete => {
                output::complain("This sweep is complete already; --anew runs it once more.");
                range.len()
            }
            Begun::Partly(0) => 0,
            Begun::Partly(done) => {
                output::complain(&format!("Going on after {done} of {} points.", range.len()));
                done
            }
        };
        if done < range.len() {
            let bar = progress::bar(range.len(), done, arguments.quiet);
            let left = range.start + done..range.end;
            let axes = self.study.axes();
            self.each_stretch(left, Some(&bar), |rows| {
                let (mut csv, mut json) = (String::new(), String::new());
                for row in rows {
                    if row.number == range.start {
                        csv.push_str(&csv_heading(axes, &self.plan, row));
                    }
                    csv.push_str(&csv_line(axes, &self.plan, row));
                    json.push_str(&json_line(axes, &self.plan, row));
                }
                folder.append(&csv, &json)
            })?;
            bar.finish_and_clear();
            folder.finish()?;
        }
        if arguments.format.is_some() {
            parquet::write(&folder, &path.join(parquet::FILE))?;
        }
        let mut summary = self.summary();
        folder.each_line(|line| summary.extend(report::sweep::parse(line)))?;
        if arguments.study.json {
            self.print_rows(&folder)?;
        }
        let pictures = self.pictures(&path, &summary)?;
        tell(&path, self.study.title(), &summary, self.share, arguments)?;
        if !pictures.is_empty() && !arguments.study.json {
            let names: Vec<String> = pictures.iter().map(|path| path.display().to_string()).collect();
            output::complain(&format!("Pictures:\n  {}", names.join("\n  ")));
        }
        Ok(exit(&summary, arguments.strict))
    }

    /// Draws the whole sweep; a share alone shows a part that nobody asked about.
    fn pictures(&self, path: &Path, summary: &Summary) -> Result<Vec<PathBuf>, Stop> {
        if self.share.of > 1 {
            return Ok(Vec::new());
        }
        let pictures = report::sweep::pictures(self.study.title(), summary);
        let files: Vec<(String, String)> =
            pictures.into_iter().map(|picture| (picture.file_name, picture.text)).collect();
        report::write::files(path, &files)
            .map_err(|error| Stop::machine(crate::compare::capitalised(&error.to_string())))
    }

    /// The rows that are in place as one result on standard output.
    fn print_rows(&self, folder: &Folder) -> Result<(), Stop> {
        output::print(&opening(self.study.title(), self.study.axes(), &self.plan))?;
        let mut comma = "";
        let mut printed = Ok(());
        folder.each_line(|line| {
            if printed.is_ok() {
                printed = output::print(&format!("{comma}{}", line.trim_end()));
            }
            comma = ",\n";
        })?;
        printed?;
        output::print("]}\n")
    }

    fn range(&self) -> Range<usize> {
        self.share.of(self.plan.total())
    }

    fn summary(&self) -> Summary {
        Summary::new(self.study.axes(), &self.plan, &self.study.baseline())
    }

    fn manifest(&self, arguments: &SweepArguments) -> String {
        let fingerprint = self.study.fingerprint(&[
            format!("{:?}", arguments.study.set),
            format!("{:?}", self.options),
            format!("{:?}", self.plan.drawing()),
        ]);
        let share = (self.share.number, self.share.of);
        report::sweep::manifest(self.study.title(), self.study.axes(), &self.plan, share, &fingerprint)
    }

    /// Runs the points in stretches of about a second and hands their rows on in order.
    fn each_stretch(
        &self,
        range: Range<usize>,
        bar: Option<&ProgressBar>,
        mut take: impl FnMut(&[Row]) -> Result<(), Stop>,
    ) -> Result<(), Stop> {
        let mut pace = Pace::new(rayon::current_num_threads());
        let mut next = range.start;
        while next < range.end {
            let end = next.saturating_add(pace.points()).min(range.end);
            let rows = pace.timed(|| self.study.rows(&self.plan, &self.options, next..end));
            take(&rows)?;
            if let Some(bar) = bar {
                bar.inc((end - next) as u64);
            }
            next = end;
        }
        Ok(())
    }
}

fn tell(
    path: &Path,
    title: &str,
    summary: &Summary,
    share: Share,
    arguments: &SweepArguments,
) -> Result<(), Stop> {
    if arguments.study.json {
        return Ok(());
    }
    let files = format!(
        "Every point: {} and {}",
        path.join(folder::CSV).display(),
        path.join(folder::JSON).display()
    );
    if !arguments.quiet {
        output::print(&table::sweep(title, summary))?;
    }
    output::complain(&files);
    if share.of > 1 {
        output::complain(&format!(
            "This is share {} of {}. When all are there: quietrail join FOLDER FOLDER … --out FOLDER",
            share.number, share.of
        ));
    }
    let _ = std::io::stdout().flush();
    Ok(())
}

fn exit(summary: &Summary, strict: bool) -> Exit {
    if summary.failed() > 0 {
        Exit::ComputationFailed
    } else if summary.is_met(strict) {
        Exit::Met
    } else {
        Exit::NotMet
    }
}
