//! What the command line takes.

mod camera;
mod groups;
mod studies;
mod texts;
mod values;

pub(crate) use camera::{BandsArguments, PictureArguments, System};
pub(crate) use groups::{Quiet, StudyArguments, Subject, Telling};
pub(crate) use studies::{
    CompareArguments, DesignArguments, JoinArguments, PageArguments, ReportArguments, SensitivityArguments,
    SweepArguments, WorstArguments,
};
pub(crate) use texts::{
    CheckArguments, CompletionsArguments, ExplainArguments, FormatArguments, ManPagesArguments,
    ServeArguments,
};

use clap::{Parser, Subcommand};

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
    /// Read a file, tell every mistake at once, and say what it describes; nothing is simulated. With --json a line for each file, in
    /// which lines and columns (in characters) count from 1.
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
    /// Put the shares of a sweep together: rows, summary, pictures and exit code are those of the sweep run at once.
    Join(JoinArguments),
    /// Draw a test card with the ripple of the camera's supply in it, for each option: analogue video, the pattern and not its level.
    Picture(PictureArguments),
    /// From bands counted in a picture to the rhythms of the file that would make them, with the arithmetic.
    Bands(BandsArguments),
    /// Print how to wind the coils of a file, what meters should then read and what to check before power; a drawing to scale of each.
    Winding(StudyArguments),
    /// Tell what a word means: a kind of part, a property, a statement, a function, a mistake or a warning.
    Explain(ExplainArguments),
    /// Serve an editor over standard input and output (Language Server Protocol); editors start this themselves.
    ServeEditor(ServeArguments),
    /// Print what completes the command line in a shell.
    Completions(CompletionsArguments),
    /// Write the manual pages of all commands into a folder.
    ManPages(ManPagesArguments),
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
    fn the_help_tells_the_accuracy_that_a_study_takes() {
        let help =
            Arguments::command().find_subcommand_mut("compare").unwrap().render_long_help().to_string();
        let default = format!("[default: {:e}]", study::Options::default().accuracy);
        assert!(help.split_whitespace().collect::<Vec<_>>().join(" ").contains(&default), "{help}");
    }

    /// What has a result can be asked to keep it to itself.
    #[test]
    fn every_command_that_runs_a_study_can_be_quiet() {
        for command in Arguments::command().get_subcommands() {
            let has = |name: &str| command.get_arguments().any(|argument| argument.get_id() == name);
            assert_eq!(has("on"), has("set") || command.get_name() == "join", "{}", command.get_name());
        }
    }
}
