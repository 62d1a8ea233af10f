//! Probes as sums of modes: what each mode, and each probe's low-pass, adds to a waveform.

use super::leg::add_real;
use super::spectrum::Spectrum;
use super::stride::add_product;
use crate::exact::reduced::{Made, Reduced};
use nalgebra::{Complex, DMatrix};
use network::primitive::Probe;

/// A low-pass whose corner is this close to the rate of a mode, as a share, would divide by their difference.
const APART: f64 = 1e-3;

/// Everything that turns a leg's slopes into waveforms. Arrays of modes and probes have the probes of one mode in a row.
pub(crate) struct Signals {
    pub(crate) spectrum: Spectrum,
    pub(crate) probes: usize,
    /// How many of them are probes of the network; the others are voltages of loads.
    pub(super) shown: usize,
    /// What a unit of each mode is worth in each probe, filtered, real and imaginary part and magnitude.
    pub(super) real: Vec<f64>,
    pub(super) imaginary: Vec<f64>,
    pub(super) magnitude: Vec<f64>,
    /// Corner in radians per second of each probe's low-pass, if it has one.
    pub(crate) corners: Vec<Option<f64>>,
    /// Each of them once.
    pub(super) distinct_corners: Vec<f64>,
    /// The row of each probe.
    pub(crate) rows: Vec<usize>,
    /// Weights times A, B, E: what state, sources and slopes add to the slope of each mode.
    pub(super) of_state: DMatrix<Complex<f64>>,
    pub(super) of_sources: DMatrix<Complex<f64>>,
    pub(super) of_slopes: DMatrix<Complex<f64>>,
    /// Weights times N: what the rate of a bent rest adds.
    pub(super) of_rest: DMatrix<Complex<f64>>,
    /// Magnitude of each mode's rate, and one over the rate.
    pub(super) speeds: Vec<f64>,
    pub(super) inverses: Vec<Complex<f64>>,
    /// For each mode the sums of magnitudes that make up what state, sources and slopes add to its slope, for units of each.
    pub(super) noise: Vec<[f64; 3]>,
}

impl Signals {
    /// Of the network's probes and of the voltages of `loads`. `None` where a probe is no straight function of the state, or modes
    /// can't be told apart.
    pub(crate) fn new(reduced: &Reduced, probes: &[Probe], loads: &[usize]) -> Option<Self> {
        let row = |made: &Made| match made {
            Made::Row(row) => Some(*row),
            _ => None,
        };
        let mut rows: Vec<usize> = reduced.made.iter().map(row).collect::<Option<_>>()?;
        let shown = rows.len();
        rows.extend(loads.iter().map(|load| reduced.load_rows + load));
        let spectrum = Spectrum::new(&reduced.a)?;
        let corner = |probe: &Probe| probe.bandwidth.map(|width| std::f64::consts::TAU * width);
        let corners: Vec<Option<f64>> = probes.iter().map(corner).chain(loads.iter().map(|_| None)).collect();
        let mut distinct_corners: Vec<f64> = corners.iter().flatten().copied().collect();
        distinct_corners.sort_by(f64::total_cmp);
        distinct_corners.dedup();
        let count = rows.len();
        let seen = seen(&reduced.rows.state, &spectrum.modes);
        let (mut real, mut imaginary, mut magnitude) = (Vec::new(), Vec::new(), Vec::new());
        for (mode, rate) in spectrum.rates.iter().enumerate() {
            for probe in 0..count {
                let mut value = seen[(rows[probe], mode)];
                if let Some(corner) = corners[probe] {
                    let sum = rate + corner;
                    if sum.norm() < APART * corner {
                        return None;
                    }
                    value *= corner / sum;
                }
                real.push(value.re);
                imaginary.push(value.im);
                magnitude.push(value.norm());
            }
        }
        let magnitudes = spectrum.weights.map(|weight| weight.norm_sqr().sqrt());
        let sums = |matrix: &DMatrix<f64>| -> Vec<f64> {
            let mut rows = vec![0.0; matrix.nrows()];
            for column in matrix.column_iter() {
                rows.iter_mut().zip(column.iter()).for_each(|(sum, value)| *sum += value.abs());
            }
            let mut sums = vec![0.0; magnitudes.nrows()];
            add_product(&magnitudes, &rows, &mut sums);
            sums
        };
        let [of_state, of_sources, of_slopes] = [&reduced.a, &reduced.b, &reduced.e].map(sums);
        let noise = (0..of_state.len()).map(|mode| [of_state[mode], of_sources[mode], of_slopes[mode]]);
        let noise = noise.collect();
        Some(Self {
            probes: count,
            shown,
            real,
            imaginary,
            magnitude,
            corners,
            distinct_corners,
            rows,
            of_state: weighed(&spectrum.weights, &reduced.a),
            of_sources: weighed(&spectrum.weights, &reduced.b),
            of_slopes: weighed(&spectrum.weights, &reduced.e),
            of_rest: weighed(&spectrum.weights, &reduced.ports.drive),
            noise,
            speeds: spectrum.rates.iter().map(|rate| rate.norm()).collect(),
            inverses: spectrum.rates.iter().map(Complex::inv).collect(),
            spectrum,
        })
    }

    pub(super) fn modes(&self) -> usize {
        self.spectrum.rates.len()
    }

    /// Adds to each probe what modes of the given heights add.
    pub(super) fn add(&self, heights: &[Complex<f64>], out: &mut [f64]) {
        heights.iter().enumerate().for_each(|(mode, height)| self.add_one(mode, *height, out));
    }

    /// Adds to each probe what one mode of a height adds.
    pub(super) fn add_one(&self, mode: usize, height: Complex<f64>, out: &mut [f64]) {
        let here = mode * self.probes..(mode + 1) * self.probes;
        for ((out, real), imaginary) in
            out.iter_mut().zip(&self.real[here.clone()]).zip(&self.imaginary[here])
        {
            *out += real * height.re - imaginary * height.im;
        }
    }

    /// What modes of the given heights add to one probe.
    pub(super) fn one(&self, probe: usize, heights: &[Complex<f64>]) -> f64 {
        let at = |mode: usize| mode * self.probes + probe;
        let each = heights.iter().enumerate();
        each.map(|(mode, height)| self.real[at(mode)] * height.re - self.imaginary[at(mode)] * height.im)
            .sum()
    }
}

/// Weights times a real matrix.
fn weighed(weights: &DMatrix<Complex<f64>>, matrix: &DMatrix<f64>) -> DMatrix<Complex<f64>> {
    let mut product = DMatrix::zeros(weights.nrows(), matrix.ncols());
    for (mut out, column) in product.column_iter_mut().zip(matrix.column_iter()) {
        add_real(weights, column.as_slice(), out.as_mut_slice());
    }
    product
}

/// Rows times modes.
fn seen(rows: &DMatrix<f64>, modes: &DMatrix<Complex<f64>>) -> DMatrix<Complex<f64>> {
    let mut product = DMatrix::zeros(rows.nrows(), modes.ncols());
    for (mut out, mode) in product.column_iter_mut().zip(modes.column_iter()) {
        for (row, value) in rows.column_iter().zip(mode.iter()) {
            out.iter_mut().zip(row.iter()).for_each(|(out, row)| *out += value * *row);
        }
    }
    product
}
