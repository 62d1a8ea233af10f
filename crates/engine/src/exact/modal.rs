//! The exact road of a network whose loads keep to their lines: modes tell where a waveform can pass what is known of it, and how long a parabola
//! follows it, so that nothing is tried and little is drawn.

mod corners;
mod course;
mod dense;
mod drawing;
mod hill;
mod leg;
mod passed;
mod phi;
mod rates;
mod search;
mod show;
mod signals;
mod spectrum;
mod squares;
mod stride;
mod tour;
mod walk;

pub(crate) use passed::{Instant, Legs, Passed};
pub(crate) use show::{Begin, show};
pub(crate) use signals::Signals;
pub(crate) use stride::{Stride, add_product};
pub(crate) use walk::ModalWalk;
