//! For commands about what a camera shows.

use super::groups::{StudyArguments, Subject, Telling};
use super::values::{counted, rejection, within};
use clap::Args;

/// For `picture`.
#[derive(Debug, Args)]
pub(crate) struct PictureArguments {
    #[command(flatten)]
    pub(crate) study: StudyArguments,
    /// Rejection of the camera in dB, in place of what the file says; may be repeated [default: the file's, else 20, 40 and 60].
    #[arg(long, value_name = "DB", value_parser = rejection)]
    pub(crate) rejection: Vec<f64>,
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
    #[command(flatten)]
    pub(crate) subject: Subject,
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
    #[command(flatten)]
    pub(crate) telling: Telling,
}
