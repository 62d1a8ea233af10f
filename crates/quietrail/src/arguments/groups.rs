//! Flags that several commands share, each described once.

use super::values::{accuracy, pair};
use clap::Args;
use std::path::PathBuf;

/// Which points of a file are meant, and what is changed in it.
#[derive(Debug, Args)]
pub(crate) struct Points {
    /// Take only this option, case or value of an axis, as in --only filter=coil; may be repeated.
    #[arg(long, value_name = "AXIS=OPTION", value_parser = pair)]
    pub(crate) only: Vec<(String, String)>,
    /// Override a property or a let, as in --set "pack.charge=30 %"; may be repeated.
    #[arg(long, value_name = "NAME=VALUE")]
    pub(crate) set: Vec<String>,
}

/// A file and its points.
#[derive(Debug, Args)]
pub(crate) struct Subject {
    /// The .harness file.
    pub(crate) file: PathBuf,
    #[command(flatten)]
    pub(crate) points: Points,
}

/// Where files go.
#[derive(Debug, Args)]
pub(crate) struct Out {
    /// Folder for the files [default: quietrail-out/FILE-STEM/, with --json none]; existing files are replaced.
    #[arg(long = "out", value_name = "DIR")]
    pub(crate) folder: Option<PathBuf>,
}

/// Silence.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct Quiet {
    /// Print neither result, remarks nor progress: files, --json and the exit code tell; mistakes and failures are told all the same.
    #[arg(long = "quiet")]
    pub(crate) on: bool,
}

/// How the result is told.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct Telling {
    /// Print the result as JSON and nothing else.
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) quiet: Quiet,
}

/// What every command takes that runs a study and keeps what it finds.
#[derive(Debug, Args)]
pub(crate) struct StudyArguments {
    #[command(flatten)]
    pub(crate) subject: Subject,
    #[command(flatten)]
    pub(crate) out: Out,
    #[command(flatten)]
    pub(crate) telling: Telling,
}

/// How exactly waveforms are computed.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct Accuracy {
    /// Accuracy as a fraction of each waveform's swing, 1e-8 to 1e-2 [default: 1e-4]; smaller is slower.
    #[arg(long = "accuracy", value_name = "A", value_parser = accuracy)]
    pub(crate) fraction: Option<f64>,
}

/// What the exit code asks of the options.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct Strict {
    /// Exit with 0 only when every option meets every requirement.
    #[arg(long = "strict")]
    pub(crate) all: bool,
}
