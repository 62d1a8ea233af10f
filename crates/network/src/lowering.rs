//! The lowering: one study point of a harness into a network of primitive branches.
//!
//! Each kind of part has a file that reads its properties, asks `parts` for the electrical equivalent and puts its branches
//! into the network with the help of the builder. Elements that are zero are left out; of a part of which nothing is left
//! remains a short.

mod battery;
mod bead;
mod builder;
mod bursts;
mod capacitor;
mod clamp;
mod coil;
mod connector;
mod coupled;
mod cutset;
mod diode;
mod drive;
mod error;
mod fuse;
mod generator;
mod half_bridge;
mod load;
mod loop_filter;
mod regulator;
mod resistor;
mod servo;
mod source;
mod supply;
mod switch;
mod transmitter;
mod wire;

pub use error::LoweringError;

use crate::lowered::Lowered;
use builder::Builder;
use language::Kind;
use language::description::{Harness, Part, Start};

/// Lowers one study point; waveforms depend on how the run starts.
///
/// # Errors
/// Every value that contradicts another or physics, of all parts at once.
pub fn lower(harness: &Harness, start: Start) -> Result<Lowered, Vec<LoweringError>> {
    let mut builder = Builder::new(start);
    for part in &harness.parts {
        if let Err(mistakes) = lower_part(part, &mut builder) {
            builder.add_errors(part, mistakes);
        }
    }
    builder.finish(harness)
}

/// Puts one part into the network.
fn lower_part(part: &Part, builder: &mut Builder) -> Result<(), Vec<parts::Mistake>> {
    match part.kind {
        Kind::Resistor => resistor::lower(part, builder),
        Kind::Capacitor => capacitor::lower(part, builder),
        Kind::Coil => coil::lower(part, builder),
        Kind::Wire => wire::lower(part, builder),
        Kind::Battery => battery::lower(part, builder),
        Kind::Supply => supply::lower(part, builder),
        Kind::Drive => drive::lower(part, builder),
        Kind::Load => load::lower(part, builder),
        Kind::Camera => load::lower_camera(part, builder),
        Kind::Generator => generator::lower(part, builder),
        Kind::Coupled => coupled::lower(part, builder),
        Kind::Diode => diode::lower(part, builder),
        Kind::Switch => switch::lower(part, builder),
        Kind::Regulator => regulator::lower(part, builder),
        Kind::Bead => bead::lower(part, builder),
        Kind::Source => source::lower(part, builder),
        Kind::Servo => servo::lower(part, builder),
        Kind::Transmitter => transmitter::lower(part, builder),
        Kind::HalfBridge => half_bridge::lower(part, builder),
        Kind::Fuse => fuse::lower(part, builder),
        Kind::Connector => connector::lower(part, builder),
        Kind::Clamp => clamp::lower(part, builder),
    }
}

/// The number given for a property that every part of the kind has.
fn required(part: &Part, property: &'static str) -> Result<f64, Vec<parts::Mistake>> {
    part.number(property).ok_or_else(|| {
        vec![parts::Mistake::new(property, format!("`{property}` is missing"), format!("add `{property}`"))]
    })
}
