//! The stepping road: TR-BDF2 over the network's own equations, for laws that are not straight lines.

mod driven;
mod walk;

pub(crate) use walk::{Stepper, state_name, states};
