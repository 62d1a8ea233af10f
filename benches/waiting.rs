//! What does each answer cost a user who asks for many? A point of a sweep, a trial of a tolerance run, a search through a box of parts, and reading and
//! checking a file, small and large.
//!
//! `cargo bench -p quietrail --bench waiting` runs them, on one thread but for the search, which takes all. Points and trials are counted as items:
//! their rate is printed beside the time. The numbers speak of one machine on one day; compare before and after a change.

use divan::counter::ItemsCount;
use language::stock::{Stock, read_stock};
use language::{Description, Read, Source};
use rayon::ThreadPoolBuilder;
use std::fmt::Write;
use std::hint::black_box;
use study::design::{Search, Task, Topology, design};
use study::sweep::{Drawing, Law, Plan, rows};

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const CRAWLER: &str = include_str!("../netlists/crawler.harness");
const TO_DESIGN: &str = include_str!("../netlists/design_crawler.harness");
const BOX: &str = include_str!("../netlists/parts_box.csv");
/// Resistors and capacitors of the large file: 10 000 parts.
const SECTIONS: usize = 5_000;

fn main() {
    divan::main();
}

fn source(text: &str) -> Source {
    Source { name: "bench.harness".to_owned(), text: text.to_owned() }
}

fn read(text: &str) -> Description {
    language::read(&source(text), &[]).unwrap_or_else(|mistakes| panic!("{mistakes:?}"))
}

/// Runs all points of the demo with one filter, each with its draws, on one thread.
fn points(bencher: divan::Bencher<'_, '_>, filter: &str, drawing: Option<Drawing>) {
    let description = read(&format!("{CRAWLER}\nsweep drawn over tracks.current 3 A .. 6 A step 1 A\n"));
    let only = vec![("filter".to_owned(), filter.to_owned())];
    let options = study::Options { only, pictures: false, ..study::Options::default() };
    let plan = Plan::new(&description, &options, drawing).expect("the picks are in the file");
    let pool = ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
    bencher.counter(ItemsCount::new(plan.total())).bench_local(|| {
        let found = pool.install(|| rows(&description, black_box(&plan), &options, 0..plan.total()));
        assert!(found.iter().all(|row| row.run.error.is_none()));
        found
    });
}

/// Points of a sweep: fresh and soft pack, idle, cruising and at full duty, four currents.
#[divan::bench(args = ["none", "cap", "coil_cap"], sample_count = 10)]
fn point_of_a_sweep(bencher: divan::Bencher<'_, '_>, filter: &str) {
    points(bencher, filter, None);
}

/// The same with eight draws of tolerances at each.
#[divan::bench(args = ["cap", "coil_cap"], sample_count = 5)]
fn trial_of_tolerances(bencher: divan::Bencher<'_, '_>, filter: &str) {
    points(bencher, filter, Some(Drawing { draws: 8, seed: 1, law: Law::Uniform }));
}

fn alone(name: &str) -> Result<String, String> {
    Err(format!("{name} is not at hand"))
}

/// Coils and capacitors of the demo's box, without draws.
#[divan::bench(sample_count = 3)]
fn search_through_a_box(bencher: divan::Bencher<'_, '_>) {
    let Read { description, sources } = language::read_with(&source(TO_DESIGN), &[], &alone);
    let description = description.unwrap_or_else(|mistakes| panic!("{mistakes:?}"));
    let stock: Stock = read_stock(&Source { name: "parts_box.csv".to_owned(), text: BOX.to_owned() })
        .unwrap_or_else(|mistakes| panic!("{mistakes:?}"));
    let topologies = vec![Topology::ResistorCapacitor, Topology::CoilCapacitor];
    let search = Search { topologies, draws: 0, ..Search::default() };
    let task =
        Task { description: &description, sources: &sources, settings: &[], loader: &alone, stock: &stock };
    bencher.bench_local(|| design(black_box(&task), &search, &|_| {}).expect("the file has a place"));
}

/// Reading and checking the demo: 36 points.
#[divan::bench]
fn check_of_the_demo() -> study::Examination {
    study::examine(&read(black_box(CRAWLER)))
}

/// Reading and checking 10 000 parts in a row.
#[divan::bench(sample_count = 10)]
fn check_of_a_large_file(bencher: divan::Bencher<'_, '_>) {
    let mut text = "supply feed gnd -> n0 voltage 12 V, resistance 10 mohm\n".to_owned();
    for section in 0..SECTIONS {
        let next = section + 1;
        let _ = writeln!(text, "resistor r{next} n{section} -> n{next} resistance 10 mohm");
        let _ = writeln!(text, "capacitor c{next} n{next} -> gnd capacitance 10 nF");
    }
    text.push_str(
        "testpoint tap = voltage(n1)\nreading level = mean(tap)\ntransient run span 1 ms, start steady\n",
    );
    bencher.counter(ItemsCount::new(2 * SECTIONS)).bench_local(|| study::examine(&read(black_box(&text))));
}
