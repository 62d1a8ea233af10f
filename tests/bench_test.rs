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

/// The rules in the comment of the netlist, each to what it neglects: edges of 20 ns, 0.35 ohm in the coil, the charge that
/// a pulse leaves in the capacitor.
#[test]
fn the_rehearsal_follows_the_rules_in_its_comment() {
    let ran = Folder::new().run(&["compare", &netlist("bench_rehearsal.harness"), "--json"]);
    let result = ran.json();
    let height = |filter: &str| reading(&result, &[("filter", filter)], "height");
    let divider = 2.0 * 120.0 / 420.0;
    assert!(close(height("none"), divider, 1e-3), "{}", height("none"));
    let rise = 1.0 - (-0.7e-6 / (0.4e-3 / 420.0_f64)).exp();
    assert!(close(height("coil"), divider * rise, 0.02), "{}", height("coil"));
    assert!(close(height("cap"), 2.0 * 0.05 / 300.0, 0.05), "{}", height("cap"));
    let current = 2.0 / 300.0 * (1.0 - (-0.7e-6 * 300.0 / 0.4e-3_f64).exp());
    assert!(close(height("coil_cap"), current * 0.05, 0.05), "{}", height("coil_cap"));
    // The mean of a resistive divider knows nothing of coils and capacitors.
    for filter in ["none", "coil", "cap", "coil_cap"] {
        let mean = reading(&result, &[("filter", filter)], "dc");
        assert!(close(mean, divider * 0.7e-6 / 100e-6, 2e-3), "{filter}: {mean}");
    }
}
