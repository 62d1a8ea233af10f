//! What a sweep sweeps, and what its values must be therefore.

use super::Sweeps;
use crate::kinds::Shape;
use crate::mistake::{Mistake, Sink, Told};
use crate::names::Bearer;
use crate::parser::shown;
use crate::point::usual_unit;
use crate::syntax::SweepNode;
use quantity::Dimension;

/// What the values of a sweep must be.
pub(super) struct Target {
    /// What is swept, for a sentence.
    pub(super) what: String,
    /// Dimension and usual unit; `None` where the first value tells.
    pub(super) wanted: Option<(Dimension, String)>,
    /// Whether such values are usually in %.
    pub(super) percent: bool,
}

impl Sweeps<'_> {
    /// What is swept: a number that something depends on.
    pub(super) fn target(&self, sweep: &SweepNode, sink: &mut Sink) -> Result<Target, Told> {
        let name = shown(&sweep.target.target.text);
        let Some(property) = &sweep.target.property else {
            if !self.file.names_in_use().contains(sweep.target.target.text.as_str()) {
                return Err(sink.push(
                    Mistake::new(
                        "swept_without_effect",
                        sweep.target.span,
                        format!("nothing uses `{name}`, so that sweeping it changes nothing"),
                    )
                    .label("no part, reading or run depends on it"),
                ));
            }
            let value = self.scope.lets.get(sweep.target.target.text.as_str());
            let Some(Some(value)) = value else { return Err(sink.already_told()) };
            let wanted = (value.dimension, usual_unit(value.dimension));
            let nodes = self.file.lets.iter().filter(|node| node.name.text == sweep.target.target.text);
            let mut stated = nodes.filter_map(|node| node.value.as_ref());
            let percent = stated.any(|(value, _)| value.mentions_unit("%"));
            return Ok(Target { what: format!("`{name}`"), wanted: Some(wanted), percent });
        };
        let what = format!("`{}`", property.text);
        if self.names.bearer(&sweep.target.target.text) == Some(Bearer::Instance) {
            return Ok(Target { what, wanted: None, percent: false });
        }
        let entry = self.names.parts.get(&sweep.target.target.text);
        let mut kinds = entry.iter().flat_map(|entry| entry.kinds.iter().flatten());
        let shape = kinds.find_map(|kind| Some(kind.table().property(&property.text)?.shape));
        let (dimension, usual) = match shape {
            Some(Shape::Number(dimension, usual) | Shape::Course(dimension, usual)) => (dimension, usual),
            Some(Shape::Count) => (Dimension::NONE, ""),
            // Volt or ampere: the part's own relations tell what does not fit.
            Some(Shape::Level) => return Ok(Target { what, wanted: None, percent: false }),
            // A part of an unknown kind has been told.
            None => return Err(sink.already_told()),
            Some(Shape::Range(..) | Shape::Points(..) | Shape::Words(_)) => {
                return Err(sink.push(
                    Mistake::new(
                        "not_a_number",
                        property.span,
                        format!("{what} of `{name}` is no single number and can't be swept"),
                    )
                    .label("expected a property that is one number")
                    .help("use a `choice` or `condition` with a `set` for each value"),
                ));
            }
        };
        Ok(Target { what, wanted: Some((dimension, usual.to_owned())), percent: usual == "%" })
    }
}
