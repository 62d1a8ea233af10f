//! One study point: lets, settings and overrides applied, every value a number.

mod fit;
mod frequency;
mod readings;
mod standing;

pub(crate) use standing::Standing;

use crate::description::{Harness, LetValue, Part, Testpoint, Tolerance, Transient, Value};
use crate::kinds::{Stated, StatedValue};
use crate::mistake::{Mistake, Sink, Told};
use crate::program::Program;
use crate::reach;
use crate::scope::{Scope, Wanted, in_words};
use crate::syntax::{
    LetNode, Node, NodeKind, PartNode, Placed, SetNode, TransientNode, ValueKind, ValueNode,
};
use quantity::{Dimension, Quantity};
use rustc_hash::{FxHashMap as HashMap, FxHashSet as HashSet};
use std::collections::BTreeMap;

/// Works out the point with the chosen option of each axis. What is wrong is told and left out.
///
/// The draws replace nominal values of lets.
pub(crate) fn resolve(program: &Program, chosen: &[usize], draws: &Draws, sink: &mut Sink) -> Harness {
    let mut placed: Vec<&Placed> = Vec::new();
    let mut sets: HashMap<&str, Vec<&SetNode>> = HashMap::default();
    let swept = swept(program, chosen, draws);
    swept.iter().for_each(|set| sets.entry(&set.target.text).or_default().push(set));
    for (each, set_here) in standing::at_point(program, chosen) {
        placed.extend(each);
        set_here.iter().for_each(|set| sets.entry(&set.target.text).or_default().push(set));
    }
    // Last, so that they win.
    program.file.settings.iter().for_each(|set| sets.entry(&set.target.text).or_default().push(set));

    let scope = empty_scope(program);
    let (lets, over_frequency) = (Vec::new(), HashSet::default());
    let mut resolver = Resolver { program, scope, sets, draws, lets, over_frequency, sink };
    resolver.lets();
    let resolved = placed.iter().flat_map(|each| resolver.placed(each)).collect();
    resolver.unused_assemblies();
    let parts: Vec<&PartNode> = placed.iter().flat_map(|each| each.parts()).collect();
    reach::check(&parts, &program.names, program.file.parts_missing, resolver.sink);
    let transients = resolver.transients();
    let testpoints = resolver.testpoints();
    let readings = resolver.readings(&transients);
    let requirements = resolver.requirements(&transients);
    let frequencies = resolver.frequencies();
    let responses = resolver.responses();
    Harness {
        title: program.title.clone(),
        parts: resolved,
        instances: resolver.scope.instances,
        lets: resolver.lets,
        testpoints,
        readings,
        requirements,
        transients: transients.into_iter().flatten().collect(),
        frequencies,
        responses,
    }
}

fn empty_scope(program: &Program) -> Scope<'_> {
    Scope {
        file: &program.file,
        names: &program.names,
        inside: None,
        instances: Vec::new(),
        lets: HashMap::default(),
        testpoints: HashMap::default(),
        readings: HashMap::default(),
    }
}

/// A value with the tolerance that is stated for it.
type Toleranced = (Quantity, Option<Tolerance>);

/// Values that stand in place of those that the file states, in SI units.
#[derive(Default)]
pub(crate) struct Draws {
    /// By the names of lets.
    pub(crate) lets: BTreeMap<String, f64>,
    /// Values of sweeps between their points, by the names of their axes.
    pub(crate) swept: BTreeMap<String, f64>,
}

struct Resolver<'a, 's> {
    program: &'a Program,
    scope: Scope<'a>,
    sets: HashMap<&'a str, Vec<&'a SetNode>>,
    draws: &'a Draws,
    /// Every let and value inside an instance, in the order in which they are worked out.
    lets: Vec<LetValue>,
    /// Readings that read nothing in time.
    over_frequency: HashSet<String>,
    sink: &'s mut Sink,
}

