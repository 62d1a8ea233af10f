//! What depends on the duration of a leg alone: how modes grow over it, and integrals of their products.

use super::leg::Leg;
use super::levels::Levels;
use super::phi::phi;
use super::signals::Signals;
use nalgebra::{Complex, DMatrix};
use std::cell::OnceCell;

/// Abscissae and weights of seven-point Gauss-Legendre quadrature on -1 .. 1, exact to degree 13 (Abramowitz and Stegun, table 25.4).
const GAUSS: [(f64, f64); 7] = [
    (-0.949_107_912_342_758_5, 0.129_484_966_168_869_7),
    (-0.741_531_185_599_394_5, 0.279_705_391_489_276_64),
    (-0.405_845_151_377_397_2, 0.381_830_050_505_118_9),
    (0.0, 0.417_959_183_673_469_4),
    (0.405_845_151_377_397_2, 0.381_830_050_505_118_9),
    (0.741_531_185_599_394_5, 0.279_705_391_489_276_64),
    (0.949_107_912_342_758_5, 0.129_484_966_168_869_7),
];
/// Phase of the fastest mode over one stretch of that quadrature, which then errs by less than 1e-9 of its square.
const PHASE: f64 = 2.0;
/// Exponent at which a mode has died away.
const DEAD: f64 = -25.0;

/// One duration.
pub(crate) struct Stride {
    pub(super) duration: f64,
    /// For each mode: what it has added at the end, and the areas under that, for a slope of 1 and for a growth of 1.
    pub(super) first: Vec<Complex<f64>>,
    pub(super) second: Vec<Complex<f64>>,
    third: Vec<Complex<f64>>,
    squares: OnceCell<Squares>,
    pub(super) levels: Levels,
}

/// Integrals of products of a leg's functions of time: those of a leg without growths come first.
struct Squares {
    size: usize,
    plain: usize,
    products: Vec<f64>,
}

impl Stride {
    pub(crate) fn new(signals: &Signals, duration: f64) -> Self {
        let phis: Vec<_> = signals.spectrum.rates.iter().map(|rate| phi(rate * duration)).collect();
        let (square, cube) = (duration * duration, duration * duration * duration);
        Self {
            duration,
            first: phis.iter().map(|[one, _, _]| one * duration).collect(),
            second: phis.iter().map(|[_, two, _]| two * square).collect(),
            third: phis.iter().map(|[_, _, three]| three * cube).collect(),
            squares: OnceCell::new(),
            levels: Levels::new(rates(signals), duration),
        }
    }

    /// Integral of each probe's departure from its value at the start.
    pub(super) fn areas(&self, signals: &Signals, leg: &Leg, areas: &mut Vec<f64>) {
        let duration = self.duration;
        areas.clear();
        areas.extend(leg.lines.iter().map(|line| 0.5 * line * duration * duration));
        for mode in 0..leg.slopes.len() {
            let mut height = leg.slopes[mode] * self.second[mode];
            if leg.grows {
                height += leg.growths[mode] * self.third[mode];
            }
            signals.add_one(mode, height, areas);
        }
        for (area, filter) in areas.iter_mut().zip(&leg.filters) {
            if let Some(filter) = filter {
                let [_, two, three] = phi(Complex::new(-filter.corner * duration, 0.0));
                *area += duration * duration * (filter.slope * two.re + filter.growth * duration * three.re);
            }
        }
    }

    /// Integral of the square of that departure.
    pub(super) fn square(&self, signals: &Signals, leg: &Leg, probe: usize, shares: &mut Vec<f64>) -> f64 {
        let squares = self.squares.get_or_init(|| Squares::new(signals, self.duration));
        shares.clear();
        shares.push(leg.lines[probe]);
        shares_of(signals, leg, probe, &leg.slopes, |filter| filter.slope, shares);
        if leg.grows {
            shares_of(signals, leg, probe, &leg.growths, |filter| filter.growth, shares);
        }
        debug_assert_eq!(shares.len(), if leg.grows { squares.size } else { squares.plain });
        let mut sum = 0.0;
        for (row, share) in shares.iter().enumerate() {
            let products = &squares.products[row * squares.size..];
            let along: f64 =
                products.iter().zip(&shares[..row]).map(|(product, other)| product * other).sum();
            sum += share * (2.0 * along + share * products[row]);
        }
        sum
    }
}

/// Factors of a leg's functions of time in one probe, in the order of [`functions`].
fn shares_of(
    signals: &Signals,
    leg: &Leg,
    probe: usize,
    heights: &[Complex<f64>],
    of_filter: impl Fn(super::leg::LowPass) -> f64,
    out: &mut Vec<f64>,
) {
    for (mode, (rate, height)) in signals.spectrum.rates.iter().zip(heights).enumerate() {
        let at = mode * signals.probes + probe;
        let share = Complex::new(signals.real[at], signals.imaginary[at]) * height;
        out.push(share.re);
        if rate.im != 0.0 {
            out.push(-share.im);
        }
    }
    for corner in &signals.distinct_corners {
        let filter = leg.filters[probe].filter(|filter| filter.corner == *corner);
        out.push(filter.map_or(0.0, &of_filter));
    }
}

impl Squares {
    fn new(signals: &Signals, duration: f64) -> Self {
        let rates = rates(signals);
        let half: usize = rates.iter().map(|rate| if rate.im == 0.0 { 1 } else { 2 }).sum();
        let size = 1 + 2 * half;
        let mut products = vec![0.0; size * size];
        let mut values = Vec::with_capacity(size);
        let mut time = 0.0;
        while time < duration {
            let alive = rates.iter().filter(|rate| rate.re * time > DEAD);
            let fastest = alive.map(|rate| rate.norm()).fold(0.0, f64::max);
            let step = (PHASE / fastest).min(duration - time);
            for (place, weight) in GAUSS {
                functions(&rates, time + 0.5 * step * (1.0 + place), &mut values);
                let weight = 0.5 * step * weight;
                for row in 0..size {
                    let factor = weight * values[row];
                    for (product, value) in products[row * size..].iter_mut().zip(&values[..=row]) {
                        *product += factor * value;
                    }
                }
            }
            time = if step == duration - time { duration } else { time + step };
        }
        Self { size, plain: 1 + half, products }
    }
}

/// Those of the modes, then those of the low-passes.
fn rates(signals: &Signals) -> Vec<Complex<f64>> {
    let low_passes = signals.distinct_corners.iter().map(|corner| Complex::new(-corner, 0.0));
    signals.spectrum.rates.iter().copied().chain(low_passes).collect()
}

/// Time, then what each mode adds for a slope of 1 and for a growth of 1, real and imaginary part.
fn functions(rates: &[Complex<f64>], time: f64, out: &mut Vec<f64>) {
    out.clear();
    out.push(time);
    let phis: Vec<_> = rates.iter().map(|rate| (rate, phi(rate * time))).collect();
    for (power, factor) in [time, time * time].into_iter().enumerate() {
        for (rate, phis) in &phis {
            let value = phis[power] * factor;
            out.push(value.re);
            if rate.im != 0.0 {
                out.push(value.im);
            }
        }
    }
}

/// Adds a matrix times a vector, without allocating.
pub(crate) fn add_product(matrix: &DMatrix<f64>, x: &[f64], out: &mut [f64]) {
    if out.is_empty() {
        return;
    }
    for (column, x) in matrix.as_slice().chunks_exact(out.len()).zip(x) {
        if *x != 0.0 {
            out.iter_mut().zip(column).for_each(|(out, value)| *out += value * x);
        }
    }
}
