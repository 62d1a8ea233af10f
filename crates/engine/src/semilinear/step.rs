//! One step: where it leads, and how far the bent rest was from its parabola.

use super::collocation::{at_instant, over_step};
use super::pace::{Pace, Place};
use super::reference::Reference;
use super::walk::{LEAST_SWING, Leg, Point, ROUNDING, Semilinear};
use crate::exact::add_product;
use nalgebra::DVector;

/// What a cubic through the parabola's three values is off at the quarter for each unit that its slope is off at the end, s being 0 to 1
/// over the step: s (s - 1/2) (s - 1) is 3/64 at the quarter, its slope at the end 1/2.
const QUARTER_FOR_SLOPE: f64 = 3.0 / 32.0;

/// Room for the numbers of one step.
#[derive(Default)]
pub(super) struct Scratch {
    /// Linear part and sources at the start of the step.
    pub(super) xi: Vec<f64>,
    pub(super) sources: Vec<f64>,
    known: Vec<f64>,
    /// Port currents at the quarter, the middle and the end.
    pub(super) x: Vec<f64>,
    /// Rest at the start, the middle and the end.
    pub(super) rests: [Vec<f64>; 3],
    /// Rest at the quarter.
    quarter: Vec<f64>,
    /// How the rest changes with the current or voltage at the start, the quarter, the middle and the end.
    bends: [Vec<f64>; 4],
    /// Room for the rate of the rest at some place, and for how far rates are from those of the parabola.
    pub(super) rate: Vec<f64>,
    pub(super) offs: Vec<f64>,
    /// How far the rest at the quarter is from the parabola, or its slope at the end if that says more.
    defect: Vec<f64>,
    error: Vec<f64>,
}

/// What a step of collocation gave; what led there is left in the walk's scratch.
pub(super) struct Step {
    pub(super) end: Point,
    /// In units of what is allowed.
    pub(super) error: f64,
}

/// A place of a step where the rest is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum At {
    Start,
    Quarter,
    Middle,
    End,
}

impl Scratch {
    pub(super) fn rests(&self) -> [&[f64]; 3] {
        self.rests.each_ref().map(Vec::as_slice)
    }
}

