//! The frequencies and responses of one study point.

use super::Resolver;
use crate::description::Response;
use crate::mistake::{Mistake, Told};
use crate::scope::{Curves, Wanted, tell_taken};
use crate::source::Span;
use crate::syntax::{Frequencies, Node, Spacing};
use quantity::Dimension;
use rustc_hash::FxHashMap as HashMap;

/// Most frequencies in one file: far above what a picture shows.
const MOST_FREQUENCIES: f64 = 100_000.0;

impl Resolver<'_, '_> {
    /// Frequencies in hertz, as stated.
    pub(super) fn frequencies(&mut self) -> Vec<f64> {
        let Some(node) = self.program.file.frequencies.first() else { return Vec::new() };
        let found = match &node.frequencies {
            None => return Vec::new(),
            Some(Frequencies::List(entries, span)) => self.listed(entries, *span),
            Some(Frequencies::Range(spacing)) => self.spaced(spacing),
        };
        found.unwrap_or_default()
    }

    fn listed(&mut self, entries: &[Node], span: Span) -> Result<Vec<f64>, Told> {
        if entries.is_empty() {
            return Err(self.sink.push(
                Mistake::new("empty_list", span, "this list of frequencies is empty")
                    .label("expected at least one frequency"),
            ));
        }
        let found: Vec<_> = entries.iter().map(|entry| self.one_frequency(entry)).collect();
        found.into_iter().collect()
    }

    fn one_frequency(&mut self, node: &Node) -> Result<f64, Told> {
        let wanted = Wanted::new(Dimension::FREQUENCY, "kHz");
        let value = self.scope.dimensioned(node, "a frequency", wanted, self.sink)?.value;
        if value > 0.0 {
            return Ok(value);
        }
        Err(self.sink.push(
            Mistake::new("out_of_range", node.span, "a frequency must be above 0 Hz")
                .label("expected a frequency above 0 Hz"),
        ))
    }

    /// `points` a decade: round(N x decades) + 1 of them, both ends exact.
    fn spaced(&mut self, spacing: &Spacing) -> Result<Vec<f64>, Told> {
        let Spacing { low, high, points } = spacing;
        let (from, to) = (self.one_frequency(low), self.one_frequency(high));
        let density = self.points_a_decade(points);
        let (from, to, density) = (from?, to?, density?);
        if to <= from {
            return Err(self.sink.push(
                Mistake::new(
                    "wrong_range",
                    low.span.to(high.span),
                    "frequencies rise from the lower to the upper",
                )
                .label("expected the lower frequency first"),
            ));
        }
        let steps = (density * (to / from).log10()).round().max(1.0);
        if steps >= MOST_FREQUENCIES {
            return Err(self.sink.push(
                Mistake::new(
                    "too_many_points",
                    points.span,
                    format!("these are {} frequencies", steps + 1.0),
                )
                .label(format!("expected at most {MOST_FREQUENCIES} in all")),
            ));
        }
        let inner = (1..steps as usize).map(|k| from * (to / from).powf(k as f64 / steps));
        Ok(std::iter::once(from).chain(inner).chain(std::iter::once(to)).collect())
    }

    fn points_a_decade(&mut self, node: &Node) -> Result<f64, Told> {
        let wanted = Wanted::new(Dimension::NONE, "");
        let value = self.scope.dimensioned(node, "`points`", wanted, self.sink)?.value;
        if value.fract() == 0.0 && value >= 1.0 {
            return Ok(value);
        }
        Err(self.sink.push(
            Mistake::new("not_a_count", node.span, "`points` counts frequencies a decade: 1, 2, 3 and so on")
                .label("expected a whole number from 1"),
        ))
    }

    pub(super) fn responses(&mut self) -> Vec<Response> {
        let file = &self.program.file;
        let mut responses = Vec::new();
        let mut above: HashMap<&str, Option<Dimension>> = HashMap::default();
        for node in &file.responses {
            tell_taken(&node.name, &self.scope, self.sink);
            let curves = Curves { scope: &self.scope, file, above: &above };
            let expression = node.expression.as_ref();
            let typed = expression.and_then(|expression| curves.response(expression, self.sink).ok());
            if let Some(expression) = expression
                && file.frequencies.is_empty()
            {
                self.sink.push(
                    Mistake::new(
                        "no_frequency",
                        expression.span,
                        "there is no `frequency` to compute this at",
                    )
                    .label("needs frequencies")
                    .help("add `frequency 10 Hz .. 30 MHz, points 40`"),
                );
            }
            let name = &node.name.text;
            above.entry(name).or_insert(typed.as_ref().map(|typed| typed.dimension));
            responses.extend(typed.map(|typed| Response {
                name: name.clone(),
                expression: typed.expression,
                dimension: typed.dimension,
            }));
        }
        responses
    }
}
