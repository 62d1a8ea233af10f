//! A supply: a voltage, ramped up where the run starts from rest, behind a resistance.

use super::builder::{Builder, Link};
use super::required;
use crate::waveform::Waveform;
use language::description::{Part, Start};
use parts::Mistake;
use parts::supply::Supply;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let supply = Supply {
        voltage: required(part, "voltage")?,
        resistance: part.number("resistance"),
        rise: part.number("rise"),
    };
    let equivalent = supply.equivalent()?;
    // Every other start has the supply at its voltage since long before t = 0.
    let waveform = if builder.start == Start::Rest && equivalent.rise > 0.0 {
        Waveform::Ramp { level: equivalent.voltage, rise: equivalent.rise }
    } else {
        Waveform::Constant(equivalent.voltage)
    };
    let (left, right) = builder.ends(part);
    let links = vec![Link::push(waveform), Link::resistance("resistance", equivalent.resistance)];
    let placed = builder.chain(part, left, right, links);
    let source = placed.first().and_then(|link| link.branches.first().copied());
    builder.enter_chain(part, &placed).source = source;
    Ok(())
}
