//! Values of which only the ends are known: `unknown A .. B`.

use super::{Scope, Wanted};
use crate::description::Tolerance;
use crate::mistake::{Mistake, Sink, Told};
use crate::syntax::{Node, NodeKind};
use quantity::{Dimension, Quantity};

impl Scope<'_> {
    /// Both ends, which have one dimension and rise.
    fn ends(
        &self,
        low: &Node,
        high: &Node,
        wanted: Option<Wanted<'_>>,
        sink: &mut Sink,
    ) -> Result<(Quantity, Quantity), Told> {
        let from = self.constant(low, wanted, sink);
        let to = self.constant(high, wanted, sink);
        let (from, to) = (from?, to?);
        if from.dimension != to.dimension {
            return Err(sink.push(super::unlike((low.span, from.dimension), (high.span, to.dimension))));
        }
        if from.value >= to.value {
            return Err(sink.push(
                Mistake::new(
                    "wrong_range",
                    low.span.to(high.span),
                    "the range of an unknown value must rise",
                )
                .label("expected the lower end first")
                .help("write `unknown 20 mohm .. 200 mohm`"),
            ));
        }
        Ok((from, to))
    }

    /// What a nominal run takes for a value that is unknown between two ends.
    pub(super) fn middle(
        &self,
        low: &Node,
        high: &Node,
        wanted: Option<Wanted<'_>>,
        sink: &mut Sink,
    ) -> Result<Quantity, Told> {
        let (from, to) = self.ends(low, high, wanted, sink)?;
        Ok(Quantity::new(Tolerance::Between(from.value, to.value).middle(), from.dimension))
    }

    /// The tolerance that a value is stated with: `+- …` behind it, or the ends between which it is unknown.
    pub(crate) fn stated_tolerance(
        &self,
        value: &Node,
        tolerance: Option<&Node>,
        dimension: Dimension,
        wanted: Option<Wanted<'_>>,
        sink: &mut Sink,
    ) -> Result<Option<Tolerance>, Told> {
        if let NodeKind::Unknown(low, high) = &value.kind {
            let (from, to) = self.ends(low, high, wanted, sink)?;
            return Ok(Some(Tolerance::Between(from.value, to.value)));
        }
        tolerance.map(|node| self.tolerance(node, dimension, sink)).transpose()
    }
}
