//! A ferrite bead: a coil of low inductance with great losses.

use super::builder::Builder;
use super::{coil, required};
use language::description::Part;
use parts::Mistake;
use parts::bead::Bead;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let bead = Bead {
        peak_resistance: required(part, "peak_resistance")?,
        inductance: required(part, "inductance")?,
        capacitance: part.number("capacitance"),
        dcr: part.number("dcr"),
        saturation_current: part.number("saturation_current"),
    };
    coil::place(part, bead.equivalent()?, builder);
    Ok(())
}
