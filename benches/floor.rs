//! What can this machine do at most? How many multiplications and additions in a second, how many divisions, and how many bytes from where: what
//! other benches measure is set against the times that these would take.
//!
//! `cargo bench -p quietrail-engine --bench floor` runs it, after a count of the operations of what is factored elsewhere. Multiplications and
//! additions are not fused, as nowhere in this project. Figures of one machine on one day are in `benches/README.md`.

#[expect(dead_code, reason = "each bench takes what it needs")]
mod circuits;

use circuits::bare::matrix;
use circuits::{crawler, crawler_with_leads, ladder, lossy_ladder};
use divan::counter::{BytesCount, ItemsCount};
use engine::linear::{Factors, minimum_degree};
use network::primitive::Network;
use pulp::{Arch, Simd, WithSimd};
use std::hint::black_box;

fn main() {
    count("feed, 14 unknowns", &crawler());
    count("feed, 20 unknowns", &crawler_with_leads());
    count("ladder of 100 000", &ladder(100_000));
    count("lossy ladder of 100 000", &lossy_ladder(100_000));
    divan::main();
}

/// What one complex refactorization and one solution need: 8 operations a product, 8 and 2 divisions a quotient of L, 3 and 2 divisions a
/// pivot; of the solution 8 an entry and 6 a pivot. Bytes: every number and number of a place once, of matrix, factors, plan and vectors.
#[expect(clippy::print_stdout, reason = "what a bench is run for")]
fn count(name: &str, network: &Network) {
    let matrix = matrix(network, 1e4);
    let factors = Factors::new(&matrix, &minimum_degree(&matrix)).expect("regular");
    let (size, entries, products) = (matrix.size(), factors.entries(), factors.products());
    // Without fill and with it, L has as many entries as U beside the pivots, since the pattern is symmetric.
    let quotients = (entries - size) / 2;
    let operations = 8 * products + 8 * quotients + 3 * size + 8 * (entries - size) + 6 * size;
    let divisions = 2 * quotients + 2 * size;
    let bytes = 16 * (matrix.values.len() + 2 * entries + 6 * size) + 8 * (entries + products + size);
    println!(
        "{name}: {size} unknowns, {entries} entries, {products} products: {operations} operations and {divisions} divisions, {bytes} bytes"
    );
}

/// Numbers that are worked on at once; with fewer than these each waits for itself.
const NUMBERS: usize = 48;
const ROUNDS: usize = 1000;

#[inline(always)]
fn rounds(values: &mut [f64; NUMBERS], mut one: impl FnMut(f64) -> f64) {
    for _ in 0..ROUNDS {
        for value in &mut *values {
            *value = one(*value);
        }
    }
}

/// x m + a, again and again.
struct MultiplyAndAdd<'a>(&'a mut [f64; NUMBERS]);

impl WithSimd for MultiplyAndAdd<'_> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        let (m, a) = (black_box(0.999), black_box(1e-3));
        rounds(self.0, |x| x * m + a);
    }
}

/// m / x, again and again.
struct Divide<'a>(&'a mut [f64; NUMBERS]);

impl WithSimd for Divide<'_> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        let m = black_box(1.7);
        rounds(self.0, |x| m / x);
    }
}

/// Multiplications and additions as plain code has them, for the oldest machine of this kind.
#[divan::bench]
fn multiply_and_add_plain(bencher: divan::Bencher<'_, '_>) {
    // Half as many: all of these fit into the registers that such a machine has.
    let mut values = [1.5; NUMBERS / 2];
    bencher.counter(ItemsCount::new(2 * ROUNDS * values.len())).bench_local(|| {
        let (m, a) = (black_box(0.999), black_box(1e-3));
        let mut own = values;
        for _ in 0..ROUNDS {
            for value in &mut own {
                *value = *value * m + a;
            }
        }
        values = black_box(own);
    });
}

/// The same with the widest instructions that the machine has, as sweeps and propagators take them.
#[divan::bench]
fn multiply_and_add_wide(bencher: divan::Bencher<'_, '_>) {
    let mut values = [1.5; NUMBERS];
    bencher.counter(ItemsCount::new(2 * ROUNDS * NUMBERS)).bench_local(|| {
        Arch::new().dispatch(MultiplyAndAdd(black_box(&mut values)));
    });
}

/// Divisions, with these too.
#[divan::bench]
fn divide_wide(bencher: divan::Bencher<'_, '_>) {
    let mut values = [1.5; NUMBERS];
    bencher.counter(ItemsCount::new(ROUNDS * NUMBERS)).bench_local(|| {
        Arch::new().dispatch(Divide(black_box(&mut values)));
    });
}

/// a = b + m c over three arrays of so many bytes together: 512 kB lie in the second cache, 384 MB in none.
#[divan::bench(args = [512 << 10, 384 << 20], sample_count = 20)]
fn add_arrays(bencher: divan::Bencher<'_, '_>, bytes: usize) {
    let length = bytes / 24;
    let (mut a, b, c) = (vec![0.0; length], vec![1.0; length], vec![2.0; length]);
    bencher.counter(BytesCount::new(24 * length)).bench_local(|| {
        let m = black_box(0.5);
        for ((a, b), c) in a.iter_mut().zip(&b).zip(&c) {
            *a = b + m * c;
        }
        black_box(&mut a);
    });
}

/// A sum of products over two arrays of so many bytes together, which writes nothing.
#[divan::bench(args = [512 << 10, 384 << 20], sample_count = 20)]
fn read_arrays(bencher: divan::Bencher<'_, '_>, bytes: usize) {
    let length = bytes / 16 / 16 * 16;
    let (b, c) = (vec![1.0; length], vec![2.0; length]);
    bencher.counter(BytesCount::new(16 * length)).bench_local(|| {
        let mut sums = [0.0; 16];
        for (b, c) in black_box(&b).chunks_exact(16).zip(c.chunks_exact(16)) {
            for (sum, (b, c)) in sums.iter_mut().zip(b.iter().zip(c)) {
                *sum += b * c;
            }
        }
        sums
    });
}
