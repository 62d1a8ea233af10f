//! How long does a user wait, and for what? Reading and checking a file, one point on each road through time, and of a
//! linear point the periodic steady state alone.
//!
//! `cargo bench -p quietrail --bench compare` runs them. The numbers speak of one machine on one day; compare before and after a change.

use language::{Description, Source};
use network::lowered::Lowered;
use network::lowering;
use std::hint::black_box;

/// The demo vehicle: what the readme's main command reads.
const CRAWLER: &str = include_str!("../netlists/crawler.harness");

fn main() {
    divan::main();
}

fn crawler() -> Description {
    let source = Source { name: "crawler.harness".to_owned(), text: CRAWLER.to_owned() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:?}"))
}

/// The study of one filter in one condition.
fn only(filter: &str, battery_state: &str, throttle: &str) -> study::Options {
    let only = [("filter", filter), ("battery_state", battery_state), ("throttle", throttle)];
    study::Options {
        only: only.map(|(axis, point)| (axis.to_owned(), point.to_owned())).to_vec(),
        ..study::Options::default()
    }
}

fn compare(bencher: divan::Bencher<'_, '_>, options: &study::Options) {
    let description = crawler();
    bencher.bench_local(|| {
        let comparison = study::compare(&description, options).expect("the picks are in the file");
        assert!(comparison.runs.iter().all(|run| run.error.is_none()));
        comparison
    });
}

/// What `check` does: read the text and look at all 36 points without running them.
#[divan::bench]
fn check() -> study::Examination {
    study::examine(black_box(&crawler()))
}

/// All laws straight: the exact road.
#[divan::bench(sample_count = 10)]
fn linear_point(bencher: divan::Bencher<'_, '_>) {
    compare(bencher, &only("cap", "soft", "cruise"));
}

/// A coil that saturates.
#[divan::bench(sample_count = 10)]
fn saturable_point(bencher: divan::Bencher<'_, '_>) {
    compare(bencher, &only("coil", "soft", "cruise"));
}

/// The engine alone on the linear point: propagators from corner to corner and one linear solve, without readings.
#[divan::bench(sample_count = 10)]
fn exact_steady_state(bencher: divan::Bencher<'_, '_>) {
    let lowered = linear_network();
    let request = engine::Request {
        start: engine::Start::Steady { period: Some(COMMON_PERIOD) },
        span: COMMON_PERIOD,
        accuracy: study::Options::default().accuracy,
        method: engine::Method::Automatic,
    };
    bencher.bench_local(|| {
        engine::run(black_box(&lowered.network), &request, &mut engine::observe::Ignore)
            .expect("it has a steady state")
    });
}

/// 20 kHz and 480 Hz in phase again: three periods of the commutation, in seconds.
const COMMON_PERIOD: f64 = 6.25e-3;

fn linear_network() -> Lowered {
    let description = crawler();
    let points = only("cap", "soft", "cruise").points(&description).expect("the picks are in the file");
    let harness = description.at(&points[0]);
    lowering::lower(&harness, language::description::Start::Steady)
        .unwrap_or_else(|errors| panic!("{errors:?}"))
}
