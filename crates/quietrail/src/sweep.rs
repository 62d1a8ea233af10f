//! `quietrail sweep`: every point of all axes, with draws of tolerances, to files that can be gone on with.

mod folder;
mod join;
mod parquet;
mod share;
mod told;

pub(crate) use join::run as join;
pub(crate) use share::Share;

use crate::arguments::{Quiet, SweepArguments, Telling};
use crate::exit::Exit;
use crate::pipeline::Study;
use crate::{Stop, deliver, output, progress};
use folder::{Begun, Folder};
use indicatif::ProgressBar;
use language::description::DrawsOfTolerances;
use rayon::ThreadPool;
use report::sweep::{Line, Outline, Summary, csv_heading, csv_line, json_line, opening, parse};
use std::ops::Range;
use study::sweep::{Drawing, Law, Plan, Row, stream};
use told::{aside, exit};

/// Everything that a sweep is made of.
struct Sweep {
    study: Study,
    options: study::Options,
    plan: Plan,
    share: Share,
    pool: ThreadPool,
}

/// What is written of a point.
struct Written {
    csv: String,
    json: String,
    /// For the summary.
    line: Option<Line>,
}

pub(crate) fn run(arguments: &SweepArguments) -> Result<Exit, Stop> {
    if arguments.format.is_some() {
        parquet::available()?;
    }
    let asked = &arguments.study;
    let study = Study::open(&asked.subject)?;
    let options = study.options_without_limit(&asked.subject.points.only, arguments.accuracy.fraction);
    let plan = study.plan(&options, drawing(arguments, study.draws()))?;
    if plan.drawing().is_some() && plan.variables().is_empty() {
        return Err(Stop::input(
            "Nothing in this harness has a tolerance, so there is nothing to draw. Write `capacitance 220 uF +- 20 %`, for one, or leave --draws and --corners (in the file: `draws`) out.",
        ));
    }
    study.remark(asked.telling.quiet.on);
    let threads = arguments.threads.map_or(0, std::num::NonZero::get);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.map_err(|error| Stop::machine(format!("No threads could be started: {error}.")))?;
    let sweep = Sweep { study, options, plan, share: arguments.share.unwrap_or_default(), pool };
    match (asked.telling.json, &asked.out.folder) {
        (true, None) => sweep.to_output(arguments),
        _ => sweep.to_folder(arguments),
    }
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
        let mut summary = self.summary();
        output::print(&opening(&self.outline()))?;
        let mut comma = "";
        self.each(self.range(), None, |written| {
            let mut text = String::new();
            for Written { json, line, .. } in written {
                text.push_str(comma);
                text.push_str(json.trim_end());
                comma = ",\n";
                summary.extend(line);
            }
            output::print(&text)
        })?;
        output::print("]}\n")?;
        Ok(exit(&summary, arguments.strict.all))
    }

    fn to_folder(&self, arguments: &SweepArguments) -> Result<Exit, Stop> {
        let asked = &arguments.study;
        let Telling { json, quiet } = asked.telling;
        let path =
            deliver::folder(&asked.subject.file, asked.out.folder.as_deref(), false).unwrap_or_default();
        let range = self.range();
        let manifest = self.manifest(arguments);
        let (mut folder, begun) = Folder::begin(&path, &manifest, range.len(), arguments.anew)?;
        let mut summary = self.summary();
        match begun {
            Begun::Complete => {
                aside(quiet, "This sweep is complete already; --anew runs it once more.");
                folder.each_parsed(|line| summary.extend(line))?;
            }
            begun => {
                let done = match begun {
                    Begun::Partly(done) => done,
                    _ => 0,
                };
                if done > 0 {
                    aside(quiet, &format!("Going on after {done} of {} points.", range.len()));
                }
                if let Begun::Another(lost) = begun {
                    let text = format!(
                        "{lost} points of another sweep that was not at its end were here and are replaced; --out gives each sweep a folder of its own."
                    );
                    aside(quiet, &text);
                }
                folder.each_line_so_far(|line| summary.extend(parse(line)))?;
                self.append(&mut folder, range.start + done..range.end, &mut summary, quiet)?;
                // Also where every row is there: a kill may have come just before they were placed.
                folder.finish()?;
            }
        }
        if arguments.format.is_some() {
            parquet::write(&folder, &path.join(parquet::FILE))?;
        }
        if json {
            self.print_rows(&folder)?;
        }
        let silent = Quiet { on: quiet.on || json };
        if self.share.of > 1 {
            // A share alone shows a part that nobody asked about.
            told::words(&path, &summary, silent)?;
            let wanted = "When all are there: quietrail join FOLDER FOLDER … --out FOLDER";
            aside(silent, &format!("This is share {} of {}. {wanted}", self.share.number, self.share.of));
        } else {
            told::everything(&path, &summary, silent)?;
        }
        Ok(exit(&summary, arguments.strict.all))
    }

    /// Runs the points that are left of the sweep and adds their rows.
    fn append(
        &self,
        folder: &mut Folder,
        left: Range<usize>,
        summary: &mut Summary,
        quiet: Quiet,
    ) -> Result<(), Stop> {
        let whole = self.range();
        let bar = progress::bar(whole.len(), left.start - whole.start, quiet.on);
        self.each(left, Some(&bar), |written| {
            let (mut csv, mut json) = (String::new(), String::new());
            for each in written {
                csv.push_str(&each.csv);
                json.push_str(&each.json);
                summary.extend(each.line);
            }
            folder.append(&csv, &json)
        })?;
        bar.finish_and_clear();
        Ok(())
    }

    /// The rows that are in place as one result on standard output.
    fn print_rows(&self, folder: &Folder) -> Result<(), Stop> {
        output::print(&opening(&self.outline()))?;
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
        Summary::new(self.outline())
    }

    fn outline(&self) -> Outline {
        Outline::of(self.study.title(), self.study.axes(), &self.plan, &self.study.baseline())
    }

    fn manifest(&self, arguments: &SweepArguments) -> String {
        let fingerprint = self.study.fingerprint(&[
            format!("{:?}", arguments.study.subject.points.set),
            format!("{:?}", self.options),
            format!("{:?}", self.plan.drawing()),
        ]);
        let share = (self.share.number, self.share.of);
        report::sweep::manifest(&self.outline(), self.plan.total(), share, &fingerprint)
    }

    /// Runs the points and hands on what is written of them, in order, while others run.
    fn each(
        &self,
        range: Range<usize>,
        bar: Option<&ProgressBar>,
        mut take: impl FnMut(Vec<Written>) -> Result<(), Stop>,
    ) -> Result<(), Stop> {
        let stretch = self.study.stretch(&self.plan, &self.options, range);
        stream(
            &stretch,
            &self.pool,
            |row| self.written(row),
            |written| {
                let count = written.len() as u64;
                take(written)?;
                bar.into_iter().for_each(|bar| bar.inc(count));
                Ok(())
            },
        )
    }

    fn written(&self, row: &Row) -> Written {
        let axes = self.study.axes();
        let heading = (row.number == self.range().start).then(|| csv_heading(axes, &self.plan, row));
        let (json, line) = json_line(axes, &self.plan, row);
        let csv = heading.unwrap_or_default() + &csv_line(axes, &self.plan, row);
        Written { csv, line, json }
    }
}
