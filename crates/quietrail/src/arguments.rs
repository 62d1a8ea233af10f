//! What the command line takes.

use crate::sweep::Share;
use clap::{Args, Parser, Subcommand};
use std::num::NonZeroUsize;
use std::path::PathBuf;
use study::design::Topology;

/// How noisy is the camera's supply in a small electric vehicle, and what would each filter do?
#[derive(Debug, Parser)]
#[command(name = "quietrail", version, arg_required_else_help = true, after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

const AFTER_HELP: &str = "\
Exit codes:
  0  an option meets every requirement under every condition (--strict: all do);
     check: the file is in order; response, sensitivity: every point has a result; bands: a rhythm fits
  1  none does; format --check: a file would change; bands: no rhythm fits
  2  the command line or the file is wrong
  3  a computation failed; the other points are still reported
  4  the disk or a permission failed";

/// What to do.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Read a file, tell every mistake at once, and say what it describes; nothing is simulated.
    Check(CheckArguments),
    /// Lay files out in columns, in place; what they say stays the same.
    Format(FormatArguments),
    /// Run every option under every condition: table, verdicts, before-and-after pictures.
    Compare(CompareArguments),
    /// The same as one page for a browser: verdict, tables, pictures to zoom, parts, warnings and what to do about them.
    Report(ReportArguments),
    /// Write the page of `report` anew each time the file is saved; an open page follows, and shows mistakes of the file.
    Watch(PageArguments),
    /// Compute every `response` over frequency: table, curves as CSV and JSON, pictures; nothing runs in time.
    Response(StudyArguments),
    /// Run every point of all axes, with draws of tolerances: a line a point, and what they come to; goes on where it stopped.
    Sweep(SweepArguments),
    /// Find where a reading is worst over all conditions and sweeps, between the points of a sweep too.
    Worst(WorstArguments),
    /// Tell what a little more of each value does to each reading: a table of what counts most, all derivatives as CSV and JSON.
    Sensitivity(SensitivityArguments),
    /// Find filters among the parts that you own: those that meet every requirement and that no other beats in everything.
    Design(DesignArguments),
    /// Put the shares of a sweep together, equal to the sweep run at once.
    Join(JoinArguments),
    /// Draw a test card with the ripple of the camera's supply in it, for each option: analogue video, the pattern and not its level.
    Picture(PictureArguments),
    /// From bands counted in a picture to the rhythms of the file that would make them, with the arithmetic.
    Bands(BandsArguments),
    /// Print how to wind the coils of a file, what meters should then read and what to check before power; a drawing to scale of each.
    Winding(WindingArguments),
    /// Tell what a word means: a kind of part, a property, a statement, a function, a mistake or a warning.
    Explain(ExplainArguments),
    /// Serve an editor over standard input and output (Language Server Protocol); editors start this themselves.
    ServeEditor(ServeArguments),
    /// Print what completes the command line in a shell.
    Completions(CompletionsArguments),
    /// Write the manual pages of all commands into a folder.
    ManPages(ManPagesArguments),
}

/// For `serve-editor`.
#[derive(Debug, Args)]
pub(crate) struct ServeArguments {
    /// Taken and passed over: some editors add it, and there is no other way to talk.
    #[arg(long, hide = true)]
    pub(crate) stdio: bool,
}

/// For `completions`.
#[derive(Debug, Args)]
pub(crate) struct CompletionsArguments {
    /// The shell.
    #[arg(value_enum)]
    pub(crate) shell: clap_complete::Shell,
}

/// For `man-pages`.
#[derive(Debug, Args)]
pub(crate) struct ManPagesArguments {
    /// The folder, made where it is missing; existing pages are replaced.
    pub(crate) folder: PathBuf,
}

