//! Nodes and primitive branches, and the lowering of one study point of a harness into them.

pub mod lowered;
pub mod lowering;
pub mod primitive;
pub mod waveform;
