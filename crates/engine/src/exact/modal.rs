//! The exact road of a network whose loads keep to their lines: modes tell where a waveform can pass what is known of it, and how long a parabola
//! follows it, so that nothing is tried and little is drawn.

mod corners;
mod course;
mod inside;
mod leg;
mod levels;
mod phi;
mod search;
mod signals;
mod spectrum;
mod stride;
mod walk;

pub(crate) use inside::{Forcing, Inside};
pub(crate) use signals::Signals;
pub(crate) use walk::ModalWalk;