/// For `check`.
#[derive(Debug, Args)]
pub(crate) struct CheckArguments {
    /// The .harness files.
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// Print what is found as JSON and nothing else, one line a file; lines and columns (in characters) count from 1.
    #[arg(long)]
    pub(crate) json: bool,
    /// Also list what parts come to: resistance, inductance, mass and other figures that follow from their values.
    #[arg(long)]
    pub(crate) parts: bool,
    /// Count only the points of this option or case, as in --only filter=coil; may be repeated.
    #[arg(long, value_name = "AXIS=OPTION", value_parser = pair)]
    pub(crate) only: Vec<(String, String)>,
    /// Override a property or a let, as in --set "pack.charge=30 %"; may be repeated.
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}

/// For `format`.
#[derive(Debug, Args)]
pub(crate) struct FormatArguments {
    /// The .harness files; - stands for standard input, laid out to standard output.
    #[arg(required = true, value_name = "FILE")]
    pub(crate) files: Vec<PathBuf>,
    /// Write nothing; list the files that would change, and exit with 1 if there are any.
    #[arg(long)]
    pub(crate) check: bool,
}

/// For `explain`.
#[derive(Debug, Args)]
pub(crate) struct ExplainArguments {
    /// The word, such as coil, coil.dcr, choice, peak_to_peak or floating_node; a list of all words without it.
    pub(crate) word: Option<String>,
    /// Print the whole reference chapter as Markdown.
    #[arg(long, conflicts_with = "word")]
    pub(crate) markdown: bool,
}

/// What every command takes that runs a study.
#[derive(Debug, Args)]
pub(crate) struct StudyArguments {
    /// The .harness file.
    pub(crate) file: PathBuf,
    /// Folder for the files [default: quietrail-out/FILE-STEM/]; existing files are replaced.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Print the result as JSON and nothing else; files are written only with --out.
    #[arg(long)]
    pub(crate) json: bool,
    /// Run only this option, case or value of an axis, as in --only filter=coil; may be repeated.
    #[arg(long, value_name = "AXIS=OPTION", value_parser = pair)]
    pub(crate) only: Vec<(String, String)>,
    /// Override a property or a let, as in --set "pack.charge=30 %"; may be repeated.
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}

/// For `compare`.
#[derive(Debug, Args)]
pub(crate) struct CompareArguments {
    #[command(flatten)]
    pub(crate) study: StudyArguments,
    /// Exit with 0 only when every option meets every requirement.
    #[arg(long)]
    pub(crate) strict: bool,
    /// Accuracy as a fraction of each waveform's swing, 1e-8 to 1e-2 [default: 1e-4]; smaller is slower.
    #[arg(long, value_name = "A", value_parser = accuracy)]
    pub(crate) accuracy: Option<f64>,
    /// Print neither the table nor progress; files, --json and the exit code tell.
    #[arg(long)]
    pub(crate) quiet: bool,
    /// Also tell what every point took to compute: the road through time, steps, solves.
    #[arg(long)]
    pub(crate) verbose: bool,
}

/// For `picture`.
#[derive(Debug, Args)]
pub(crate) struct PictureArguments {
    /// The .harness file.
    pub(crate) file: PathBuf,
    /// Folder for the pictures [default: quietrail-out/FILE-STEM/]; existing files are replaced.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Rejection of the camera in dB, in place of what the file says; may be repeated [default: the file's, else 20, 40 and 60].
    #[arg(long, value_name = "DB", value_parser = rejection)]
    pub(crate) rejection: Vec<f64>,
    /// Run only this option, case or value of an axis, as in --only filter=coil; may be repeated.
    #[arg(long, value_name = "AXIS=OPTION", value_parser = pair)]
    pub(crate) only: Vec<(String, String)>,
    /// Override a property or a let, as in --set "eye.video=ntsc"; may be repeated.
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}

/// A system of analogue video.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
pub(crate) enum System {
    /// 625 lines, 50 fields a second.
    Pal,
    /// 525 lines, 59.94 fields a second.
    Ntsc,
}

