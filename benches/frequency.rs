//! How far is a frequency of a sweep from the bare arithmetic: one complex factorization on a known pattern, and one solution? On the camera's
//! feed of a crawler, and on a ladder of 100 000 sections.
//!
//! `cargo bench -p quietrail-engine --bench frequency` runs them. Figures of one machine on one day are in `benches/README.md`.

#[expect(dead_code, reason = "each bench takes what it needs")]
mod circuits;

use circuits::bare::matrix;
use circuits::{crawler, ladder};
use divan::counter::ItemsCount;
use engine::Complex;
use engine::frequency::{Bias, Path, frequency_response};
use engine::linear::{Factors, minimum_degree};
use std::f64::consts::TAU;
use std::hint::black_box;

const FREQUENCIES: usize = 2000;

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    divan::main();
}

/// 10 Hz to 10 MHz.
fn frequencies() -> Vec<f64> {
    (0..FREQUENCIES).map(|k| 10.0 * 1e6f64.powf(k as f64 / (FREQUENCIES - 1) as f64)).collect()
}

/// A sweep of the feed, everything included; the rate counts frequencies.
#[divan::bench(sample_count = 20)]
fn sweep(bencher: divan::Bencher<'_, '_>) {
    let network = crawler();
    let bias = Bias::resting(&network).expect("straight lines rest everywhere");
    let (frequencies, path) = (frequencies(), Path::transfer(5, 8, 0));
    bencher.counter(ItemsCount::new(FREQUENCIES)).bench_local(|| {
        frequency_response(black_box(&network), &bias, &[path], &frequencies).expect("it answers")
    });
}

/// The bare arithmetic of the same: every matrix is there before.
#[divan::bench(sample_count = 20)]
fn bare(bencher: divan::Bencher<'_, '_>) {
    let network = crawler();
    let matrices: Vec<_> = frequencies().iter().map(|frequency| matrix(&network, TAU * frequency)).collect();
    let mut factors =
        Factors::new(&matrices[FREQUENCIES / 2], &minimum_degree(&matrices[0])).expect("regular");
    let mut right = vec![Complex::new(0.0, 0.0); matrices[0].size()];
    let mut room = Vec::new();
    bencher.counter(ItemsCount::new(FREQUENCIES)).bench_local(|| {
        let mut sum = Complex::new(0.0, 0.0);
        for matrix in &matrices {
            factors.refactor(matrix);
            right.fill(Complex::new(0.0, 0.0));
            right[2] = Complex::new(-1.0, 0.0);
            factors.solve_with(&mut right, &mut room);
            sum += right[7];
        }
        sum
    });
}

const SECTIONS: usize = 100_000;

/// Frequencies of a long ladder, what is done once spread over ten of them; the rate counts frequencies.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn ladder_sweep(bencher: divan::Bencher<'_, '_>) {
    let network = ladder(SECTIONS);
    let bias = Bias::resting(&network).expect("straight lines rest everywhere");
    let frequencies: Vec<f64> = (0..10).map(|k| 1e3 * 1.1f64.powi(k)).collect();
    let path = Path::transfer(0, network.nodes.len() - 1, 0);
    bencher
        .counter(ItemsCount::new(frequencies.len()))
        .bench_local(|| frequency_response(&network, &bias, &[path], &frequencies).expect("it answers"));
}

/// The bare arithmetic of ten of them.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn ladder_bare(bencher: divan::Bencher<'_, '_>) {
    let matrix = matrix(&ladder(SECTIONS), TAU * 1e3);
    let mut factors = Factors::new(&matrix, &minimum_degree(&matrix)).expect("regular");
    let mut right = vec![Complex::new(0.0, 0.0); matrix.size()];
    let mut room = Vec::new();
    bencher.counter(ItemsCount::new(10usize)).bench_local(|| {
        for _ in 0..10 {
            factors.refactor(&matrix);
            right.fill(Complex::new(0.0, 0.0));
            right[2 * SECTIONS + 1] = Complex::new(1.0, 0.0);
            factors.solve_with(&mut right, &mut room);
        }
        right[2 * SECTIONS]
    });
}
