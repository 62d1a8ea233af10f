//! A resistor: one resistance.

use super::builder::{Builder, Link};
use super::required;
use language::description::Part;
use parts::Mistake;

pub(super) fn lower(part: &Part, builder: &mut Builder) -> Result<(), Vec<Mistake>> {
    let resistance = required(part, "resistance")?;
    if !(resistance.is_finite() && resistance >= 0.0) {
        return Err(vec![Mistake::new(
            "resistance",
            format!("`resistance` is {resistance}, but it can't be negative"),
            "give a resistance of 0 or more",
        )]);
    }
    let (left, right) = builder.ends(part);
    let placed = builder.chain(part, left, right, vec![Link::resistance("resistance", resistance)]);
    builder.enter_chain(part, &placed);
    Ok(())
}
