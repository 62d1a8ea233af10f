//! Readings and requirements of one study point.

use super::{Resolver, usual_unit};
use crate::description::{Expression, Reading, Requirement, Transient};
use crate::mistake::{Mistake, Told, nearest};
use crate::parser::shown;
use crate::scope::{Speaks, Wanted, is_reading, names_over_frequency};
use crate::syntax::{Narrowing, Node, NodeKind};
use quantity::{Dimension, Quantity, engineering};

/// Transient and window of time that a reading is narrowed to.
type Narrowed = (Option<String>, Option<(f64, f64)>);

impl Resolver<'_, '_> {
    pub(super) fn readings(&mut self, transients: &[Option<Transient>]) -> Vec<Reading> {
        let mut readings = Vec::new();
        for node in &self.program.file.readings {
            let name = &node.name.text;
            let reading = node
                .expression
                .as_ref()
                .and_then(|expression| self.reading(name, expression, &node.narrowing, transients).ok());
            if reading.as_ref().is_some_and(|reading| self.is_over_frequency(&reading.expression)) {
                self.over_frequency.insert(name.clone());
            }
            self.scope.readings.entry(name).or_insert(reading.as_ref().map(|reading| reading.dimension));
            readings.extend(reading);
        }
        readings
    }

    fn reading(
        &mut self,
        name: &str,
        expression: &Node,
        narrowing: &Narrowing,
        transients: &[Option<Transient>],
    ) -> Result<Reading, Told> {
        let typed = self.scope.typed(expression, None, Speaks::OfWaveforms, self.sink);
        let transient = self.narrowed(narrowing, transients);
        let over_frequency = match &typed {
            Ok(typed) => self.is_over_frequency(&typed.expression),
            Err(_) => names_over_frequency(expression),
        };
        if over_frequency && let Some(span) = narrowing.span() {
            self.sink.push(
                Mistake::new("not_in_time", span, "this is not read from a run in time")
                    .label("leave this out")
                    .help("a band of frequencies goes into the parentheses"),
            );
        }
        if transients.is_empty() && !over_frequency {
            self.sink.push(
                Mistake::new("no_transient", expression.span, "there is no `transient` to read this from")
                    .label("needs a run in time")
                    .help("add `transient NAME span 1 ms, start steady`"),
            );
        }
        let typed = typed?;
        let (transient, window) = transient?;
        Ok(Reading {
            name: name.to_owned(),
            expression: typed.expression,
            dimension: typed.dimension,
            transient,
            window,
        })
    }

    /// Whether an expression reads something over frequency, and nothing in time.
    fn is_over_frequency(&self, expression: &Expression) -> bool {
        let mut leaves = Vec::new();
        expression.leaves(&mut leaves);
        let in_time = |leaf: &&Expression| match leaf {
            Expression::Measure(measure) => measure.in_time(),
            Expression::Reading(name) => !self.over_frequency.contains(name),
            _ => false,
        };
        let constant = |leaf: &&Expression| matches!(leaf, Expression::Number(_));
        !leaves.iter().any(in_time) && !leaves.iter().all(constant)
    }

    fn narrowed(
        &mut self,
        narrowing: &Narrowing,
        transients: &[Option<Transient>],
    ) -> Result<Narrowed, Told> {
        let mut read = transients.first().and_then(Option::as_ref);
        let name = match &narrowing.transient {
            None => None,
            Some(word) => {
                let named = self
                    .program
                    .file
                    .transients
                    .iter()
                    .position(|node| node.name.as_ref().is_some_and(|name| name.text == word.text));
                let Some(index) = named else {
                    let names = self.program.file.transients.iter().filter_map(|node| node.name.as_ref());
                    return Err(self.sink.push(
                        Mistake::new(
                            "unknown_transient",
                            word.span,
                            format!("there is no transient `{}`", shown(&word.text)),
                        )
                        .label("expected a transient's name")
                        .near(nearest(&word.text, names.map(|name| name.text.as_str()))),
                    ));
                };
                read = transients[index].as_ref();
                Some(word.text.clone())
            }
        };
        let window = match &narrowing.window {
            None => None,
            Some((from, to)) => Some(self.window(from, to, read)?),
        };
        Ok((name, window))
    }

    fn window(&mut self, from: &Node, to: &Node, transient: Option<&Transient>) -> Result<(f64, f64), Told> {
        let wanted = Wanted::new(Dimension::TIME, "ms");
        let start = self.scope.dimensioned(from, "a time", wanted, self.sink);
        let end = self.scope.dimensioned(to, "a time", wanted, self.sink);
        let (start, end) = (start?.value, end?.value);
        let span = from.span.to(to.span);
        if start < 0.0 || end <= start {
            return Err(self.sink.push(
                Mistake::new("wrong_range", span, "a window of time rises, from 0 s on")
                    .label("expected the earlier time first"),
            ));
        }
        match transient {
            Some(transient) if end > transient.span => {
                let length = engineering(Quantity::new(transient.span, Dimension::TIME), 4);
                Err(self.sink.push(
                    Mistake::new(
                        "window_beyond_span",
                        to.span,
                        format!("the transient ends before this, at {length}"),
                    )
                    .label(format!("expected {length} at most")),
                ))
            }
            _ => Ok((start, end)),
        }
    }

    pub(super) fn requirements(&mut self, transients: &[Option<Transient>]) -> Vec<Requirement> {
        let mut requirements = Vec::new();
        for node in &self.program.file.requirements {
            let reading = self.reading(&node.text, &node.expression, &node.narrowing, transients);
            let limit = match &reading {
                _ if is_reading_of_limit(&node.limit) => Err(self.tell_turned_round(&node.limit)),
                Ok(reading) => {
                    let usual = usual_unit(reading.dimension);
                    let wanted = Wanted::limit(reading.dimension, &usual);
                    self.scope.dimensioned(&node.limit, &limit_of(&node.expression), wanted, self.sink)
                }
                Err(_) => self.scope.constant(&node.limit, None, self.sink),
            };
            let (Ok(reading), Ok(limit)) = (reading, limit) else { continue };
            requirements.push(Requirement {
                text: node.text.clone(),
                why: node.why.clone(),
                reading,
                comparison: node.comparison,
                limit,
            });
        }
        requirements
    }

    fn tell_turned_round(&mut self, limit: &Node) -> Told {
        self.sink.push(
            Mistake::new("reading_in_value", limit.span, "the reading stands on the left of a comparison")
                .label("expected a limit: a number with its unit")
                .help("turn it round: `require READING > LIMIT`"),
        )
    }
}

/// Whether the reading stands where the limit should, as in `9 V < minimum(rail)`.
fn is_reading_of_limit(limit: &Node) -> bool {
    matches!(&limit.kind, NodeKind::Call(word, _) if is_reading(&word.text))
}

/// What a limit is called in a sentence.
fn limit_of(expression: &Node) -> String {
    match &expression.kind {
        NodeKind::Name(name) => format!("the limit of `{}`", shown(name)),
        NodeKind::Call(word, _) => format!("the limit of `{}`", shown(&word.text)),
        _ => "the limit".to_owned(),
    }
}