impl<'a> Resolver<'a, '_> {
    fn lets(&mut self) {
        for node in &self.program.file.lets {
            let value = self.let_value(node).ok();
            // The first of two lets with one name stands; the second has been told.
            if !self.scope.lets.contains_key(node.name.text.as_str()) {
                let value = value.map(|value| self.drawn(&node.name.text, value));
                self.scope.lets.insert(&node.name.text, value);
            }
        }
    }

    /// Keeps a `let` or a value inside an instance, and gives what is drawn for it, or else its nominal value.
    fn drawn(&mut self, name: &str, (value, tolerance): Toleranced) -> Quantity {
        self.lets.push(LetValue { name: name.to_owned(), value, tolerance });
        self.draws.lets.get(name).map_or(value, |drawn| Quantity::new(*drawn, value.dimension))
    }

    fn let_value(&mut self, node: &LetNode) -> Result<Toleranced, Told> {
        let stated = self.stated_value(node)?;
        let name = &node.name.text;
        let sets = self.sets.get(name.as_str()).cloned().unwrap_or_default();
        self.with_sets(name, stated, sets.into_iter().filter(|set| set.property.is_none()))
    }

    /// The value of a `let` or of an argument as it stands there.
    fn stated_value(&mut self, node: &LetNode) -> Result<Toleranced, Told> {
        let Some((value, tolerance)) = &node.value else { return Err(self.sink.already_told()) };
        let quantity = self.scope.constant(value, None, self.sink)?;
        let tolerance = tolerance.as_ref();
        let tolerance = self.scope.stated_tolerance(value, tolerance, quantity.dimension, None, self.sink)?;
        Ok((quantity, tolerance))
    }

    /// The value that the last of the settings gives, which must have the dimension of the stated one; its tolerance is the last
    /// that is given.
    fn with_sets(
        &mut self,
        name: &str,
        stated: Toleranced,
        sets: impl Iterator<Item = &'a SetNode>,
    ) -> Result<Toleranced, Told> {
        let (name, (mut quantity, mut tolerance)) = (format!("`{name}`"), stated);
        for set in sets {
            let Some(value) = &set.value else { return Err(self.sink.already_told()) };
            let (value, own) = set_let(&self.scope, &name, quantity.dimension, value, self.sink)?;
            (quantity, tolerance) = (value, own.or_else(|| kept(tolerance)));
        }
        Ok((quantity, tolerance))
    }

    fn part(&mut self, node: &'a PartNode) -> Option<Part> {
        let kind = node.kind?;
        let table = kind.table();
        let name = &node.name.text;
        let mut values: BTreeMap<String, StatedValue> = BTreeMap::new();
        for stated in &node.properties {
            let Some(property) = table.property(&stated.name.text) else { continue };
            let span =
                stated.value.as_ref().map_or(stated.name.span, |value| stated.name.span.to(value.span));
            if let Some(first) = values.get(property.name) {
                if stated.value.is_none() {
                    continue;
                }
                self.sink.push(
                    Mistake::new(
                        "stated_twice",
                        span,
                        format!("`{}` of `{name}` is stated twice", property.name),
                    )
                    .label("leave one of them out")
                    .also(first.span, "stated here first"),
                );
                continue;
            }
            let value = stated.value.as_ref();
            let value = value
                .and_then(|value| self.scope.property_value(table, property, name, value, self.sink).ok());
            values.insert(property.name.to_owned(), StatedValue { value, span });
        }
        // What sets a value stands outside the assembly.
        let inside = self.scope.inside.take();
        for set in self.sets.get(name.as_str()).into_iter().flatten() {
            let Some(property) = set.property.as_ref().and_then(|word| table.property(&word.text)) else {
                continue;
            };
            let value = set.value.as_ref();
            let value = value
                .and_then(|value| self.scope.property_value(table, property, name, value, self.sink).ok());
            let old = values.get(property.name).and_then(|stated| stated.value.as_ref());
            let value = value.map(|value| with_old_tolerance(value, old));
            values.insert(property.name.to_owned(), StatedValue { value, span: set.span });
        }
        self.scope.inside = inside;
        Stated { name, span: node.name.span, table, values: &values }.check(self.sink);
        Some(Part {
            name: name.clone(),
            kind,
            left: node.left.as_ref()?.text.clone(),
            right: node.right.as_ref()?.text.clone(),
            second: match &node.second {
                Some(pair) => Some((pair.0.as_ref()?.text.clone(), pair.1.as_ref()?.text.clone())),
                None => None,
            },
            properties: values.into_iter().filter_map(|(name, stated)| Some((name, stated.value?))).collect(),
        })
    }

    fn transients(&mut self) -> Vec<Option<Transient>> {
        let program = self.program;
        program.file.transients.iter().map(|node| self.transient(node)).collect()
    }

    fn transient(&mut self, node: &TransientNode) -> Option<Transient> {
        let span = node.span.as_ref().map(|each| self.positive_time(each, "the span", "ms"));
        let record =
            node.record.as_ref().map(|each| self.positive_time(each, "the spacing of records", "us"));
        Some(Transient {
            name: node.name.as_ref().map(|name| name.text.clone()),
            span: span?.ok()?,
            start: node.start?,
            record: record.transpose().ok()?,
        })
    }

    fn positive_time(&mut self, node: &Node, what: &str, usual: &str) -> Result<f64, Told> {
        let value = self.scope.dimensioned(node, what, Wanted::new(Dimension::TIME, usual), self.sink)?.value;
        if value > 0.0 {
            return Ok(value);
        }
        Err(self.sink.push(
            Mistake::new("out_of_range", node.span, format!("{what} must be above 0 s"))
                .label("expected a time above 0 s"),
        ))
    }

    fn testpoints(&mut self) -> Vec<Testpoint> {
        let mut testpoints = Vec::new();
        for (node, signal) in self.program.file.testpoints.iter().zip(&self.program.signals) {
            let bandwidth = node.bandwidth.as_ref().map(|each| self.bandwidth(each));
            let name = &node.name.text;
            let testpoint = signal.clone().map(|signal| Testpoint {
                name: name.clone(),
                signal,
                bandwidth: bandwidth.and_then(Result::ok),
            });
            self.scope.testpoints.entry(name).or_insert(testpoint.as_ref().map(Testpoint::dimension));
            testpoints.extend(testpoint);
        }
        testpoints
    }

    fn bandwidth(&mut self, node: &Node) -> Result<f64, Told> {
        let wanted = Wanted::new(Dimension::FREQUENCY, "MHz");
        let value = self.scope.dimensioned(node, "the bandwidth", wanted, self.sink)?.value;
        if value > 0.0 {
            return Ok(value);
        }
        Err(self.sink.push(
            Mistake::new("out_of_range", node.span, "the bandwidth must be above 0 Hz")
                .label("expected a frequency above 0 Hz"),
        ))
    }
}

