//! One step: where it leads, and how far the bent rest was from its parabola.

use super::collocation::{at_quarter, over_step};
use super::reference::{Reference, Stride};
use super::walk::{LEAST_SWING, Leg, Point, ROUNDING, Semilinear};
use nalgebra::{DMatrix, DVector};

/// What a step of collocation gave.
pub(super) struct Step {
    pub(super) quarter: Point,
    pub(super) middle: Point,
    pub(super) end: Point,
    /// In units of what is allowed.
    pub(super) error: f64,
}

impl<'e, 'n> Semilinear<'_, 'e, 'n> {
    /// One step of collocation.
    pub(super) fn attempt(
        &mut self,
        reference: &Reference<'e, 'n>,
        stride: &Stride,
        leg: &Leg,
        level: usize,
        from: &Point,
    ) -> Option<Step> {
        let reduced = &reference.reduced;
        let rest = Self::rest(&self.bent, reference);
        let weights = reference.weights(stride, level);
        let first = rest.value(&from.x);
        let xi = &from.y - &reduced.ports.drive * &first;
        let sources = &leg.sources + &leg.slopes * from.at;
        let growing = &reduced.b * &leg.slopes;
        let mut slope = &reduced.a * &xi;
        slope.gemv(1.0, &reduced.b, &sources, 1.0);
        slope.gemv(1.0, &reduced.e, &leg.slopes, 1.0);
        let straight = |level: usize| {
            let level = &stride.propagator.levels[level];
            let xi = level.apply(&xi, &slope, &growing);
            let mut x = &reduced.ports.state * &xi;
            x.gemv(1.0, &reduced.ports.sources, &sources, 1.0);
            x.gemv(level.step, &reduced.ports.sources, &leg.slopes, 1.0);
            (xi, x, level.step)
        };
        let (quarter_xi, quarter_x, quarter) = straight(level + 2);
        let (middle_xi, middle_x, middle) = straight(level + 1);
        let (end_xi, end_x, step) = straight(level);
        let work = &mut self.work;
        let (x_middle, x_end) =
            over_step(rest, &reference.shift, &weights, &from.x, &middle_x, &end_x, work)?;
        let (half, last) = (rest.value(&x_middle), rest.value(&x_end));
        let values = [&first, &half, &last];
        let (x_quarter, defect) =
            at_quarter(rest, &reference.shift, &weights, values, &quarter_x, &from.x, work)?;
        let point = |after: f64, mut xi: DVector<f64>, weights: &[DMatrix<f64>; 3], x: DVector<f64>| {
            for (weight, value) in weights.iter().zip(values) {
                xi.gemv(1.0, weight, value, 1.0);
            }
            xi.gemv(1.0, &reduced.ports.drive, &rest.value(&x), 1.0);
            Point { at: from.at + after, y: xi, x }
        };
        let end = point(step, end_xi, &weights.end, x_end);
        let error = self.error(&(&weights.constant * defect), &from.y, &end.y);
        Some(Step {
            quarter: point(quarter, quarter_xi, &weights.quarter, x_quarter),
            middle: point(middle, middle_xi, &weights.middle, x_middle),
            end,
            error,
        })
    }

    /// Largest error of a state in units of what is allowed.
    fn error(&self, error: &DVector<f64>, from: &DVector<f64>, to: &DVector<f64>) -> f64 {
        let greatest =
            self.seen.iter().map(|(low, high)| low.abs().max(high.abs())).fold(to.amax(), f64::max);
        (0..error.len())
            .map(|k| {
                let (low, high) = self.seen[k];
                let now = high.max(from[k]).max(to[k]) - low.min(from[k]).min(to[k]);
                let swing = self.swings[k].max(now).max(LEAST_SWING * greatest);
                error[k].abs() / (self.tolerances.step * swing).max(ROUNDING * greatest)
            })
            .fold(0.0, f64::max)
    }
}
