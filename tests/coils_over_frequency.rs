//! Coils, beads and coupled pairs against textbooks, over frequency and through the file.

use crate::support::Folder;
use serde_json::Value;

/// The response `seen` of a harness at its frequencies, as real and imaginary parts.
fn seen(text: &str) -> Vec<(f64, f64)> {
    let folder = Folder::new();
    folder.write("book.harness", text);
    let found = folder.run(&["response", "--json", "book.harness"]).json();
    let seen = &found["runs"][0]["responses"]["seen"];
    let list = |name: &str| seen[name].as_array().unwrap_or_else(|| panic!("{found}")).clone();
    let number = |value: &Value| value.as_f64().unwrap_or_else(|| panic!("{found}"));
    list("re").iter().map(number).zip(list("im").iter().map(number)).collect()
}

/// Size and angle in degrees.
fn polar((re, im): (f64, f64)) -> (f64, f64) {
    (re.hypot(im), im.atan2(re).to_degrees())
}

/// The generic equivalent of makers: 600 ohm, 1 uH and 0.2 pF in parallel, 0.1 ohm in series.
#[test]
fn impedance_of_a_bead() {
    let found = seen(
        "bead b  a -> gnd  peak_resistance 600 ohm, inductance 1 uH, capacitance 0.2 pF, dcr 0.1 ohm\n\
         frequency [1 MHz, 10 MHz, 100 MHz, 1 GHz]\n\
         response seen = impedance(a)\n",
    );
    for (found, expected) in found.into_iter().zip([6.2847, 62.549, 450.61, 501.2]) {
        assert!((polar(found).0 / expected - 1.0).abs() < 1e-4, "{found:?} is not {expected} ohm");
    }
}

/// Bird, Electrical Circuit Theory and Technology (2nd ed.), example 29.1: 5 mH with 10 ohm beside 0.25 uF resonate at 4490.3 Hz with
/// 2000 ohm.
#[test]
fn coil_and_capacitor_in_parallel() {
    let found = seen(
        "coil l  a -> gnd  inductance 5 mH, dcr 10 ohm\n\
         capacitor c  a -> gnd  capacitance 0.25 uF\n\
         frequency [4490.3 Hz]\n\
         response seen = impedance(a)\n",
    );
    let (size, angle) = polar(found[0]);
    assert!((size / 2000.0 - 1.0).abs() < 1e-3 && angle.abs() < 0.1, "{size} {angle}");
}

/// Bird, example 43.10: 2 V at 1000/pi Hz, 4 + 16 ohm and 10 mH coupled by M = 2 mH (k = 0.2) to 10 mH with 16 + 50 ohm: 4.0854 mA at 28.55
/// degrees in the second. There the current is counted into the load.
#[test]
fn a_coupled_circuit_of_bird() {
    let of = |coupling: &str| {
        seen(&format!(
            "supply e  gnd -> top  voltage 2 V, resistance 0 ohm\n\
             resistor r1  top -> p  resistance 20 ohm\n\
             coupled m  p -> gnd, gnd -> q  inductance 10 mH, {coupling}\n\
             resistor r2  q -> s  resistance 16 ohm\n\
             resistor taker  s -> gnd  resistance 50 ohm\n\
             frequency [318.30989 Hz]\n\
             response seen = transfer(voltage(s), e)\n"
        ))[0]
    };
    // M = (aiding - opposing)/4: 24 and 16 mH; shorted, 1 - 0.2² of 10 mH.
    for coupling in [
        "coupling 0.2",
        "series_aiding 24 mH",
        "series_opposing 16 mH",
        "series_aiding 24 mH, series_opposing 16 mH",
        "leakage 9.6 mH",
    ] {
        let (size, angle) = polar(of(coupling));
        assert!((2.0 * size / 50.0 / 0.004_085_4 - 1.0).abs() < 1e-3, "{coupling}: {size}");
        // The sense of the second winding, which the book leaves open, turns the current by half a circle.
        let off = (angle.abs() - 28.55).abs().min((180.0 - angle.abs() - 28.55).abs());
        assert!(off < 0.05, "{coupling}: {angle}");
    }
}

/// Bird, example 43.15: 50 V at 150 rad/s, 25 ohm and 0.2 H coupled by 0.1 H to 0.4 H with 45 ohm: 1.2997 A at -45.84 degrees and 0.25994 A at
/// -8.97 degrees.
#[test]
fn coupled_coils_of_bird() {
    let of = |node: &str| {
        // 0.4 H to 0.2 H: sqrt 2 times the turns; k = 0.1 / sqrt(0.08).
        polar(
            seen(&format!(
                "supply e  gnd -> top  voltage 50 V, resistance 0 ohm\n\
             coupled m  top -> p, gnd -> q  inductance 0.2 H, turns_ratio 1.41421356237, coupling 0.35355339059\n\
             resistor r1  p -> gnd  resistance 25 ohm\n\
             resistor r2  q -> gnd  resistance 45 ohm\n\
             frequency [23.8732415 Hz]\n\
             response seen = transfer(voltage({node}), e)\n"
            ))[0],
        )
    };
    let (first, second) = (of("p"), of("q"));
    assert!(
        (50.0 * first.0 / 25.0 / 1.2997 - 1.0).abs() < 1e-3 && (first.1 + 45.84).abs() < 0.05,
        "{first:?}"
    );
    assert!((50.0 * second.0 / 45.0 / 0.259_94 - 1.0).abs() < 1e-3, "{second:?}");
    let off = (second.1.abs() - 8.97).abs().min((180.0 - second.1.abs() - 8.97).abs());
    assert!(off < 0.05, "{second:?}");
}

/// Roddy and Coolen, Electronic Communications, example 1.5.1: 1 uH with 7 pF across it resonates at 60.155 MHz and seems to have 1.2088 uH
/// at 25 MHz.
#[test]
fn a_coil_near_its_own_resonance() {
    let found = seen(
        "coil l  a -> gnd  inductance 1 uH, winding_capacitance 7 pF\n\
         resistor r  a -> gnd  resistance 1 Gohm\n\
         frequency [25 MHz]\n\
         response seen = impedance(a)\n",
    );
    let apparent = found[0].1 / (std::f64::consts::TAU * 25e6);
    assert!((apparent / 1.2088e-6 - 1.0).abs() < 1e-3, "{apparent}");
}
