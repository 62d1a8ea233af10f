//! From which size on is the sparse factorization quicker than a dense one? Matrices as harnesses make them: ladders of 3 unknowns
//! a section, stamped anew, factored and solved once, as a step of the stepping road does.
//!
//! `cargo bench -p quietrail-engine --bench dense_or_sparse` runs them; the two columns are made in one run, so that their ratio holds on any
//! machine. Figures of one machine on one day are in `benches/README.md`.

use divan::counter::ItemsCount;
use engine::linear::{Solver, Stamp};
use nalgebra::{DMatrix, DVector};
use std::hint::black_box;

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    divan::main();
}

const SIZES: [usize; 6] = [4, 7, 13, 25, 49, 97];

/// Companion conductances of a ladder: node voltages and coil currents, three unknowns a section.
fn stamp(matrix: &mut impl Stamp<f64>, size: usize, conductance: f64) {
    matrix.add(0, 0, 1.0);
    for section in 0..(size - 1) / 3 {
        let (left, middle, right, current) = (3 * section, 3 * section + 1, 3 * section + 3, 3 * section + 2);
        for (row, column, value) in [
            (left, left, 2.0),
            (left, middle, -2.0),
            (middle, left, -2.0),
            (middle, middle, 2.0),
            (middle, current, 1.0),
            (right, current, -1.0),
            (current, middle, 1.0),
            (current, right, -1.0),
            (current, current, -conductance),
            (right, right, conductance),
        ] {
            matrix.add(row, column, value);
        }
    }
}

#[divan::bench(args = SIZES)]
fn sparse(bencher: divan::Bencher<'_, '_>, size: usize) {
    let mut solver: Solver<f64> = Solver::new(size);
    let mut conductance = 1.0;
    bencher.counter(ItemsCount::new(size)).bench_local(|| {
        conductance *= 1.000_001;
        stamp(solver.stamps(), size, black_box(conductance));
        solver.factor().expect("regular");
        let mut right = vec![1.0; size];
        solver.solve(&mut right);
        right
    });
}

#[divan::bench(args = SIZES)]
fn dense(bencher: divan::Bencher<'_, '_>, size: usize) {
    let mut conductance = 1.0;
    bencher.counter(ItemsCount::new(size)).bench_local(|| {
        conductance *= 1.000_001;
        let mut matrix = DMatrix::zeros(size, size);
        stamp(&mut matrix, size, black_box(conductance));
        matrix.lu().solve(&DVector::from_element(size, 1.0)).expect("regular")
    });
}
