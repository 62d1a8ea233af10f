//! For commands that run a study.

use super::groups::{Accuracy, Out, Quiet, Strict, StudyArguments, Subject, Telling};
use super::values::form;
use crate::sweep::Share;
use clap::Args;
use std::num::NonZeroUsize;
use std::path::PathBuf;
use study::design::Topology;

/// For `compare`.
#[derive(Debug, Args)]
pub(crate) struct CompareArguments {
    #[command(flatten)]
    pub(crate) study: StudyArguments,
    #[command(flatten)]
    pub(crate) strict: Strict,
    #[command(flatten)]
    pub(crate) accuracy: Accuracy,
    /// Also tell what every point took to compute: the road through time, steps, solves.
    #[arg(long)]
    pub(crate) verbose: bool,
}

/// For `report`.
#[derive(Debug, Args)]
pub(crate) struct ReportArguments {
    #[command(flatten)]
    pub(crate) page: PageArguments,
    #[command(flatten)]
    pub(crate) strict: Strict,
}

/// What makes a page, for `report` and `watch`.
#[derive(Debug, Args)]
pub(crate) struct PageArguments {
    #[command(flatten)]
    pub(crate) subject: Subject,
    #[command(flatten)]
    pub(crate) out: Out,
    #[command(flatten)]
    pub(crate) quiet: Quiet,
    #[command(flatten)]
    pub(crate) accuracy: Accuracy,
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
    #[command(flatten)]
    pub(crate) strict: Strict,
    #[command(flatten)]
    pub(crate) accuracy: Accuracy,
}

/// For `worst`.
#[derive(Debug, Args)]
pub(crate) struct WorstArguments {
    #[command(flatten)]
    pub(crate) subject: Subject,
    /// Name of a reading of the file.
    pub(crate) reading: String,
    /// Look between the points of this sweep only, of others at their points; may be repeated [default: every sweep].
    #[arg(long, value_name = "SWEEP")]
    pub(crate) over: Vec<String>,
    /// The least value is the worst; otherwise the greatest, or what a requirement on the reading says.
    #[arg(long)]
    pub(crate) least: bool,
    #[command(flatten)]
    pub(crate) telling: Telling,
    #[command(flatten)]
    pub(crate) accuracy: Accuracy,
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
    /// Numbers of turns to look at for each ring and wire: the full layer, or as many as the core bears with the load's current; then each
    /// with half the inductance.
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
    #[command(flatten)]
    pub(crate) accuracy: Accuracy,
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
    #[command(flatten)]
    pub(crate) strict: Strict,
    #[command(flatten)]
    pub(crate) quiet: Quiet,
}
