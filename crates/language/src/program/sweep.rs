//! The points of sweeps: worked out once, from what holds at every study point.

mod divide;
mod print;
mod target;

use self::target::Target;
use super::sets::{check_target, key};
use crate::description::Axis;
use crate::mistake::{Mistake, Sink, Told};
use crate::names::{Names, Site};
use crate::parser::shown;
use crate::point::{set_let, usual_unit};
use crate::scope::{Scope, Wanted};
use crate::source::Span;
use crate::syntax::{Division, File, LetNode, Node, SweepNode, SweepPoints, ValueKind};
use quantity::{Dimension, Quantity, Series};
use rustc_hash::{FxHashMap as HashMap, FxHashSet as HashSet};

/// Most points of one sweep; a study of so many is never run at once, but some of them can be picked.
const MOST_POINTS: f64 = 1e6;

/// What sweeps need to know of their file.
pub(super) struct Sweeps<'a> {
    file: &'a File,
    names: &'a Names,
    /// With the lets that hold at every study point.
    scope: Scope<'a>,
    /// Lets that differ from point to point.
    varying: HashSet<&'a str>,
}

impl<'a> Sweeps<'a> {
    pub(super) fn new(file: &'a File, names: &'a Names) -> Self {
        let scope = Scope {
            file,
            names,
            inside: None,
            instances: Vec::new(),
            lets: HashMap::default(),
            testpoints: HashMap::default(),
            readings: HashMap::default(),
        };
        let mut sweeps = Self { file, names, scope, varying: HashSet::default() };
        if file.axes().any(|axis| axis.sweep.is_some()) {
            sweeps.find_varying();
            sweeps.know_lets();
        }
        sweeps
    }

    fn find_varying(&mut self) {
        let options = self.file.axes().flat_map(|axis| &axis.options).flat_map(|option| &option.sets);
        let sweeps = self.file.axes().filter_map(|axis| Some(&axis.sweep.as_ref()?.target));
        let set: HashSet<&str> = options
            .chain(sweeps)
            .filter(|set| set.property.is_none())
            .map(|set| set.target.text.as_str())
            .collect();
        for node in &self.file.lets {
            let name = node.name.text.as_str();
            if self.setting((name, None)).is_some() {
                continue;
            }
            let values = node.value.iter().map(|(value, _)| value);
            let mut mentioned = values.flat_map(Node::names).map(|(name, _)| name);
            if set.contains(name) || mentioned.any(|name| self.varying.contains(name)) {
                self.varying.insert(name);
            }
        }
    }

    /// What is wrong with a let is told where study points are looked at.
    fn know_lets(&mut self) {
        let mut unheard = Sink::default();
        for node in &self.file.lets {
            let value = self.let_value(node, &mut unheard).ok();
            self.scope.lets.entry(&node.name.text).or_insert(value);
        }
    }

    fn let_value(&self, node: &LetNode, sink: &mut Sink) -> Result<Quantity, Told> {
        let Some((value, _)) = &node.value else { return Err(sink.already_told()) };
        let stated = self.scope.constant(value, None, sink)?;
        let name = node.name.text.as_str();
        match self.setting((name, None)) {
            Some(value) => Ok(set_let(&self.scope, name, stated.dimension, value, sink)?.0),
            None => Ok(stated),
        }
    }

