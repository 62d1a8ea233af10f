//! How far is the engine from a loop that one writes by hand for one circuit? The camera's feed of a crawler (coil with winding
//! capacitance, capacitor with ESR; 7 states), 20 ms of it and its periodic steady state.
//!
//! `cargo bench -p quietrail-engine --bench speed` runs them; `benches/peers/peers.py` runs general-purpose integrators on the same equations
//! beside it. Figures of one machine on one day are in `benches/README.md`.

#[expect(dead_code, reason = "each bench takes what it needs")]
mod circuits;

use circuits::{
    BULK, CHOKE, DRAWN, EMF, EYE, FEED, MAIN, STORE, crawler, crawlers, drawn, saturable_crawler,
};
use divan::counter::ItemsCount;
use engine::observe::{Enough, Totals};
use engine::{Method, Observer, Request, Series, Start, Stretch};
use nalgebra::{DMatrix, SMatrix, SVector};
use network::primitive::Network;
use std::hint::black_box;
use std::thread;

const SPAN: f64 = 20e-3;
const STEPS: usize = 200_000;
const VARIANTS: usize = 1000;
const STATES: usize = 7;

type State = SVector<f64, STATES>;

/// As the program has it.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    agree();
    divan::main();
}

/// Slopes of i_main, v_bulk, i_feed, v_winding, i_choke, v_store, v_eye, and the rail, at a state while the drives draw a current;
/// everything but the state can be left out, which leaves A.
fn equations(y: &State, drawn: f64, constant: f64) -> (State, f64) {
    let [main, bulk, feed, winding, choke, store, eye] = (*y).into();
    let into_bulk = main - drawn - feed;
    let bus = bulk + BULK.0 * into_bulk;
    let rail = (store / STORE.0 + eye / EYE.0 + feed - constant * EYE.2) / (1.0 / STORE.0 + 1.0 / EYE.0);
    let slopes = [
        (constant * EMF - MAIN.0 * main - bus) / MAIN.1,
        into_bulk / BULK.1,
        (bus - FEED.0 * feed - winding - rail) / FEED.1,
        (feed - choke) / CHOKE.2,
        (winding - CHOKE.0 * choke) / CHOKE.1,
        (rail - store) / (STORE.0 * STORE.1),
        (rail - eye) / (EYE.0 * EYE.1),
    ];
    (slopes.into(), rail)
}

/// What a step of the span's two-hundred-thousandth does to state, drawn current at its start, that at its end, and 1.
fn propagator() -> (SMatrix<f64, STATES, STATES>, [State; 3]) {
    let step = SPAN / STEPS as f64;
    let zero = State::zeros();
    // Van Loan (IEEE Trans. Automatic Control 23, 1978): sources and their slopes as further states.
    let mut big = DMatrix::zeros(STATES + 3, STATES + 3);
    for k in 0..STATES {
        let mut unit = zero;
        unit[k] = 1.0;
        big.view_mut((0, k), (STATES, 1)).copy_from(&equations(&unit, 0.0, 0.0).0);
    }
    big.view_mut((0, STATES), (STATES, 1)).copy_from(&equations(&zero, 1.0, 0.0).0);
    big.view_mut((0, STATES + 1), (STATES, 1)).copy_from(&equations(&zero, 0.0, 1.0).0);
    big[(STATES, STATES + 2)] = 1.0 / step;
    let whole = (big * step).exp();
    let column = |k: usize| State::from_iterator(whole.view((0, k), (STATES, 1)).iter().copied());
    let (at_start, rising) = (column(STATES), column(STATES + 2));
    (whole.fixed_view::<STATES, STATES>(0, 0).into_owned(), [at_start - rising, rising, column(STATES + 1)])
}

/// The loop that one writes by hand: as many steps as points, all corners on steps, and the rail's extremes.
fn by_hand(first: State) -> (f64, f64) {
    let (a, [now, next, one]) = propagator();
    let wave = drawn();
    let step = SPAN / STEPS as f64;
    let in_period = (DRAWN.1 / step).round() as usize;
    let currents: Vec<f64> = (0..=in_period).map(|k| wave.piece(k as f64 * step).value).collect();
    let mut y = first;
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for k in 0..STEPS {
        let at = k % in_period;
        y = a * y + now * currents[at] + next * currents[at + 1] + one;
        let rail = equations(&y, currents[at + 1], 1.0).1;
        (low, high) = (low.min(rail), high.max(rail));
    }
    (low, high)
}