/// What the sweeps set at the point, each its own value.
fn swept(program: &Program, chosen: &[usize], draws: &Draws) -> Vec<SetNode> {
    let nodes = program.file.axes().zip(&program.axes).zip(chosen);
    let sets = nodes.filter_map(|((node, axis), point)| {
        let sweep = node.sweep.as_ref()?;
        let mut quantity = *axis.values.get(*point)?;
        if let Some(value) = draws.swept.get(&axis.name) {
            quantity.value = *value;
        }
        let span = sweep.points.as_ref()?.span(*point);
        let kind = ValueKind::Expression(Node { kind: NodeKind::Known(quantity), span }, None);
        Some(SetNode { value: Some(ValueNode { kind, span }), ..sweep.target.clone() })
    });
    sets.collect()
}

/// A unit that limits of a dimension usually have.
pub(crate) fn usual_unit(dimension: Dimension) -> String {
    match dimension {
        Dimension::NONE => "%".to_owned(),
        Dimension::TIME => "ms".to_owned(),
        other => quantity::unit_symbol(other),
    }
}

pub(crate) fn set_let(
    scope: &Scope<'_>,
    name: &str,
    dimension: Dimension,
    value: &ValueNode,
    sink: &mut Sink,
) -> Result<Toleranced, Told> {
    let ValueKind::Expression(node, tolerance) = &value.kind else {
        return Err(sink.push(
            Mistake::new("wrong_shape", value.span, format!("{name} is one value"))
                .label(format!("expected one value in {}", in_words(dimension))),
        ));
    };
    let usual = usual_unit(dimension);
    let wanted = Wanted::new(dimension, &usual);
    let quantity = scope.dimensioned(node, name, wanted, sink)?;
    let tolerance = scope.stated_tolerance(node, tolerance.as_ref(), dimension, Some(wanted), sink)?;
    Ok((quantity, tolerance))
}

/// What is left of a tolerance where a value is set without one: a value that was unknown is known then.
fn kept(tolerance: Option<Tolerance>) -> Option<Tolerance> {
    tolerance.filter(|tolerance| !matches!(tolerance, Tolerance::Between(..)))
}

/// `set` keeps the old tolerance unless it gives a new one.
fn with_old_tolerance(value: Value, old: Option<&Value>) -> Value {
    match (value, old) {
        (Value::Number(quantity, None), Some(Value::Number(_, tolerance))) => {
            Value::Number(quantity, kept(*tolerance))
        }
        (value, _) => value,
    }
}
