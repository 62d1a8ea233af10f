//! Does the work grow with the number of unknowns, and no faster? Ladders of 10 to 100 000 sections over frequency, beside their bare
//! arithmetic, and one of 1 000 in time.
//!
//! `cargo bench -p quietrail-engine --bench ladder` runs them. The rate that is printed counts unknowns: it should stay where it is from line to line.
//! Figures of one machine on one day are in `benches/README.md`.

#[expect(dead_code, reason = "each bench takes what it needs")]
mod circuits;

use circuits::bare::matrix;
use circuits::{LOW, ladder, lossy_ladder};
use divan::counter::ItemsCount;
use engine::Complex;
use engine::frequency::{Bias, Path, frequency_response};
use engine::linear::{Factors, minimum_degree};
use network::primitive::Network;
use std::f64::consts::TAU;
use std::hint::black_box;

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const SECTIONS: [usize; 5] = [10, 100, 1_000, 10_000, 100_000];

fn main() {
    divan::main();
}

fn sweep(bencher: divan::Bencher<'_, '_>, network: &Network, frequencies: usize) {
    let frequencies: Vec<f64> = (0..frequencies).map(|k| LOW * 1.01f64.powi(k as i32)).collect();
    let path = Path::transfer(0, network.nodes.len() - 1, 0);
    let bias = Bias::resting(network).expect("straight lines rest everywhere");
    let unknowns = matrix(network, 1.0).size();
    bencher.counter(ItemsCount::new(unknowns * frequencies.len())).bench_local(|| {
        frequency_response(black_box(network), &bias, &[path], &frequencies).expect("a ladder answers")
    });
}

/// One frequency: reading the drawing, the order of elimination, one factorization, one solution.
#[divan::bench(args = SECTIONS, sample_count = 10)]
fn one_frequency(bencher: divan::Bencher<'_, '_>, sections: usize) {
    sweep(bencher, &ladder(sections), 1);
}

/// Ten frequencies: what is done once is shared by them.
#[divan::bench(args = SECTIONS, sample_count = 10)]
fn ten_frequencies(bencher: divan::Bencher<'_, '_>, sections: usize) {
    sweep(bencher, &ladder(sections), 10);
}

/// A hundred: what is done once hardly counts.
#[divan::bench(args = SECTIONS, sample_count = 5)]
fn hundred_frequencies(bencher: divan::Bencher<'_, '_>, sections: usize) {
    sweep(bencher, &ladder(sections), 100);
}

/// Ten frequencies of the ladder whose capacitors have losses, four unknowns a section.
#[divan::bench(args = SECTIONS, sample_count = 10)]
fn lossy_ten_frequencies(bencher: divan::Bencher<'_, '_>, sections: usize) {
    sweep(bencher, &lossy_ladder(sections), 10);
}

fn bare(bencher: divan::Bencher<'_, '_>, network: &Network, refactor: bool, solve: bool) {
    let matrix = matrix(network, TAU * LOW);
    let mut factors = Factors::new(&matrix, &minimum_degree(&matrix)).expect("regular");
    let size = matrix.size();
    let mut right = vec![Complex::new(0.0, 0.0); size];
    let mut room = Vec::new();
    // The equation of the source is the one behind those of the nodes, the end the last node.
    let nodes = network.nodes.len() - 1;
    bencher.counter(ItemsCount::new(size)).bench_local(|| {
        if refactor {
            factors.refactor(black_box(&matrix));
        }
        if solve {
            right.fill(Complex::new(0.0, 0.0));
            right[nodes] = Complex::new(1.0, 0.0);
            factors.solve_with(&mut right, &mut room);
        }
        right[nodes - 1]
    });
}

/// The bare arithmetic of one frequency: a complex factorization on a known pattern.
#[divan::bench(args = SECTIONS, sample_count = 20)]
fn bare_refactor(bencher: divan::Bencher<'_, '_>, sections: usize) {
    bare(bencher, &ladder(sections), true, false);
}

/// And a solution.
#[divan::bench(args = SECTIONS, sample_count = 20)]
fn bare_solve(bencher: divan::Bencher<'_, '_>, sections: usize) {
    bare(bencher, &ladder(sections), false, true);
}

/// The same of the ladder with losses.
#[divan::bench(args = SECTIONS, sample_count = 20)]
fn lossy_bare_refactor(bencher: divan::Bencher<'_, '_>, sections: usize) {
    bare(bencher, &lossy_ladder(sections), true, false);
}

/// And a solution.
#[divan::bench(args = SECTIONS, sample_count = 20)]
fn lossy_bare_solve(bencher: divan::Bencher<'_, '_>, sections: usize) {
    bare(bencher, &lossy_ladder(sections), false, true);
}

/// The first tenth of a millisecond of a step into the ladder, by steps: it meets some hundred sections.
#[divan::bench(args = [1_000], sample_count = 3)]
fn transient(bencher: divan::Bencher<'_, '_>, sections: usize) {
    let network = ladder(sections);
    let request = engine::Request {
        start: engine::Start::Rest,
        span: 1e-4,
        accuracy: 1e-4,
        method: engine::Method::Automatic,
    };
    let unknowns = matrix(&network, 1.0).size();
    bencher.counter(ItemsCount::new(unknowns)).bench_local(|| {
        engine::run(black_box(&network), &request, &mut engine::observe::Ignore).expect("a ladder steps")
    });
}
