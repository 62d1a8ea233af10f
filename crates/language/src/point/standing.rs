//! What stands at one study point, by place: its parts, and what sets their properties.

use crate::program::Program;
use crate::source::Span;
use crate::syntax::{FitNode, Item, PartNode, Placed, SetNode};
use rustc_hash::FxHashMap as HashMap;

/// The statements that a study point consists of.
pub(crate) struct Standing<'a> {
    parts: HashMap<&'a str, (&'a PartNode, Option<&'a FitNode>)>,
    /// For each target its settings with their places, the last one beating those before.
    sets: HashMap<&'a str, Vec<(&'a SetNode, Span)>>,
}

impl<'a> Standing<'a> {
    /// With the chosen option of each axis.
    pub(crate) fn new(program: &'a Program, chosen: &[usize]) -> Self {
        let mut standing = Self { parts: HashMap::default(), sets: HashMap::default() };
        for ((node, axis), point) in program.file.axes().zip(&program.axes).zip(chosen) {
            let Some(sweep) = node.sweep.as_ref().filter(|_| *point < axis.values.len()) else { continue };
            let points = sweep.points.as_ref().map(|points| points.span(*point));
            standing.set(&sweep.target, points.map_or(sweep.target.span, |span| sweep.target.span.to(span)));
        }
        for (placed, sets) in at_point(program, chosen) {
            placed.iter().for_each(|placed| standing.place(placed));
            sets.iter().for_each(|set| standing.set(set, set.span));
        }
        program.file.settings.iter().for_each(|set| standing.set(set, set.span));
        standing
    }

    fn place(&mut self, placed: &'a Placed) {
        for part in placed.parts() {
            self.parts.insert(&part.name.text, (part, placed.fit()));
        }
    }

    fn set(&mut self, set: &'a SetNode, span: Span) {
        self.sets.entry(&set.target.text).or_default().push((set, span));
    }

    /// Where the part's name is written.
    pub(crate) fn name(&self, part: &str) -> Option<Span> {
        self.parts.get(part).map(|(node, _)| node.name.span)
    }

    /// Where the part itself states the property, value included.
    pub(crate) fn stated(&self, part: &str, property: &str) -> Option<Span> {
        let (node, _) = self.parts.get(part)?;
        let stated = node.properties.iter().find(|stated| stated.name.text == property)?;
        Some(stated.value.as_ref().map_or(stated.name.span, |value| stated.name.span.to(value.span)))
    }

    /// Where the setting stands that gives the property its value.
    pub(crate) fn setting(&self, part: &str, property: &str) -> Option<Span> {
        let of = |set: &SetNode| set.property.as_ref().is_some_and(|word| word.text == property);
        let mut sets = self.sets.get(part).into_iter().flatten().rev();
        sets.find(|(set, _)| of(set)).map(|(_, span)| *span)
    }

    /// Where the part is fitted, and as what, if it is one of an assembly.
    pub(crate) fn fitted(&self, part: &str) -> Option<(Span, &'a str)> {
        let (node, fit) = self.parts.get(part)?;
        let fit = (*fit)?;
        Some((fit.name.span, &fit.instances.get(node.instance?)?.name.text))
    }
}

/// What is placed and set at a point, by statement: always, or in the chosen option of an axis.
pub(super) fn at_point<'a>(program: &'a Program, chosen: &[usize]) -> Vec<(&'a [Placed], &'a [SetNode])> {
    let mut axes = chosen.iter();
    let each = program.file.items.iter().filter_map(|item| match item {
        Item::Placed(placed) => Some((std::slice::from_ref(placed), &[][..])),
        Item::Axis(node) => {
            let option = node.options.get(*axes.next()?)?;
            Some((option.placed.as_slice(), option.sets.as_slice()))
        }
    });
    each.collect()
}
