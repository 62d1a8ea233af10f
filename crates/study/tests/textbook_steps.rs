//! Steps and rectifiers of textbooks, as a user would write them down.

use language::Source;
use study::{Options, compare};

/// The readings of the only point, by name.
fn readings(text: &str) -> impl Fn(&str) -> f64 + use<> {
    let source = Source { name: "test.harness".into(), text: text.into() };
    let description = language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    let options = Options { accuracy: 1e-6, ..Options::default() };
    let run = compare(&description, &options).expect("every point is asked for").runs.remove(0);
    assert_eq!(run.error, None);
    move |name: &str| {
        let reading = run.readings.iter().find(|reading| reading.name == name);
        reading.and_then(|reading| reading.value).expect("a reading of that name with a value")
    }
}

#[track_caller]
fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() < relative, "{found}, expected {expected}");
}

/// Bird, Electrical Circuit Theory and Technology (2nd ed.), example 45.1: 500 nF through 100 kohm on 50 V; printed to four digits.
#[test]
fn a_capacitor_charges() {
    let found = readings(
        "supply bench gnd -> in  voltage 50 V
        resistor series in -> out  resistance 100 kohm
        capacitor store out -> gnd  capacitance 500 nF
        testpoint through = current(series)
        testpoint across = voltage(series)
        testpoint held = voltage(out)
        reading first = at(through, 0 s)
        reading late = at(through, 150 ms)
        reading charged = at(held, 80 ms)
        reading left = at(across, 17.83 ms)
        transient charging  span 200 ms, start rest",
    );
    assert_close(found("first"), 0.5e-3, 1e-3);
    assert_close(found("late"), 0.024_89e-3, 1e-3);
    assert_close(found("charged"), 39.905, 1e-3);
    // Asked the other way round: after how long are 35 V left across the resistor?
    assert_close(found("left"), 35.0, 1e-3);
}

/// Bird, example 45.3: 50 mH and 5 ohm on 110 V; 15 A after 11.451 ms.
#[test]
fn a_current_grows() {
    let found = readings(
        "supply bench gnd -> in  voltage 110 V
        resistor series in -> out  resistance 5 ohm
        coil choke out -> gnd  inductance 50 mH
        testpoint through = current(choke)
        testpoint resistive = voltage(series)
        testpoint inductive = voltage(choke)
        reading early = at(through, 4 ms)
        reading on_resistor = at(resistive, 6 ms)
        reading on_coil = at(inductive, 6 ms)
        reading fifteen = at(through, 11.451 ms)
        reading last = at(through, 200 ms)
        transient growing  span 200 ms, start rest",
    );
    assert_close(found("early"), 7.253, 1e-3);
    assert_close(found("on_resistor"), 49.631, 1e-3);
    assert_close(found("on_coil"), 60.369, 1e-3);
    assert_close(found("fifteen"), 15.0, 1e-3);
    assert_close(found("last"), 22.0, 1e-3);
}

/// Bird, example 45.4: 5 A in 2 H die away through 10 ohm, to 0.2 A in 0.6438 s, from 50 V.
#[test]
fn a_current_dies_away() {
    let found = readings(
        "source push gnd -> a  current [0 s: 5 A, 1 ms: 5 A, 1 ms: 0 A]
        coil choke a -> gnd  inductance 2 H
        resistor across a -> gnd  resistance 10 ohm
        testpoint through = current(choke)
        testpoint voltage_across = voltage(a)
        reading left = at(through, 644.8 ms)
        reading highest = peak(voltage_across)
        transient decay  span 700 ms, start operating",
    );
    assert_close(found("left"), 0.2, 1e-3);
    assert_close(found("highest"), 50.0, 1e-3);
}

/// Bird, examples 45.5 and 45.6: 2 mH and 1 kohm are critically damped by 4 L/R^2 = 8 nF; only below that a step overshoots.
#[test]
fn damping_of_a_series_circuit() {
    for (capacitance, overshoots) in [("5 uF", false), ("8.001 nF", false), ("7.5 nF", true), ("5 nF", true)]
    {
        let found = readings(&format!(
            "supply bench gnd -> in  voltage 1 V
            resistor series in -> mid  resistance 1 kohm
            coil choke mid -> out  inductance 2 mH
            capacitor store out -> gnd  capacitance {capacitance}
            testpoint held = voltage(out)
            reading highest = maximum(held)
            transient step  span 100 us, start rest"
        ));
        assert_eq!(found("highest") > 1.0 + 1e-9, overshoots, "{capacitance}: {}", found("highest"));
    }
}

/// Nilsson and Riedel, Electric Circuits, ch. 8: 200 ohm, 50 mH, 0.2 uF from 12 V and 30 mA give v = -14 e^-5000t + 26 e^-20000t V, -4.97271 V
/// after 100 us. The closed switch adds a microohm, the open ones conduct a nanosiemens at 12 V: 1e-7 of the 90 mA.
#[test]
fn natural_response_of_a_parallel_circuit() {
    let found = readings(
        "supply bench gnd -> charge  voltage 12 V, resistance 1 mohm
        switch first charge -> a  opens 1 ms, closed_resistance 1 uohm, open_resistance 1 Gohm
        capacitor store a -> gnd  capacitance 0.2 uF
        resistor across a -> gnd  resistance 200 ohm
        switch second a -> b  closes 1 ms, closed_resistance 1 uohm, open_resistance 1 Gohm
        source push gnd -> b  current [0 s: 30 mA, 1 ms: 30 mA, 1 ms: 0 A]
        coil choke b -> gnd  inductance 50 mH
        testpoint seen = voltage(a)
        reading after = at(seen, 1.1 ms)
        transient natural  span 2 ms, start operating",
    );
    assert_close(found("after"), -4.97271, 1e-5);
}