/// For `bands`.
#[derive(Debug, Args)]
pub(crate) struct BandsArguments {
    /// The .harness file.
    pub(crate) file: PathBuf,
    /// Bands from the top of the picture to its bottom, along one edge; 6.5 is as good as any.
    #[arg(long, value_name = "N", value_parser = counted)]
    pub(crate) count: f64,
    /// Stripes along a line from the left edge to the right: 0 where the bands lie level [default: anything].
    #[arg(long, value_name = "N", value_parser = counted)]
    pub(crate) slant: Option<f64>,
    /// System of the picture [default: the first camera's, else pal].
    #[arg(long)]
    pub(crate) system: Option<System>,
    /// How far the file's frequencies may be off, in per cent.
    #[arg(long, value_name = "PERCENT", default_value_t = 5.0, value_parser = within)]
    pub(crate) within: f64,
    /// Look only at this option, case or value of an axis, as in --only throttle=full; may be repeated.
    #[arg(long, value_name = "AXIS=OPTION", value_parser = pair)]
    pub(crate) only: Vec<(String, String)>,
    /// Override a property or a let, as in --set "tracks.commutation=500 Hz"; may be repeated.
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}

/// For `winding`.
#[derive(Debug, Args)]
pub(crate) struct WindingArguments {
    /// The .harness file.
    pub(crate) file: PathBuf,
    /// Folder for the drawings [default: quietrail-out/FILE-STEM/]; existing files are replaced.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Only the coils of this option, as in --only filter=coil; may be repeated.
    #[arg(long, value_name = "AXIS=OPTION", value_parser = pair)]
    pub(crate) only: Vec<(String, String)>,
    /// Override a property or a let, as in --set "choke.turns=40"; may be repeated.
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}

/// For `report`.
#[derive(Debug, Args)]
pub(crate) struct ReportArguments {
    #[command(flatten)]
    pub(crate) page: PageArguments,
    /// Exit with 0 only when every option meets every requirement.
    #[arg(long)]
    pub(crate) strict: bool,
    /// Print nothing and show no progress; the page and the exit code tell.
    #[arg(long)]
    pub(crate) quiet: bool,
}

/// What makes a page, for `report` and `watch`.
#[derive(Debug, Args)]
pub(crate) struct PageArguments {
    /// The .harness file.
    pub(crate) file: PathBuf,
    /// Folder for report.html [default: quietrail-out/FILE-STEM/]; an existing one is replaced.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Run only this option, case or value of an axis, as in --only filter=coil; may be repeated.
    #[arg(long, value_name = "AXIS=OPTION", value_parser = pair)]
    pub(crate) only: Vec<(String, String)>,
    /// Override a property or a let, as in --set "pack.charge=30 %"; may be repeated.
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
    /// Accuracy as a fraction of each waveform's swing, 1e-8 to 1e-2 [default: 1e-4]; smaller is slower.
    #[arg(long, value_name = "A", value_parser = accuracy)]
    pub(crate) accuracy: Option<f64>,
}

