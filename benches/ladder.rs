//! Does the work grow with the number of unknowns, and no faster? Ladders of 1 000 to 100 000 sections over frequency, and one of
//! 1 000 in time.
//!
//! `cargo bench -p quietrail-engine --bench ladder` runs them. The rate that is printed counts unknowns: it should stay where it is from line to line.
//! Figures of one machine on one day are in `benches/README.md`.

#[expect(dead_code, reason = "each bench takes what it needs")]
mod circuits;

use circuits::ladder;
use divan::counter::ItemsCount;
use engine::frequency::{Bias, Path, frequency_response};
use std::hint::black_box;

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    divan::main();
}

/// Node voltages, currents of inductors, the current of the source.
fn unknowns(sections: usize) -> usize {
    2 * sections + 1 + sections + 1
}

fn sweep(bencher: divan::Bencher<'_, '_>, sections: usize, frequencies: &[f64]) {
    let network = ladder(sections);
    let path = Path::transfer(0, network.nodes.len() - 1, 0);
    let bias = Bias::resting(&network).expect("straight lines rest everywhere");
    bencher.counter(ItemsCount::new(unknowns(sections) * frequencies.len())).bench_local(|| {
        frequency_response(black_box(&network), &bias, &[path], frequencies).expect("a ladder answers")
    });
}

/// One frequency: reading the drawing, the order of elimination, one factorization, one solution.
#[divan::bench(args = [1_000, 10_000, 100_000], sample_count = 10)]
fn one_frequency(bencher: divan::Bencher<'_, '_>, sections: usize) {
    sweep(bencher, sections, &[1e3]);
}

/// Ten frequencies: what is done once is shared by them.
#[divan::bench(args = [1_000, 10_000, 100_000], sample_count = 10)]
fn ten_frequencies(bencher: divan::Bencher<'_, '_>, sections: usize) {
    let frequencies: Vec<f64> = (0..10).map(|k| f64::powf(10.0, 2.0 + 0.3 * f64::from(k))).collect();
    sweep(bencher, sections, &frequencies);
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
    bencher.counter(ItemsCount::new(unknowns(sections))).bench_local(|| {
        engine::run(black_box(&network), &request, &mut engine::observe::Ignore).expect("a ladder steps")
    });
}
