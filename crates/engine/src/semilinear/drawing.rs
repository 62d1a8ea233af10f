//! Handing a step's waveforms on.

use super::reference::Reference;
use super::step::Step;
use super::walk::{Leg, Point, Semilinear};
use crate::exact::{Forcing, Inside};
use crate::observe::Stretch;
use crate::sink::Sink;
use nalgebra::DVector;

/// What became of a step's waveforms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Drawn {
    Well,
    /// Well enough, but a load has left its line.
    OffLine,
    /// The step is too long for them.
    Badly,
}

impl<'e, 'n> Semilinear<'_, 'e, 'n> {
    /// Hands the waveforms of a step on, where parabolas through its start, middle and end meet its quarter and all loads keep to their
    /// lines. Laws do not jump, so that the finest step, far below every time constant, may end beyond a knee.
    pub(super) fn draw(
        &mut self,
        reference: &Reference<'e, 'n>,
        leg: &Leg,
        from: &Point,
        step: &Step,
        finest: bool,
        sink: &mut Option<Sink<'_, '_, '_>>,
    ) -> Drawn {
        let sink = sink.as_mut().filter(|sink| leg.start + step.end.at > sink.from);
        if sink.is_none() && (!self.watchful || self.base.equations.loads.is_empty()) {
            return Drawn::Well;
        }
        let rows =
            [from, &step.quarter, &step.middle, &step.end].map(|point| self.rows(reference, leg, point));
        let on_lines = rows[1..].iter().all(|rows| self.on_lines(reference, leg, rows));
        if !on_lines && !finest {
            return Drawn::Badly;
        }
        let drawn = if on_lines { Drawn::Well } else { Drawn::OffLine };
        let Some(sink) = sink else { return drawn };
        let count = reference.reduced.made.len();
        let mut values = Vec::with_capacity(count);
        let mut all_allowed = Vec::with_capacity(count);
        let mut fits = true;
        for index in 0..count {
            let [start, quarter, middle, end] =
                rows.each_ref().map(|rows| reference.reduced.probe(index, rows));
            let (low, high) = &mut self.shown[index];
            *low = low.min(start).min(middle).min(end);
            *high = high.max(start).max(middle).max(end);
            let allowed = (self.tolerances.drawing * (*high - *low)).max(self.rounding[index]);
            let expected = 0.375 * start + 0.75 * middle - 0.125 * end;
            fits &= (quarter - expected).abs() <= allowed;
            values.push([start, middle, end]);
            all_allowed.push(allowed);
        }
        if !fits && !finest {
            let drawn = self.draw_inside(reference, leg, from, step, &rows, &all_allowed, sink);
            return if drawn { Drawn::Well } else { Drawn::Badly };
        }
        let length = leg.end - leg.start;
        let time = |at: f64| if at >= length * (1.0 - 1e-12) { leg.end } else { leg.start + at };
        let stretch = Stretch { start: time(from.at), end: time(step.end.at), values: &values };
        sink.filters.pass(&stretch, sink.observer);
        drawn
    }

    /// Hands the waveforms of a step on in parabolas of their own lengths, the bent rest taken as the parabola that the step took it
    /// for. False where that is not close enough, and nothing has been handed on.
    #[expect(clippy::too_many_arguments, reason = "what is known of one step")]
    fn draw_inside(
        &self,
        reference: &Reference<'e, 'n>,
        leg: &Leg,
        from: &Point,
        step: &Step,
        rows: &[DVector<f64>; 4],
        allowed: &[f64],
        sink: &mut Sink<'_, '_, '_>,
    ) -> bool {
        let Some(signals) = reference.signals() else { return false };
        let rest = Self::rest(&self.bent, reference);
        let [first, half, last] = [&from.x, &step.middle.x, &step.end.x].map(|x| rest.value(x));
        let length = step.end.at - from.at;
        let rate = (&half * 4.0 - &first * 3.0 - &last) / length;
        let growth = (first + last - half * 2.0) * (4.0 / (length * length));
        let sources = &leg.sources + &leg.slopes * from.at;
        let forcing = Forcing { sources: &sources, slopes: &leg.slopes, rest: &rate, growth: &growth };
        let mut inside = Inside::new(signals, &reference.reduced, &from.y, &forcing, length);
        let times = [0.0, step.quarter.at - from.at, step.middle.at - from.at, length];
        let meets = times.into_iter().zip(rows).all(|(time, rows)| {
            let expected: Vec<f64> = signals.rows.iter().map(|row| rows[*row]).collect();
            inside.meets(time, &expected, allowed)
        });
        if !meets || !inside.keeps(&reference.bounded_ranges()) {
            return false;
        }
        let whole = leg.end - leg.start;
        let time = |at: f64| if at >= whole * (1.0 - 1e-12) { leg.end } else { leg.start + at };
        inside.draw(allowed, |start, end, values| {
            let stretch = Stretch { start: time(from.at + start), end: time(from.at + end), values };
            if stretch.end > stretch.start {
                sink.filters.pass(&stretch, sink.observer);
            }
        });
        true
    }

    /// All rows at a point: the linear network's, and what the rate of the bent rest adds.
    pub(super) fn rows(&self, reference: &Reference<'e, 'n>, leg: &Leg, point: &Point) -> DVector<f64> {
        let reduced = &reference.reduced;
        let sources = &leg.sources + &leg.slopes * point.at;
        let mut slope = &reduced.a * &point.y;
        slope.gemv(1.0, &reduced.b, &sources, 1.0);
        slope.gemv(1.0, &reduced.e, &leg.slopes, 1.0);
        let mut rate = &reduced.ports.state * slope;
        rate.gemv(1.0, &reduced.ports.sources, &leg.slopes, 1.0);
        let bend = Self::rest(&self.bent, reference).slope(&point.x);
        // x' = K (A y + b + N F' x') + K_u u'
        let mut matrix = -&reference.shift;
        for (mut column, bend) in matrix.column_iter_mut().zip(bend.iter()) {
            column *= *bend;
        }
        for k in 0..rate.len() {
            matrix[(k, k)] += 1.0;
        }
        let rate = matrix.lu().solve(&rate).unwrap_or(rate);
        let mut rows = reduced.values(&point.y, &sources, &leg.slopes);
        rows.gemv(1.0, &reduced.rows.excess, &bend.component_mul(&rate), 1.0);
        rows
    }
}