/// For `sweep`.
#[derive(Debug, Args)]
pub(crate) struct SweepArguments {
    #[command(flatten)]
    pub(crate) study: StudyArguments,
    /// Draw every value that has a tolerance (`+- 20 %`) so many times at each point of the axes [default: what `draws` in the file
    /// says].
    #[arg(long, value_name = "N")]
    pub(crate) draws: Option<NonZeroUsize>,
    /// The same seed gives the same draws [default: the file's, or 1].
    #[arg(long, value_name = "S")]
    pub(crate) seed: Option<u32>,
    /// Draw normally, a third of the tolerance being the standard deviation; evenly within the tolerance otherwise.
    #[arg(long)]
    pub(crate) normal: bool,
    /// Run every combination of the ends of all tolerances, at each point of the axes, in place of draws; of more than 12 values
    /// only the two towards which each reading and requirement moves.
    #[arg(long, conflicts_with = "draws")]
    pub(crate) corners: bool,
    /// Draw nothing, even where the file has `draws`.
    #[arg(long, conflicts_with_all = ["draws", "corners", "normal"])]
    pub(crate) nominal: bool,
    /// Write the rows in one more form, beside CSV and JSON lines: `parquet`, where the program was built with it.
    #[arg(long, value_name = "FORMAT", value_parser = ["parquet"])]
    pub(crate) format: Option<String>,
    /// Run only share K of N, in a folder of its own; `quietrail join` puts the shares together.
    #[arg(long, value_name = "K/N")]
    pub(crate) share: Option<Share>,
    /// Threads [default: one a core]; they change nothing but the time.
    #[arg(long, value_name = "N")]
    pub(crate) threads: Option<NonZeroUsize>,
    /// Begin from nothing where rows of the same sweep are there already.
    #[arg(long)]
    pub(crate) anew: bool,
    /// Exit with 0 only when every option meets every requirement.
    #[arg(long)]
    pub(crate) strict: bool,
    /// Accuracy as a fraction of each waveform's swing, 1e-8 to 1e-2 [default: 1e-4]; smaller is slower.
    #[arg(long, value_name = "A", value_parser = accuracy)]
    pub(crate) accuracy: Option<f64>,
    /// Print neither progress nor the summary.
    #[arg(long)]
    pub(crate) quiet: bool,
}

/// For `worst`.
#[derive(Debug, Args)]
pub(crate) struct WorstArguments {
    /// The .harness file.
    pub(crate) file: PathBuf,
    /// Name of a reading of the file.
    pub(crate) reading: String,
    /// Look between the points of this sweep only, of others at their points; may be repeated [default: every sweep].
    #[arg(long, value_name = "SWEEP")]
    pub(crate) over: Vec<String>,
    /// The least value is the worst; otherwise the greatest, or what a requirement on the reading says.
    #[arg(long)]
    pub(crate) least: bool,
    /// Print the result as JSON and nothing else.
    #[arg(long)]
    pub(crate) json: bool,
    /// Look only at this option, case or value of an axis, as in --only filter=coil; may be repeated.
    #[arg(long, value_name = "AXIS=OPTION", value_parser = pair)]
    pub(crate) only: Vec<(String, String)>,
    /// Override a property or a let, as in --set "pack.charge=30 %"; may be repeated.
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
    /// Accuracy as a fraction of each waveform's swing, 1e-8 to 1e-2 [default: 1e-4]; smaller is slower.
    #[arg(long, value_name = "A", value_parser = accuracy)]
    pub(crate) accuracy: Option<f64>,
}

/// For `sensitivity`.
#[derive(Debug, Args)]
pub(crate) struct SensitivityArguments {
    #[command(flatten)]
    pub(crate) study: StudyArguments,
    /// Show every point and every value that has a say, not only what counts most at each option's worst point.
    #[arg(long)]
    pub(crate) all: bool,
}

/// For `design`.
#[derive(Debug, Args)]
pub(crate) struct DesignArguments {
    #[command(flatten)]
    pub(crate) study: StudyArguments,
    /// The parts that you own, as a table (CSV): name, kind, quantity, mass, cost, and properties as in a harness.
    #[arg(long, value_name = "FILE")]
    pub(crate) stock: PathBuf,
    /// The choice to find filters for, where several have a place.
    #[arg(long, value_name = "NAME")]
    pub(crate) choice: Option<String>,
    /// Look at this form only; may be repeated.
    #[arg(long, value_name = "FORM", value_parser = form)]
    pub(crate) form: Vec<Topology>,
    /// Numbers of turns to look at for each ring and wire: the full layer (thicker wires give fewer turns), then each with half the
    /// inductance.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=12))]
    pub(crate) turns: u8,
    /// Draws of tolerances at each study point that a filter must survive; 0 for none.
    #[arg(long, value_name = "N", default_value_t = 8)]
    pub(crate) draws: usize,
    /// The same seed gives the same draws.
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub(crate) seed: u32,
    /// Stop once this many filters were run, the simple and promising ones first; the answer says how many were not looked at.
    #[arg(long, value_name = "N")]
    pub(crate) most: Option<usize>,
    /// Run every filter in time, those too that bounds prove useless; the answer is the same.
    #[arg(long)]
    pub(crate) exhaustive: bool,
    /// Threads [default: one a core]; they change nothing but the time.
    #[arg(long, value_name = "N")]
    pub(crate) threads: Option<NonZeroUsize>,
    /// Accuracy as a fraction of each waveform's swing, 1e-8 to 1e-2 [default: 1e-4]; smaller is slower.
    #[arg(long, value_name = "A", value_parser = accuracy)]
    pub(crate) accuracy: Option<f64>,
    /// Print no progress.
    #[arg(long)]
    pub(crate) quiet: bool,
}

