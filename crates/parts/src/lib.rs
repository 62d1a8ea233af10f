//! Physics of the parts one can buy, wind or cut: each gives its electrical equivalent and its limits.
//!
//! A part's file holds what a user may say of it, with `None` for what is left open, and the equivalent that follows:
//! plain SI numbers and laws, with a sentence for every default that was taken (as [`wire::Equivalent::assumptions`]) and a
//! [`Mistake`] where what was said contradicts itself or physics.

pub mod battery;
pub mod bead;
pub mod camera;
pub mod can;
pub mod capacitor;
pub mod charge_law;
pub mod chemistry;
pub mod clamp;
pub mod coil;
pub mod commutation;
pub mod conductor;
pub mod conductor_class;
pub mod conductor_current;
pub mod conductor_enamel;
pub mod connector;
pub mod copper;
pub mod core_material;
pub mod coupled;
pub mod current_law;
pub mod diode;
pub mod double_exponential;
pub mod drive;
mod fact;
pub mod flux_law;
pub mod flux_table;
pub mod fuse;
pub mod generator;
pub mod half_bridge;
pub mod junction;
pub mod load;
mod mistake;
mod monotone;
pub mod monotone_curve;
pub mod pass;
mod range;
pub mod regulator;
pub mod rejection;
mod remark;
pub mod ring;
pub mod road_pulse;
pub mod saturation_curve;
pub mod servo;
pub mod supply;
pub mod switch;
pub mod transmitter;
pub mod video;
pub mod winding;
pub mod wire;
mod wire_making;
pub mod wire_skin;

pub use fact::Fact;
pub use mistake::{IMPOSSIBLE_VALUE, Mistake};
pub use remark::Remark;
