//! A fuse: its resistance, and what it is rated for.

use super::builder::{Builder, Link};
use super::required;
use language::description::Part;
use parts::Mistake;
use parts::fuse::Fuse;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let fuse = Fuse {
        rated: required(part, "rated")?,
        resistance: part.number("resistance"),
        voltage_rating: part.number("voltage_rating"),
    };
    let equivalent = fuse.equivalent()?;
    builder.assume(part, equivalent.assumptions);
    let (left, right) = builder.ends(part);
    let links = vec![Link::resistance("resistance", equivalent.resistance)];
    let placed = builder.chain(part, left, right, links);
    let entered = builder.enter_chain(part, &placed);
    entered.facts = equivalent.facts;
    entered.limits.rated_current = Some(fuse.rated);
    entered.limits.interrupted_voltage = fuse.voltage_rating;
    Ok(())
}
