//! What ripple on a camera's supply does to its picture: analogue video, the pattern and not its level.
//!
//! A picture is drawn line by line, so a ripple in time becomes a pattern in space. [`Pattern`] is the arithmetic of that for one
//! frequency, [`pictures`] computes the whole pattern from the waveform on the camera's supply, and [`candidates`] goes the other way: from a
//! pattern that somebody counted to the rhythms of the harness that would make it.

mod bands;
mod capture;
mod pattern;
mod raster;
mod rhythms;
mod seen;

pub use bands::{Candidate, Counted, Fit, candidates};
pub use pattern::Pattern;
pub use raster::{Raster, row_time};
pub use rhythms::{SourceLine, What, rhythms};
pub use seen::{Level, Pictures, Request, Seen, Shown, StrongLine, pictures};

pub use parts::video::Video;
