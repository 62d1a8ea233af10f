//! A pulse generator into a resistor, then a coil, then a capacitor: the figures that every bench shows.

use crate::support::{Folder, close, harness, netlist, reading};

/// Common practice, no source: of pulses of 0.7 us behind 300 ohm, 0.4 mH leave 0.4 to 0.6, and 470 uF with 50 mohm less
/// than a thousandth.
#[test]
fn a_coil_halves_a_short_pulse_and_a_capacitor_leaves_a_thousandth() {
    let ran = Folder::new().run(&["compare", &harness("pulse_generator.harness"), "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.errors);
    let result = ran.json();
    let spike = |filter: &str| reading(&result, &[("filter", filter)], "spike");
    let coil = spike("coil") / spike("none");
    assert!((0.4..=0.6).contains(&coil), "the coil leaves {coil}");
    for filter in ["cap", "coil_cap"] {
        let left = spike(filter) / spike("none");
        assert!(left > 0.0 && left < 1e-3, "{filter} leaves {left}");
    }
}

/// What edges of the same length and a lag take off a peak, as a fraction of it, at most. The current behind a rectangular pulse rises as
/// 1 - exp(-t / tau) to 1 - E and falls as exp(-t / tau) from there: slopes E / tau and (1 - E) / tau. Equal edges are a mean over their
/// length, which takes length / 2 times the slopes' product over their sum off a tent of such slopes; a lag follows the rise late by itself,
/// and takes lag times the falling slope times ln(1 / (1 - E)). A curve rounder than the tent loses less.
fn smoothed_away(width: f64, tau: f64, edge: f64, lag: f64) -> f64 {
    let left = (-width / tau).exp();
    0.5 * edge / tau * left + lag / tau * (1.0 / (1.0 - left)).ln()
}

/// The rules in the comment of the netlist, with the resistances of coil and capacitor and the charge that a pulse leaves in the capacitor;
/// the edges of 20 ns, the bandwidth of 20 MHz and the 15 pF of the probe can only take off, and by no more than computed here.
#[test]
fn the_rehearsal_follows_the_rules_in_its_comment() {
    let ran = Folder::new().run(&["compare", &netlist("bench_rehearsal.harness"), "--json"]);
    let result = ran.json();
    let height = |filter: &str| reading(&result, &[("filter", filter)], "height");
    let (level, inner, load, width, edge) = (2.0, 300.0, 120.0, 0.7e-6, 20e-9);
    let (inductance, dcr, store, esr) = (0.4e-3, 0.35, 470e-6, 0.05);
    let lag = 1.0 / (std::f64::consts::TAU * 20e6) + 15e-12 * load;
    // What is asked of the run: the accuracy, 1e-4 of the swing.
    let within = |found: f64, most: f64, lost: f64| {
        assert!(found < most * (1.0 + 1e-4) && found > most * (1.0 - lost - 1e-4), "{found} of {most}");
    };
    let divider = level * load / (inner + load);
    // The pulse is flat for forty lags.
    within(height("none"), divider, 1e-4);

    let resistance = inner + dcr + load;
    let tau = inductance / resistance;
    let rise = 1.0 - (-width / tau).exp();
    within(height("coil"), level * load / resistance * rise, smoothed_away(width, tau, edge, lag));

    // Between the pulses the generator is a resistance as well: what the capacitor holds adds to both levels alike.
    let beside = 1.0 / (1.0 / esr + 1.0 / load + 1.0 / inner);
    let current = level / inner;
    let charged = current * (width - 0.5 * edge) / store;
    // The lag takes off what is charged in its time; the load takes 0.05 / 120 of the charge.
    within(
        height("cap"),
        current * beside + charged,
        charged / (current * beside) * lag / width + esr / load,
    );

    let esr = 1.0 / (1.0 / esr + 1.0 / load);
    let resistance = inner + dcr + esr;
    let tau = inductance / resistance;
    let rise = 1.0 - (-width / tau).exp();
    let charged = level / resistance * (width - tau * rise) / store;
    let most = level / resistance * rise * esr + charged;
    within(height("coil_cap"), most, smoothed_away(width, tau, edge, lag));

    // The mean of a resistive divider knows nothing of coils and capacitors.
    for filter in ["none", "coil", "cap", "coil_cap"] {
        let mean = reading(&result, &[("filter", filter)], "dc");
        assert!(close(mean, divider * width / 100e-6, 2e-3), "{filter}: {mean}");
    }
}