/// Wants extremes alone, as a sweep's readings do.
#[derive(Default)]
struct Extremes(Option<Totals>);

impl Observer for Extremes {
    fn restart(&mut self) {}

    fn stretch(&mut self, _: &Stretch<'_>) {}

    fn enough(&mut self, probes: usize) -> Vec<Enough> {
        vec![Enough::Extremes; probes]
    }

    fn totals(&mut self, _: usize, totals: &Totals) {
        self.0 = Some(*totals);
    }
}

fn extremes(network: &Network, start: Start, span: f64) -> (f64, f64) {
    let request = Request { start, span, accuracy: 1e-4, method: Method::Automatic };
    let mut seen = Extremes::default();
    engine::run(black_box(network), &request, &mut seen).expect("it runs");
    seen.0.map_or((f64::NAN, f64::NAN), |totals| (totals.least, totals.greatest))
}

/// From rest: the loop's first state is nothing.
fn agree() {
    let (low, high) = extremes(&crawler(), Start::Rest, SPAN);
    let (low_by_hand, high_by_hand) = by_hand(State::zeros());
    let swing = high_by_hand - low_by_hand;
    assert!((high - high_by_hand).abs() < 1e-3 * swing, "{high} {high_by_hand}");
    assert!((low - low_by_hand).abs() < 1e-3 * swing, "{low} {low_by_hand}");
}

/// 20 ms from rest, extremes of the rail to 1e-4 of its swing.
#[divan::bench(sample_count = 20)]
fn transient(bencher: divan::Bencher<'_, '_>) {
    let network = crawler();
    bencher.bench_local(|| extremes(&network, Start::Rest, SPAN));
}

/// The same by 200 000 equal steps of a propagator.
#[divan::bench(sample_count = 20)]
fn transient_by_hand(bencher: divan::Bencher<'_, '_>) {
    bencher.bench_local(|| by_hand(black_box(State::zeros())));
}

/// Periodic steady state with extremes of one period.
#[divan::bench(sample_count = 20)]
fn steady_state(bencher: divan::Bencher<'_, '_>) {
    let network = crawler();
    bencher.bench_local(|| extremes(&network, Start::Steady { period: Some(DRAWN.1) }, DRAWN.1));
}

/// The sum of all variants' swings.
fn swings(networks: &[Network]) -> f64 {
    let series = Series::default();
    let request = Request {
        start: Start::Steady { period: Some(DRAWN.1) },
        span: DRAWN.1,
        accuracy: 1e-4,
        method: Method::Automatic,
    };
    let swing = |network: &Network| {
        let mut seen = Extremes::default();
        series.run(black_box(network), &request, &mut seen).expect("it runs");
        seen.0.map_or(f64::NAN, |totals| totals.greatest - totals.least)
    };
    networks.iter().map(swing).sum()
}

/// The same of many variants of one drawing; the rate counts variants.
#[divan::bench(sample_count = 20)]
fn variants(bencher: divan::Bencher<'_, '_>) {
    let networks = crawlers(VARIANTS);
    bencher.counter(ItemsCount::new(VARIANTS)).bench_local(|| swings(&networks));
}

/// The same by two threads.
#[divan::bench(sample_count = 20)]
fn variants_on_two_threads(bencher: divan::Bencher<'_, '_>) {
    let networks = crawlers(VARIANTS);
    let halves = networks.split_at(VARIANTS / 2);
    bencher.counter(ItemsCount::new(VARIANTS)).bench_local(|| {
        thread::scope(|scope| {
            let other = scope.spawn(|| swings(halves.1));
            swings(halves.0) + other.join().expect("it runs")
        })
    });
}

/// The same from rest with a coil that saturates, which no propagator knows.
#[divan::bench(sample_count = 20)]
fn saturable_transient(bencher: divan::Bencher<'_, '_>) {
    let network = saturable_crawler();
    bencher.bench_local(|| extremes(&network, Start::Rest, SPAN));
}

/// Its periodic steady state.
#[divan::bench(sample_count = 20)]
fn saturable_steady_state(bencher: divan::Bencher<'_, '_>) {
    let network = saturable_crawler();
    bencher.bench_local(|| extremes(&network, Start::Steady { period: Some(DRAWN.1) }, DRAWN.1));
}