impl<'e, 'n> Semilinear<'_, 'e, 'n> {
    /// One step of collocation.
    pub(super) fn attempt(
        &mut self,
        reference: &Reference<'e, 'n>,
        pace: &Pace,
        leg: &Leg,
        from: &Point,
    ) -> Option<Step> {
        let ports = from.x.len();
        let rest = Self::rest(&self.bent, reference);
        let reduced = &reference.reduced;
        let Scratch { xi, sources, known, x, rests, quarter, bends, defect, .. } = &mut self.scratch;
        sources.clear();
        sources
            .extend(leg.sources.iter().zip(leg.slopes.iter()).map(|(value, slope)| value + slope * from.at));
        let [first, half, last] = rests;
        for numbers in [&mut *first, &mut *half, &mut *last, &mut *quarter].into_iter().chain(&mut *bends) {
            numbers.resize(ports, 0.0);
        }
        let [bend_first, bend_quarter, bend_half, bend_last] = bends;
        defect.resize(ports, 0.0);
        x.resize(3 * ports, 0.0);
        for port in 0..ports {
            (first[port], bend_first[port]) = rest.both_at(port, from.x[port]);
        }
        xi.clear();
        xi.extend_from_slice(from.y.as_slice());
        subtract_product(&reduced.ports.drive, first, xi);
        let slopes = leg.slopes.as_slice();
        known.clear();
        for place in [&pace.middle, &pace.end] {
            let at_start = &place.value.of_rest[0];
            known.extend((0..ports).map(|port| {
                place.value.of(port, xi, sources, slopes) + super::pace::along(at_start, port, first)
            }));
        }
        let work = &mut self.work;
        let (x_quarter, x_later) = x.split_at_mut(ports);
        over_step(
            rest,
            [&pace.middle.value.of_rest, &pace.end.value.of_rest],
            &reference.shift,
            known,
            first,
            x_later,
            work,
        )?;
        let (x_middle, x_end) = x_later.split_at(ports);
        for port in 0..ports {
            (half[port], bend_half[port]) = rest.both_at(port, x_middle[port]);
            (last[port], bend_last[port]) = rest.both_at(port, x_end[port]);
        }
        let at = [first.as_slice(), half, last];
        known.clear();
        known.extend((0..ports).map(|port| {
            pace.quarter.value.of(port, xi, sources, slopes) + pace.quarter.value.of_rests(port, at)
        }));
        x_quarter.copy_from_slice(from.x.as_slice());
        at_instant(rest, &reference.shift, known, x_quarter, work)?;
        for port in 0..ports {
            let parabola = 0.375 * first[port] + 0.75 * half[port] - 0.125 * last[port];
            (quarter[port], bend_quarter[port]) = rest.both_at(port, x_quarter[port]);
            defect[port] = quarter[port] - parabola;
        }
        let mut y = DVector::from_column_slice(xi);
        let end = y.as_mut_slice();
        add_product(&pace.passage.change, xi, end);
        add_product(&pace.passage.of_sources, sources, end);
        add_product(&pace.passage.of_slopes, slopes, end);
        for (weight, rest) in pace.weights.iter().zip(at) {
            add_product(weight, rest, end);
        }
        add_product(&reduced.ports.drive, last, end);
        self.look_at_end(reference, pace, slopes);
        let Scratch { x, defect, error, .. } = &mut self.scratch;
        error.clear();
        error.resize(y.len(), 0.0);
        add_product(&pace.constant, defect, error);
        let x_end = &x[2 * ports..];
        let end = Point { at: from.at + pace.length, y, x: DVector::from_column_slice(x_end) };
        let error = self.error(&from.y, &end.y);
        Some(Step { end, error })
    }

    /// A rest that crosses its parabola at the quarter seems to lie on it; then its slope at the end parts from the parabola's.
    fn look_at_end(&mut self, reference: &Reference<'e, 'n>, pace: &Pace, slopes: &[f64]) {
        let mut rate = std::mem::take(&mut self.scratch.rate);
        self.rate_at(reference, pace, At::End, slopes, &mut rate);
        let Scratch { rests: [first, half, last], defect, .. } = &mut self.scratch;
        for (port, rate) in rate.iter().enumerate() {
            let parabola = first[port] - 4.0 * half[port] + 3.0 * last[port];
            let at_end = QUARTER_FOR_SLOPE * (pace.length * rate - parabola);
            if at_end.abs() > defect[port].abs() {
                defect[port] = at_end;
            }
        }
        self.scratch.rate = rate;
    }

    /// The network at the quarter and the middle of the step that was attempted last.
    pub(super) fn inside(
        &self,
        reference: &Reference<'e, 'n>,
        pace: &Pace,
        leg: &Leg,
        from: &Point,
    ) -> [Point; 2] {
        let scratch = &self.scratch;
        let rest = Self::rest(&self.bent, reference);
        let mut ports = scratch.x.chunks_exact(from.x.len());
        pace.inside.each_ref().map(|(weights, passage)| {
            let x = ports.next().unwrap_or_default();
            let mut y = DVector::from_column_slice(&scratch.xi);
            let at = y.as_mut_slice();
            add_product(&passage.change, &scratch.xi, at);
            add_product(&passage.of_sources, &scratch.sources, at);
            add_product(&passage.of_slopes, leg.slopes.as_slice(), at);
            for (weight, rest) in weights.iter().zip(scratch.rests()) {
                add_product(weight, rest, at);
            }
            add_product(&reference.reduced.ports.drive, rest.value(x).as_slice(), at);
            Point { at: from.at + passage.length, y, x: DVector::from_column_slice(x) }
        })
    }

    /// How fast the rest changes at a place of the step that was attempted last, but its start.
    pub(super) fn rate_at(
        &self,
        reference: &Reference<'e, 'n>,
        pace: &Pace,
        at: At,
        slopes: &[f64],
        out: &mut Vec<f64>,
    ) {
        let Scratch { rests: [first, half, last], quarter, .. } = &self.scratch;
        let (place, rest) = match at {
            At::Start | At::Quarter => (&pace.quarter, quarter),
            At::Middle => (&pace.middle, half),
            At::End => (&pace.end, last),
        };
        out.clear();
        out.extend((0..first.len()).map(|port| self.slope_at(reference, place, port, rest, slopes)));
        self.rate_there(reference, at, out);
    }

    /// What slopes of the ports, as they would be if the rest at a place of that step stood still, come to as its rate.
    pub(super) fn rate_there(&self, reference: &Reference<'e, 'n>, at: At, slopes: &mut Vec<f64>) {
        let bend = &self.scratch.bends[at as usize];
        if let ([slope], [bend]) = (slopes.as_mut_slice(), bend.as_slice()) {
            *slope = rate_of_one(reference, *bend, *slope);
            return;
        }
        let rates = rates(reference, bend, DVector::from_column_slice(slopes));
        slopes.copy_from_slice(rates.as_slice());
    }

    /// The slope that a port would have at a place of that step if the rest there, `rest`, stood still.
    fn slope_at(
        &self,
        reference: &Reference<'e, 'n>,
        place: &Place,
        port: usize,
        rest: &[f64],
        slopes: &[f64],
    ) -> f64 {
        let scratch = &self.scratch;
        place.slope.of(port, &scratch.xi, &scratch.sources, slopes)
            + place.slope.of_rests(port, scratch.rests())
            + super::pace::along(&reference.port_drive, port, rest)
    }

    /// How fast the rest changes where its port would have these slopes without it: x' = slope + K N F'(x) x'.
    pub(super) fn rate(
        &self,
        reference: &Reference<'e, 'n>,
        x: &[f64],
        slopes: DVector<f64>,
    ) -> DVector<f64> {
        rates(reference, Self::rest(&self.bent, reference).slope(x).as_slice(), slopes)
    }

    /// Largest error of a state in units of what is allowed.
    fn error(&self, from: &DVector<f64>, to: &DVector<f64>) -> f64 {
        let greatest =
            self.seen.iter().map(|(low, high)| low.abs().max(high.abs())).fold(to.amax(), f64::max);
        let units = |(k, error): (usize, &f64)| {
            let (low, high) = self.seen[k];
            let now = high.max(from[k]).max(to[k]) - low.min(from[k]).min(to[k]);
            let swing = self.swings[k].max(now).max(LEAST_SWING * greatest);
            error.abs() / (self.tolerances.step * swing).max(ROUNDING * greatest)
        };
        self.scratch.error.iter().enumerate().map(units).fold(0.0, f64::max)
    }
}

/// Of one bent element.
/// How fast rests of these slopes change where their ports would have the given slopes without them.
fn rates(reference: &Reference<'_, '_>, bend: &[f64], slopes: DVector<f64>) -> DVector<f64> {
    if let [bend] = bend {
        return slopes.map(|slope| rate_of_one(reference, *bend, slope));
    }
    let mut matrix = -&reference.shift;
    for (mut column, bend) in matrix.column_iter_mut().zip(bend) {
        column *= *bend;
    }
    for k in 0..slopes.len() {
        matrix[(k, k)] += 1.0;
    }
    let slopes = matrix.lu().solve(&slopes).unwrap_or(slopes);
    DVector::from_column_slice(bend).component_mul(&slopes)
}

fn rate_of_one(reference: &Reference<'_, '_>, bend: f64, slope: f64) -> f64 {
    slope * bend / (1.0 - reference.shift[(0, 0)] * bend)
}

fn subtract_product(matrix: &nalgebra::DMatrix<f64>, x: &[f64], out: &mut [f64]) {
    if out.is_empty() {
        return;
    }
    for (column, x) in matrix.as_slice().chunks_exact(out.len()).zip(x) {
        out.iter_mut().zip(column).for_each(|(out, value)| *out -= value * x);
    }
}
