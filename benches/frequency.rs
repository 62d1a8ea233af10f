//! How far is a frequency of a sweep from the bare arithmetic: one complex factorization on a known pattern, and one solution? On the camera's
//! feed of a crawler with 14 and with 20 unknowns, and on ladders of 100 000 sections.
//!
//! `cargo bench -p quietrail-engine --bench frequency` runs them. Figures of one machine on one day are in `benches/README.md`.

#[expect(dead_code, reason = "each bench takes what it needs")]
mod circuits;

use circuits::bare::matrix;
use circuits::{LOW, crawler, crawler_with_leads, ladder, lossy_ladder};
use divan::counter::ItemsCount;
use engine::Complex;
use engine::frequency::{Bias, Path, frequency_response};
use engine::linear::{Factors, Matrix, minimum_degree};
use network::primitive::Network;
use std::f64::consts::TAU;
use std::hint::black_box;

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const FREQUENCIES: usize = 2000;
const SECTIONS: usize = 100_000;
/// Branch of what the drives draw, nodes that it is drawn from and that are looked at.
const DRIVES: (usize, usize) = (5, 3);
const CAMERA: usize = 8;

fn main() {
    agree(&crawler());
    agree(&crawler_with_leads());
    divan::main();
}

/// 10 Hz to 10 MHz.
fn frequencies() -> Vec<f64> {
    (0..FREQUENCIES).map(|k| 10.0 * 1e6f64.powf(k as f64 / (FREQUENCIES - 1) as f64)).collect()
}

fn response(network: &Network, bias: &Bias, path: Path, frequencies: &[f64]) -> Vec<Option<Complex<f64>>> {
    frequency_response(network, bias, &[path], frequencies).expect("it answers").values.remove(0)
}

/// One matrix after the other with the same pivots, and what is asked for.
struct Bare {
    factors: Factors<Complex<f64>>,
    right: Vec<Complex<f64>>,
    room: Vec<Complex<f64>>,
}

impl Bare {
    fn new(matrix: &Matrix<Complex<f64>>) -> Self {
        let factors = Factors::new(matrix, &minimum_degree(matrix)).expect("regular");
        Self { factors, right: vec![Complex::new(0.0, 0.0); matrix.size()], room: Vec::new() }
    }

    fn solve(
        &mut self,
        matrix: &Matrix<Complex<f64>>,
        row: usize,
        value: f64,
        unknown: usize,
    ) -> Complex<f64> {
        self.factors.refactor(matrix);
        self.right.fill(Complex::new(0.0, 0.0));
        self.right[row] = Complex::new(value, 0.0);
        self.factors.solve_with(&mut self.right, &mut self.room);
        self.right[unknown]
    }
}

fn matrices(network: &Network) -> Vec<Matrix<Complex<f64>>> {
    frequencies().iter().map(|frequency| matrix(network, TAU * frequency)).collect()
}

/// Both roads give the same, lest different things be compared.
fn agree(network: &Network) {
    let bias = Bias::resting(network).expect("straight lines rest everywhere");
    let matrices = matrices(network);
    let mut bare = Bare::new(&matrices[FREQUENCIES / 2]);
    let found = response(network, &bias, Path::transfer(DRIVES.0, CAMERA, 0), &frequencies());
    for (matrix, found) in matrices.iter().zip(found) {
        let expected = bare.solve(matrix, DRIVES.1 - 1, -1.0, CAMERA - 1);
        let found = found.expect("an answer");
        assert!((found - expected).norm() < 1e-9 * expected.norm(), "{found} {expected}");
    }
}

fn sweep_of(bencher: divan::Bencher<'_, '_>, network: &Network) {
    let bias = Bias::resting(network).expect("straight lines rest everywhere");
    let (frequencies, path) = (frequencies(), Path::transfer(DRIVES.0, CAMERA, 0));
    bencher
        .counter(ItemsCount::new(FREQUENCIES))
        .bench_local(|| response(black_box(network), &bias, path, &frequencies));
}

fn bare_of(bencher: divan::Bencher<'_, '_>, network: &Network) {
    let matrices = matrices(network);
    let mut bare = Bare::new(&matrices[FREQUENCIES / 2]);
    bencher.counter(ItemsCount::new(FREQUENCIES)).bench_local(|| {
        matrices.iter().map(|matrix| bare.solve(matrix, DRIVES.1 - 1, -1.0, CAMERA - 1)).sum::<Complex<f64>>()
    });
}

/// A sweep of the feed, everything included; the rate counts frequencies.
#[divan::bench(sample_count = 20)]
fn sweep(bencher: divan::Bencher<'_, '_>) {
    sweep_of(bencher, &crawler());
}

/// The bare arithmetic of the same: every matrix is there before.
#[divan::bench(sample_count = 20)]
fn bare(bencher: divan::Bencher<'_, '_>) {
    bare_of(bencher, &crawler());
}

/// A sweep of the feed whose capacitors have leads.
#[divan::bench(sample_count = 20)]
fn leads_sweep(bencher: divan::Bencher<'_, '_>) {
    sweep_of(bencher, &crawler_with_leads());
}

/// The bare arithmetic of the same.
#[divan::bench(sample_count = 20)]
fn leads_bare(bencher: divan::Bencher<'_, '_>) {
    bare_of(bencher, &crawler_with_leads());
}

fn ladder_sweep_of(bencher: divan::Bencher<'_, '_>, network: &Network, count: usize) {
    let bias = Bias::resting(network).expect("straight lines rest everywhere");
    let frequencies: Vec<f64> = (0..count).map(|k| LOW * 1.01f64.powi(k as i32)).collect();
    let path = Path::transfer(0, network.nodes.len() - 1, 0);
    bencher.counter(ItemsCount::new(count)).bench_local(|| response(network, &bias, path, &frequencies));
}

fn ladder_bare_of(bencher: divan::Bencher<'_, '_>, network: &Network) {
    let matrix = matrix(network, TAU * LOW);
    let mut bare = Bare::new(&matrix);
    let nodes = network.nodes.len() - 1;
    bencher.counter(ItemsCount::new(1_usize)).bench_local(|| bare.solve(&matrix, nodes, 1.0, nodes - 1));
}

/// Ten frequencies of a long ladder, what is done once spread over them; the rate counts frequencies.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn ladder_sweep(bencher: divan::Bencher<'_, '_>) {
    ladder_sweep_of(bencher, &ladder(SECTIONS), 10);
}

/// A hundred of them.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn ladder_sweep_hundred(bencher: divan::Bencher<'_, '_>) {
    ladder_sweep_of(bencher, &ladder(SECTIONS), 100);
}

/// The bare arithmetic of one frequency.
#[divan::bench(sample_count = 40, sample_size = 1)]
fn ladder_bare(bencher: divan::Bencher<'_, '_>) {
    ladder_bare_of(bencher, &ladder(SECTIONS));
}

/// Ten frequencies of the ladder whose capacitors have losses, four unknowns a section.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn lossy_ladder_sweep(bencher: divan::Bencher<'_, '_>) {
    ladder_sweep_of(bencher, &lossy_ladder(SECTIONS), 10);
}

/// A hundred of them.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn lossy_ladder_sweep_hundred(bencher: divan::Bencher<'_, '_>) {
    ladder_sweep_of(bencher, &lossy_ladder(SECTIONS), 100);
}

/// The bare arithmetic of one frequency.
#[divan::bench(sample_count = 40, sample_size = 1)]
fn lossy_ladder_bare(bencher: divan::Bencher<'_, '_>) {
    ladder_bare_of(bencher, &lossy_ladder(SECTIONS));
}
