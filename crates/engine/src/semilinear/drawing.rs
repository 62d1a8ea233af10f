//! Handing a step's waveforms on.

use super::pace::{Pace, along};
use super::reference::Reference;
use super::step::Step;
use super::walk::{Leg, Point, Semilinear};
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
    #[expect(clippy::too_many_arguments, reason = "what is known of one step")]
    pub(super) fn draw(
        &mut self,
        reference: &Reference<'e, 'n>,
        pace: &Pace,
        leg: &Leg,
        from: &Point,
        step: &Step,
        finest: bool,
        sink: Option<&mut Sink<'_, '_, '_>>,
    ) -> Drawn {
        let sink = sink.filter(|sink| leg.start + step.end.at > sink.from);
        if sink.is_none() && (!self.watchful || self.base.equations.loads.is_empty()) {
            return Drawn::Well;
        }
        let [quarter, middle] = self.inside(reference, pace, leg, from);
        let rows = [from, &quarter, &middle, &step.end].map(|point| self.rows(reference, leg, point));
        let on_lines = rows[1..].iter().all(|rows| self.on_lines(reference, leg, rows));
        if !on_lines && !finest {
            return Drawn::Badly;
        }
        let drawn = if on_lines { Drawn::Well } else { Drawn::OffLine };
        let Some(sink) = sink else { return drawn };
        let count = reference.reduced.made.len();
        let mut values = Vec::with_capacity(count);
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
        }
        if !fits && !finest {
            return Drawn::Badly;
        }
        let length = leg.end - leg.start;
        let time = |at: f64| if at >= length * (1.0 - 1e-12) { leg.end } else { leg.start + at };
        let stretch = Stretch { start: time(from.at), end: time(step.end.at), values: &values };
        sink.filters.pass(&stretch, sink.observer);
        drawn
    }

    /// All rows at a point: the linear network's, and what the rate of the bent rest adds.
    pub(super) fn rows(&self, reference: &Reference<'e, 'n>, leg: &Leg, point: &Point) -> DVector<f64> {
        let sources = &leg.sources + &leg.slopes * point.at;
        let (y, x) = (point.y.as_slice(), point.x.as_slice());
        let slopes = reference.port_slopes(y, sources.as_slice(), leg.slopes.as_slice());
        let mut rows = reference.reduced.values(&point.y, &sources, &leg.slopes);
        rows.gemv(1.0, &reference.reduced.rows.excess, &self.rate(reference, x, slopes), 1.0);
        rows
    }

    /// Voltages of the loads at a point.
    pub(super) fn load_voltages(&self, reference: &Reference<'e, 'n>, leg: &Leg, point: &Point) -> Vec<f64> {
        let sources = &leg.sources + &leg.slopes * point.at;
        let (y, x, slopes) = (point.y.as_slice(), point.x.as_slice(), leg.slopes.as_slice());
        let rate = self.rate(reference, x, reference.port_slopes(y, sources.as_slice(), slopes));
        let (rows, first) = (&reference.reduced.rows, reference.reduced.load_rows);
        let voltage = |row: usize| {
            along(&rows.state, row, y)
                + along(&rows.sources, row, sources.as_slice())
                + along(&rows.slopes, row, slopes)
                + along(&rows.excess, row, rate.as_slice())
        };
        (first..rows.state.nrows()).map(voltage).collect()
    }
}
