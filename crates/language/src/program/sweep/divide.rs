//! Dividing a range into points.

use super::MOST_POINTS;
use crate::mistake::{Mistake, Sink, Told};
use crate::source::Span;
use quantity::{Dimension, Quantity, Series, engineering};

/// An end that a whole number of steps misses by less than this fraction of the way is hit.
const HIT: f64 = 1e-9;

/// A range in SI units, with the places of what says it.
pub(super) struct Range {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) dimension: Dimension,
    pub(super) span: Span,
    /// Place of the step, the count or the series.
    pub(super) by_span: Span,
}

/// How it is divided.
#[derive(Clone, Copy)]
pub(super) enum By {
    Step(f64),
    Steps(f64),
    Log(f64),
    Series(Series),
}

impl Range {
    /// The points from the first end to the second, which is met exactly where it is hit.
    pub(super) fn divided(&self, by: By, sink: &mut Sink) -> Result<Vec<f64>, Told> {
        if self.from == self.to {
            return Err(sink.push(
                Mistake::new("wrong_range", self.span, "a sweep goes from one value to another")
                    .label("expected two different ends"),
            ));
        }
        match by {
            By::Step(step) => self.stepped(step, sink),
            By::Steps(steps) => {
                self.allow(steps + 1.0, sink)?;
                Ok(self.evenly(steps))
            }
            By::Log(density) => self.logarithmic(density, sink),
            By::Series(series) => self.preferred(series, sink),
        }
    }

    fn stepped(&self, step: f64, sink: &mut Sink) -> Result<Vec<f64>, Told> {
        let way = self.to - self.from;
        if step == 0.0 || (step > 0.0) != (way > 0.0) {
            let message = if step == 0.0 {
                "a step of 0 leads nowhere".to_owned()
            } else {
                format!("this step leads away from {}", self.shown(self.to))
            };
            let expected = if way > 0.0 { "expected a step above 0" } else { "expected a step below 0" };
            return Err(sink.push(Mistake::new("wrong_step", self.by_span, message).label(expected)));
        }
        // A percentage written without its sign.
        if self.dimension.is_none()
            && way.abs() <= 1.0
            && step.abs() >= 1.0
            && step.abs() / 100.0 <= way.abs()
        {
            let message = format!("a step of {} is larger than the whole range", self.shown(step));
            let mistake = Mistake::new("wrong_step", self.by_span, message)
                .label(format!("expected at most {}", self.shown(way)))
                .help(format!("try step {step} %"));
            return Err(sink.push(mistake));
        }
        let steps = way / step;
        let nearest = steps.round();
        let hit = nearest >= 1.0 && (steps - nearest).abs() <= HIT * nearest;
        let whole = if hit { nearest } else { steps.floor() };
        self.allow(whole + 1.0, sink)?;
        if hit {
            return Ok(self.evenly(whole));
        }
        let tidy = self.tidy();
        let next = (1..=whole as usize).map(|at| tidy(self.from + at as f64 * step));
        Ok(std::iter::once(self.from).chain(next).collect())
    }

    /// Points at equal distances, both ends exact.
    fn evenly(&self, steps: f64) -> Vec<f64> {
        let tidy = self.tidy();
        let inner =
            (1..steps as usize).map(|at| tidy(self.from + (self.to - self.from) * (at as f64 / steps)));
        std::iter::once(self.from).chain(inner).chain(std::iter::once(self.to)).collect()
    }

    /// `density` a decade: round(density x decades) + 1 points, both ends exact.
    fn logarithmic(&self, density: f64, sink: &mut Sink) -> Result<Vec<f64>, Told> {
        self.above_zero("a logarithmic sweep", sink)?;
        let ratio = self.to / self.from;
        let steps = (density * ratio.log10().abs()).round().max(1.0);
        self.allow(steps + 1.0, sink)?;
        let inner = (1..steps as usize).map(|at| rounded(self.from * ratio.powf(at as f64 / steps)));
        Ok(std::iter::once(self.from).chain(inner).chain(std::iter::once(self.to)).collect())
    }

    fn preferred(&self, series: Series, sink: &mut Sink) -> Result<Vec<f64>, Told> {
        self.above_zero("a series", sink)?;
        let (low, high) = (self.from.min(self.to), self.from.max(self.to));
        let mut values: Vec<f64> = series.between(low, high).collect();
        if values.is_empty() {
            let message = format!(
                "no value of {} lies from {} to {}",
                series.name(),
                self.shown(low),
                self.shown(high)
            );
            return Err(sink.push(
                Mistake::new("empty_sweep", self.span, message).label("expected a range that holds one"),
            ));
        }
        if self.to < self.from {
            values.reverse();
        }
        Ok(values)
    }

    fn above_zero(&self, what: &str, sink: &mut Sink) -> Result<(), Told> {
        if self.from > 0.0 && self.to > 0.0 {
            return Ok(());
        }
        Err(sink.push(
            Mistake::new("out_of_range", self.span, format!("both ends of {what} are above 0"))
                .label("expected ends above 0"),
        ))
    }

    fn allow(&self, points: f64, sink: &mut Sink) -> Result<(), Told> {
        if points <= MOST_POINTS {
            return Ok(());
        }
        Err(sink.push(
            Mistake::new("too_many_points", self.by_span, format!("these are {points} points"))
                .label(format!("expected at most {MOST_POINTS}")),
        ))
    }

    fn shown(&self, value: f64) -> String {
        engineering(Quantity::new(value, self.dimension), 4)
    }

    /// Rounds to the fifteenth decimal digit of the larger end, so that steps which are decimals give the decimals that one
    /// would write, 0.3 and not 0.30000000000000004: less than the rounding of a double's arithmetic moves them.
    fn tidy(&self) -> impl Fn(f64) -> f64 + use<> {
        let decimals = 14.0 - self.from.abs().max(self.to.abs()).log10().floor();
        move |value| {
            if !(0.0..=300.0).contains(&decimals) {
                return value;
            }
            // Adding zero takes the sign off a zero.
            format!("{value:.*}", decimals as usize).parse().map_or(value, |tidied: f64| tidied + 0.0)
        }
    }
}

/// Rounded to fifteen digits: a tenth power of ten is a power of ten then.
fn rounded(value: f64) -> f64 {
    format!("{value:.14e}").parse().unwrap_or(value)
}