/// For `join`.
#[derive(Debug, Args)]
pub(crate) struct JoinArguments {
    /// The folders of all shares, in any order.
    #[arg(required = true, value_name = "FOLDER")]
    pub(crate) folders: Vec<PathBuf>,
    /// Folder for the joined rows; existing files are replaced.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: PathBuf,
}

/// A form of filter by its name.
fn form(text: &str) -> Result<Topology, String> {
    Topology::from_word(text).ok_or_else(|| {
        let known: Vec<&str> = Topology::ALL.iter().map(|form| form.word()).collect();
        format!("there are {}", known.join(", "))
    })
}

fn pair(text: &str) -> Result<(String, String), String> {
    let parts = text.split_once('=').map(|(axis, option)| (axis.trim(), option.trim()));
    match parts {
        Some((axis, option)) if !axis.is_empty() && !option.is_empty() => {
            Ok((axis.to_owned(), option.to_owned()))
        }
        _ => Err("expected AXIS=OPTION, as in filter=coil".to_owned()),
    }
}

fn number(text: &str, most: f64) -> Option<f64> {
    let text = text.trim();
    text.parse::<f64>().ok().filter(|value| (0.0..=most).contains(value))
}

/// Decibels, with or without the unit.
fn rejection(text: &str) -> Result<f64, String> {
    number(text.trim_end_matches("dB"), 120.0).ok_or_else(|| "expected 0 to 120 dB, as in 40".to_owned())
}

fn counted(text: &str) -> Result<f64, String> {
    number(text, 1000.0).ok_or_else(|| "expected a count from 0 to 1000, as in 7 or 6.5".to_owned())
}

fn within(text: &str) -> Result<f64, String> {
    number(text.trim_end_matches('%'), 50.0).ok_or_else(|| "expected 0 to 50 per cent, as in 5".to_owned())
}

/// The range that a study accepts: coarser shows no ripple, finer is lost in rounding.
fn accuracy(text: &str) -> Result<f64, String> {
    let value = text.parse::<f64>().ok().filter(|value| (1e-8..=1e-2).contains(value));
    value.ok_or_else(|| "expected a fraction from 1e-8 to 1e-2, as in 1e-4".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_consistent() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn a_pick_needs_both_sides_and_an_accuracy_its_range() {
        assert_eq!(pair("filter = coil"), Ok(("filter".to_owned(), "coil".to_owned())));
        assert!(accuracy("1e-5").is_ok() && accuracy("NaN").is_err() && accuracy("0").is_err());
        assert!(pair("filter").is_err() && pair("=coil").is_err() && pair("filter=").is_err());
    }

    #[test]
    fn the_help_tells_the_accuracy_that_a_study_takes() {
        let help =
            Arguments::command().find_subcommand_mut("compare").unwrap().render_long_help().to_string();
        let default = format!("[default: {:e}]", study::Options::default().accuracy);
        assert!(help.split_whitespace().collect::<Vec<_>>().join(" ").contains(&default), "{help}");
    }
}
