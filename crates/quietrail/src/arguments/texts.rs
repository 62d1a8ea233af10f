//! For commands about texts: checking, laying out, explaining, and what editors and shells ask for.

use super::groups::{Points, Telling};
use clap::Args;
use std::path::PathBuf;

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
    #[command(flatten)]
    pub(crate) telling: Telling,
    /// Also list what parts come to: resistance, inductance, mass and other figures that follow from their values.
    #[arg(long)]
    pub(crate) parts: bool,
    #[command(flatten)]
    pub(crate) points: Points,
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