    /// The value that the command line gives to a target.
    fn setting(&self, target: (&str, Option<&str>)) -> Option<&'a crate::syntax::ValueNode> {
        let fitting = self.file.settings.iter().rev().find(|set| key(set) == target);
        fitting.and_then(|set| set.value.as_ref())
    }

    /// Names and values of the points; none where they are wrong, which is told.
    pub(super) fn points(
        &mut self,
        axis: usize,
        sweep: &SweepNode,
        sink: &mut Sink,
    ) -> (Vec<String>, Vec<Quantity>) {
        self.told_points(axis, sweep, sink).unwrap_or_default()
    }

    fn told_points(
        &self,
        axis: usize,
        sweep: &SweepNode,
        sink: &mut Sink,
    ) -> Result<(Vec<String>, Vec<Quantity>), Told> {
        let told = sink.count();
        check_target(&sweep.target, Site::Option { axis, option: 0 }, self.file, self.names, sink);
        if sink.count() > told {
            return Err(sink.already_told());
        }
        let target = self.target(sweep, sink)?;
        let Some(points) = &sweep.points else { return Err(sink.already_told()) };
        let values = match self.setting(key(&sweep.target)) {
            // `--set` beats `sweep`: the axis stays, with that one value.
            Some(value) => match &value.kind {
                ValueKind::Expression(node, _) => vec![self.value(node, &target, sink)?],
                _ => return Err(sink.already_told()),
            },
            None => self.values(points, &target, sink)?,
        };
        let style = print::Style::of(points, target.percent, &values);
        match style.names(&values) {
            Some(names) => Ok((names, values)),
            None => Err(sink.push(
                Mistake::new(
                    "points_too_close",
                    points.span(usize::MAX),
                    "some of these values are so close that they are one",
                )
                .label("expected values that differ"),
            )),
        }
    }

    /// A value that holds at every study point.
    fn value(&self, node: &Node, target: &Target, sink: &mut Sink) -> Result<Quantity, Told> {
        self.settled(node, sink)?;
        match &target.wanted {
            Some((dimension, usual)) => {
                self.scope.dimensioned(node, &target.what, Wanted::new(*dimension, usual), sink)
            }
            None => self.scope.constant(node, None, sink),
        }
    }

    /// Tells what a sweep's values can't depend on.
    fn settled(&self, node: &Node, sink: &mut Sink) -> Result<(), Told> {
        let names = node.names();
        let Some((name, span)) = names.iter().find(|(name, _)| self.varying.contains(name)) else {
            return Ok(());
        };
        Err(sink.push(
            Mistake::new(
                "varying_sweep",
                *span,
                format!("`{name}` differs from point to point, and a sweep's values must not"),
            )
            .label("set or swept by an axis")
            .help("state the value itself, or name it by a `let` that no axis changes"),
        ))
    }

    fn values(&self, points: &SweepPoints, target: &Target, sink: &mut Sink) -> Result<Vec<Quantity>, Told> {
        let (first, rest) = match points {
            SweepPoints::List(entries, span) => match entries.split_first() {
                Some((first, rest)) => (first, rest.iter().collect()),
                None => {
                    return Err(sink.push(
                        Mistake::new("empty_list", *span, "this list of swept values is empty")
                            .label("expected at least one value"),
                    ));
                }
            },
            SweepPoints::Range(ends, _) => (&ends.0, vec![&ends.1]),
        };
        let first_value = self.value(first, target, sink);
        // Where the target does not tell, the first value does.
        let by_first = first_value.as_ref().ok().filter(|_| target.wanted.is_none());
        let wanted = by_first.map(|value| (value.dimension, usual_unit(value.dimension)));
        let target =
            &Target { what: target.what.clone(), wanted: target.wanted.clone().or(wanted), percent: false };
        let others: Vec<_> = rest.iter().map(|node| self.value(node, target, sink)).collect();
        match points {
            SweepPoints::List(entries, _) => {
                let mut values = vec![first_value?];
                values.extend(others.into_iter().collect::<Result<Vec<_>, _>>()?);
                tell_repeated_values(&values, entries, sink)?;
                Ok(values)
            }
            SweepPoints::Range(_, division) => {
                let span = points.span(0);
                let to = others.into_iter().next().unwrap_or(first_value);
                let divided = self.divided((first_value, to, span), division, target, sink)?;
                Ok(divided)
            }
        }
    }

    fn divided(
        &self,
        (from, to, span): (Result<Quantity, Told>, Result<Quantity, Told>, Span),
        division: &Division,
        target: &Target,
        sink: &mut Sink,
    ) -> Result<Vec<Quantity>, Told> {
        let by = match division {
            Division::Step(node) => {
                self.step(node, target, sink).map(|step| (divide::By::Step(step), node.span))
            }
            Division::Steps(node) => {
                self.count(node, "`steps`", sink).map(|count| (divide::By::Steps(count), node.span))
            }
            Division::Log(node) => {
                self.count(node, "`log`", sink).map(|count| (divide::By::Log(count), node.span))
            }
            Division::Series(word) => match Series::named(&word.text) {
                Some(series) => Ok((divide::By::Series(series), word.span)),
                None => Err(sink.push(
                    Mistake::new(
                        "unknown_series",
                        word.span,
                        format!("there is no series `{}`", shown(&word.text)),
                    )
                    .label("expected E3, E6, E12, E24, E48, E96 or E192"),
                )),
            },
        };
        let (from, to, (by, by_span)) = (from?, to?, by?);
        let range =
            divide::Range { from: from.value, to: to.value, dimension: from.dimension, span, by_span };
        let values = range.divided(by, sink)?;
        Ok(values.into_iter().map(|value| Quantity::new(value, from.dimension)).collect())
    }

    fn step(&self, node: &Node, target: &Target, sink: &mut Sink) -> Result<f64, Told> {
        // 5 degC as a difference would be 278 K.
        if node.mentions_unit("degC") {
            return Err(sink.push(
                Mistake::new("wrong_step", node.span, "a step between temperatures is in kelvin")
                    .label("expected kelvin")
                    .help("write `step 5 K`"),
            ));
        }
        let what = Target { what: "the step".to_owned(), wanted: target.wanted.clone(), percent: false };
        Ok(self.value(node, &what, sink)?.value)
    }

    fn count(&self, node: &Node, what: &str, sink: &mut Sink) -> Result<f64, Told> {
        let plain =
            Target { what: what.to_owned(), wanted: Some((Dimension::NONE, String::new())), percent: false };
        let value = self.value(node, &plain, sink)?.value;
        if value.fract() == 0.0 && value >= 1.0 {
            return Ok(value);
        }
        let message = format!("{what} must be a whole number from 1");
        Err(sink.push(Mistake::new("not_a_count", node.span, message).label("expected 1, 2, 3 and so on")))
    }
}

/// Tells the first value of a list that stands in it twice.
fn tell_repeated_values(values: &[Quantity], entries: &[Node], sink: &mut Sink) -> Result<(), Told> {
    let mut seen: HashMap<u64, usize> = HashMap::default();
    for (at, value) in values.iter().enumerate() {
        // Adding zero makes one of both zeros.
        let first = *seen.entry((value.value + 0.0).to_bits()).or_insert(at);
        if first != at {
            return Err(sink.push(
                Mistake::new("listed_twice", entries[at].span, "this value is in the list already")
                    .label("expected another value")
                    .also(entries[first].span, "the first one"),
            ));
        }
    }
    Ok(())
}

/// Points of a sweep that are looked at when its file is read, where the product of the axes is too large: both ends, and
/// some between. What a range makes wrong shows at an end.
pub(crate) fn sample(axis: &Axis) -> Vec<usize> {
    const MOST: usize = 50;
    let count = axis.points.len();
    if axis.values.is_empty() || count <= MOST {
        return (0..count).collect();
    }
    (0..MOST).map(|at| at * (count - 1) / (MOST - 1)).collect()
}