/// Nilsson and Riedel, ch. 8: 560 ohm, 100 mH and 0.1 uF have alpha = 2800 /s and omega_d = 9600 rad/s; a step then is
/// 1 - e^-at (cos wt + (a/w) sin wt).
#[test]
fn natural_response_of_a_series_circuit() {
    let found = readings(
        "supply bench gnd -> in  voltage 1 V
        resistor series in -> mid  resistance 560 ohm
        coil choke mid -> out  inductance 100 mH
        capacitor store out -> gnd  capacitance 0.1 uF
        testpoint held = voltage(out)
        reading early = at(held, 0.2 ms)
        reading late = at(held, 0.5 ms)
        transient step  span 1 ms, start rest",
    );
    for (name, time) in [("early", 0.2e-3_f64), ("late", 0.5e-3)] {
        let (alpha, omega) = (2800.0, 9600.0);
        let (sin, cos) = (omega * time).sin_cos();
        assert_close(found(name), 1.0 - (-alpha * time).exp() * (cos + alpha / omega * sin), 1e-6);
    }
}

/// Peak-to-peak ripple of an ideal full-wave rectifier: from where the sine falls faster than the load discharges to where the next
/// half-wave takes over.
fn ripple(peak: f64, frequency: f64, time_constant: f64) -> f64 {
    let omega = 2.0 * std::f64::consts::PI * frequency;
    // |cos| leaves at w tan(w t) = 1/RC.
    let leaves = (1.0 / (omega * time_constant)).atan() / omega;
    let at_leaving = (omega * leaves).cos();
    let half = 0.5 / frequency;
    let (mut low, mut high) = (0.5 * half, half);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        let discharging = at_leaving * (-(middle - leaves) / time_constant).exp();
        if discharging > (omega * middle).cos().abs() { low = middle } else { high = middle }
    }
    peak * (1.0 - (omega * low).cos().abs())
}

/// Neamen, Electronic Circuit Analysis and Design, example 2.2: 10 V, 10 kohm, 60 Hz and 41.67 uF for 0.2 V; Malvino and Bates, example
/// 4-8: 24 V rms, 5 kohm, 100 uF, 0.57 V on 34 V. Both take the whole half period for the discharge, which is too long by the time
/// in which the diodes conduct: at a ripple of r of the peak, acos(1 - r)/pi of it, 6 %. Solved without that, the run agrees within
/// what 10 mohm of the diodes and the sine's 2000 lines a period change, less than 1 %.
#[test]
fn ripple_of_a_full_wave_rectifier() {
    let peak_of_24_volt = 24.0 * std::f64::consts::SQRT_2;
    for (peak, kiloohm, microfarad, printed) in
        [(10.0, 10.0, 41.67, 0.2), (peak_of_24_volt, 5.0, 100.0, 0.566)]
    {
        let found = readings(&format!(
            "source up gnd -> a  voltage sine, amplitude {peak} V, frequency 60 Hz
            source down gnd -> b  voltage sine, amplitude {peak} V, frequency 60 Hz, phase 50 %
            diode first a -> out  drop 0 V, resistance 10 mohm
            diode second b -> out  drop 0 V, resistance 10 mohm
            capacitor store out -> gnd  capacitance {microfarad} uF
            resistor lamp out -> gnd  resistance {kiloohm} kohm
            testpoint rail = voltage(out)
            reading swing = peak_to_peak(rail)
            reading highest = maximum(rail)
            transient run  span 100 ms, start steady"
        ));
        assert_close(found("swing"), ripple(peak, 60.0, kiloohm * microfarad * 1e-3), 1e-2);
        assert!(found("swing") < printed && found("swing") > 0.92 * printed, "{}", found("swing"));
        assert_close(found("highest"), peak, 1e-3);
    }
}

/// A low-pass at the frequency of a sine leaves 1 / sqrt 2 of it (3 dB, by definition of its corner); without it the sine is whole.
#[test]
fn extremes_are_told_without_the_limit_of_a_bandwidth_too() {
    let text = "source hum gnd -> in  voltage sine, amplitude 2 V, frequency 10 kHz
        resistor lamp in -> gnd  resistance 1 kohm
        testpoint seen = voltage(in), bandwidth 10 kHz
        testpoint whole = voltage(in)
        reading swing = peak_to_peak(seen)
        reading most = maximum(seen)
        reading least = minimum(seen)
        reading top = peak(seen)
        reading plain = maximum(whole)
        transient t  span 1 ms, start steady";
    let source = Source { name: "test.harness".into(), text: text.into() };
    let description = language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    let options = Options { accuracy: 1e-6, ..Options::default() };
    let run = compare(&description, &options).expect("every point is asked for").runs.remove(0);
    let found: Vec<_> = run.readings.iter().map(|reading| (reading.value, reading.unlimited)).collect();
    let seen = std::f64::consts::SQRT_2;
    for (found, (value, unlimited)) in
        found.iter().zip([(2.0 * seen, 4.0), (seen, 2.0), (-seen, -2.0), (seen, 2.0)])
    {
        assert_close(found.0.expect("a value"), value, 1e-5);
        assert_close(found.1.expect("a value without the limit"), unlimited, 1e-5);
    }
    assert_eq!(found[4].1, None);
}
