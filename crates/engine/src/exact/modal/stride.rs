//! What depends on the duration of a leg alone: how modes grow over it, and integrals of their products.

use super::leg::Leg;
use super::phi::phi;
use super::rates::Rates;
use super::signals::Signals;
use super::squares::Squares;
use nalgebra::{Complex, DMatrix};
use std::cell::OnceCell;
use std::rc::Rc;

/// One duration.
pub(crate) struct Stride {
    pub(super) duration: f64,
    /// For each mode: what it has added at the end, and the areas under that, for a slope of 1 and for a growth of 1.
    pub(super) first: Vec<Complex<f64>>,
    pub(super) second: Vec<Complex<f64>>,
    third: Vec<Complex<f64>>,
    /// The same as the first two in the middle.
    half: OnceCell<[Vec<Complex<f64>>; 2]>,
    squares: OnceCell<Squares>,
    pub(super) rates: Rc<Rates>,
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
            half: OnceCell::new(),
            squares: OnceCell::new(),
            rates: Rc::new(Rates::new(rates(signals), duration)),
        }
    }

    /// What each mode has added in the middle, for a slope of 1 and for a growth of 1.
    pub(super) fn half(&self, signals: &Signals) -> &[Vec<Complex<f64>>; 2] {
        self.half.get_or_init(|| {
            let half = 0.5 * self.duration;
            let phis = signals.spectrum.rates.iter().map(|rate| phi(rate * half));
            let (first, second) = phis.map(|[one, two, _]| (one * half, two * (half * half))).unzip();
            [first, second]
        })
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
        let squares = self.squares.get_or_init(|| Squares::new(&self.rates.rates, self.duration));
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

/// Factors of a leg's functions of time in one probe, in the order of [`Squares`].
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

/// Those of the modes, then those of the low-passes.
fn rates(signals: &Signals) -> Vec<Complex<f64>> {
    let low_passes = signals.distinct_corners.iter().map(|corner| Complex::new(-corner, 0.0));
    signals.spectrum.rates.iter().copied().chain(low_passes).collect()
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
