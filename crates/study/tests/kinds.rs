//! Coupled windings, diodes, switches, regulators, beads and sources from the text of a harness on, against closed forms and published examples.

use language::{Description, Source};
use std::f64::consts::TAU;
use study::result::Amplitude;
use study::{Options, compare, responses};

fn read(text: &str) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// The readings of the first point, by name.
fn readings(text: &str) -> impl Fn(&str) -> f64 + use<> {
    let description = read(text);
    let mut comparison = compare(&description, &Options::default()).expect("every point is asked for");
    let run = comparison.runs.remove(0);
    assert_eq!(run.error, None);
    move |name: &str| {
        let reading = run.readings.iter().find(|reading| reading.name == name);
        reading.and_then(|reading| reading.value).expect("a reading of that name with a value")
    }
}

/// The values of the only response at the given frequencies, which the text must ask for.
fn curve(text: &str) -> Vec<Amplitude> {
    let found = responses(&read(text), &Options::default()).expect("every point is asked for");
    let curve = found.curves[0][0].as_ref().expect("a curve");
    curve.values.iter().map(|value| value.expect("an answer")).collect()
}

#[track_caller]
fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() < relative, "{found}, expected {expected}");
}

/// The temperature in kelvin at which k T / q is 26 mV, with the constants of the SI.
fn temperature_of_26_millivolts() -> f64 {
    26e-3 * 1.602_176_634e-19 / 1.380_649e-23
}

/// Neamen, Electronic Circuit Analysis and Design, example 1.5: with 10 fA and 26 mV, 0.7 V drive 4.927 mA. Asked the other way
/// round, half a unit of the last digit printed is 26 mV x 0.5 / 4927 = 2.6 uV.
#[test]
fn a_diode_carries_what_the_junctions_law_says() {
    let text = format!(
        "source push gnd -> a current 4.927 mA
        diode d a -> gnd saturation 10 fA, temperature {} K
        testpoint across = voltage(d)
        reading drop = mean(across)
        transient point span 1 us, start operating",
        temperature_of_26_millivolts()
    );
    let drop = readings(&text)("drop");
    assert!((drop - 0.7).abs() < 3e-6, "{drop}");
}

/// Neamen, example 1.6: 5 V through 2 kohm into a diode of 0.1 pA. The book rounds to 0.619 V and 2.19 mA; solving its two
/// equations to more digits gives 0.61906 V and 2.1905 mA.
#[test]
fn a_diode_finds_its_operating_point() {
    let text = format!(
        "supply bench gnd -> in voltage 5 V
        resistor series in -> a resistance 2 kohm
        diode d a -> gnd saturation 0.1 pA, temperature {} K
        testpoint across = voltage(d)
        testpoint through = current(d)
        reading drop = mean(across)
        reading current = mean(through)
        transient point span 1 us, start operating",
        temperature_of_26_millivolts()
    );
    let found = readings(&text);
    assert_close(found("drop"), 0.61906, 1e-5);
    assert_close(found("current"), 2.1905e-3, 3e-5);
    // The two equations hold between what is found.
    assert_close(found("current"), 1e-13 * (found("drop") / 0.026).exp_m1(), 1e-9);
}

/// A Zener diode of 5.1 V behind 100 ohm on 12 V: the junction's law in reverse, I_s e^((v - V_b) / V_t) with V_t = 25.693 mV, holds
/// between voltage and current.
#[test]
fn a_diode_breaks_down() {
    let found = readings(
        "supply bench gnd -> in voltage 12 V
        resistor series in -> out resistance 100 ohm
        diode zener gnd -> out saturation 1 nA, breakdown 5.1 V
        testpoint out_voltage = voltage(out)
        reading out_level = mean(out_voltage)
        transient point span 1 us, start operating",
    );
    let through = (12.0 - found("out_level")) / 100.0;
    // The saturation current and the leakage are parts in 1e8 of the current.
    assert_close(through, 1e-9 * ((found("out_level") - 5.1) / 25.692_6e-3).exp(), 1e-4);
}

/// A series diode of fixed drop passes a pack the right way round and stops it the wrong way round.
#[test]
fn a_diode_of_fixed_drop_protects() {
    let level = |ends: &str| {
        readings(&format!(
            "battery pack {ends} emf 12 V
            diode guard raw -> bus drop 0.4 V, resistance 20 mohm
            load lamp bus -> gnd resistance 10 ohm
            testpoint bus_voltage = voltage(bus)
            reading level = mean(bus_voltage)
            transient point span 1 us, start operating"
        ))("level")
    };
    // (12 V - 0.4 V) over 10 ohm and 20 mohm; the leakage adds 1 nS x 20 mohm.
    assert_close(level("gnd -> raw"), 11.6 * 10.0 / 10.02, 1e-9);
    // 1 nS x 12 V into 10 ohm.
    assert!(level("raw -> gnd").abs() < 2e-7);
}

const REGULATOR: &str = "\
supply bench gnd -> in voltage 12 V
regulator reg in -> out output 5 V, dropout 0.5 V, rejection 60 dB, resistance 50 mohm, quiescent 5 mA
testpoint rail = voltage(out)
testpoint delivered = current(bench)
testpoint passed = current(reg)
reading level = mean(rail)
reading drawn = mean(delivered)
reading through = mean(passed)
transient point span 1 us, start operating
";

/// By the part's definition: no load gives U + r (v - U - d), 0.1 A through R takes 5 mV off, and the input gives the load's
/// current and the regulator's own.
#[test]
fn a_regulator_holds_its_output() {
    let found = readings(&format!("{REGULATOR}load eye out -> gnd current 100 mA"));
    assert_close(found("level"), 5.0 + 1e-3 * 6.5 - 0.005, 1e-12);
    assert_close(found("drawn"), 0.105, 1e-12);
    assert_close(found("through"), 0.1, 1e-12);
}

/// Below regulation the output follows the input, one dropout and the resistance's share lower.
#[test]
fn a_regulator_drops_out() {
    let text =
        format!("{REGULATOR}load eye out -> gnd current 100 mA").replace("voltage 12 V", "voltage 5.2 V");
    assert_close(readings(&text)("level"), 5.2 - 0.5 - 0.005, 1e-12);
}

/// Franco, Design with Operational Amplifiers, example 5.5, calls 150 uV/V what is 76.478 dB: 0.1 V of ripple come through as
/// 15 uV (the example multiplies them by its amplifier's 1001: 15.02 mV). A resistive load divides them against R.
#[test]
fn a_regulator_rejects_ripple() {
    let through = |load: &str| {
        let text = REGULATOR.replace("60 dB", "76.478 dB");
        curve(&format!(
            "{text}load eye out -> gnd {load}
            frequency [10 Hz, 10 kHz]
            response path = transfer(voltage(out), bench)"
        ))
    };
    // Half a unit of the last digit of 76.478 dB is 6e-5.
    for value in through("current 100 mA") {
        assert_close(value.re * 0.1 * 1001.0, 15.02e-3, 6e-4);
        assert_close(value.re, 150e-6, 6e-5);
        assert_eq!(value.im, 0.0);
    }
    let exact = 10f64.powf(-76.478 / 20.0);
    for value in through("resistance 50 ohm") {
        assert_close(value.re, exact * 50.0 / 50.05, 1e-9);
    }
}

/// A switch that closes at 1 ms charges 10 uF through 100 ohm: 1 - e^(-t / 1 ms) from there; opened again two time constants later,
/// the charge stays but for what flows through the gigaohm of the open switch.
#[test]
fn a_switch_closes_and_opens() {
    let found = readings(
        "supply bench gnd -> in voltage 10 V
        switch key in -> a closed_resistance 1 ohm, open_resistance 1 Gohm, closes 1 ms, opens 3 ms
        resistor series a -> top resistance 99 ohm
        capacitor store top -> gnd capacitance 10 uF
        testpoint charge = voltage(store)
        reading before = at(charge, 0.999 ms)
        reading halfway = at(charge, 1.5 ms)
        reading later = at(charge, 2.5 ms)
        reading held = at(charge, 4.5 ms)
        transient run span 5 ms, start rest",
    );
    // The open switch lets 10 nA pass: 1 uV in a millisecond.
    assert!(found("before").abs() < 1.1e-6);
    let rise = |time: f64| 10.0 * -(-time / 1e-3f64).exp_m1();
    // Within the program's accuracy of a ten-thousandth of the swing, or the drawing of its parabolas.
    for (name, time) in [("halfway", 0.5e-3), ("later", 1.5e-3), ("held", 2e-3)] {
        assert_close(found(name), rise(time), 1e-4);
    }
}

#[test]
fn a_switch_that_moves_has_no_steady_state() {
    let text = |switch: &str| {
        format!(
            "supply bench gnd -> in voltage 10 V
            switch key in -> a {switch}
            load lamp a -> gnd resistance 9.99 ohm
            testpoint lit = current(lamp)
            reading level = mean(lit)
            transient run span 1 ms, start steady"
        )
    };
    assert_close(readings(&text("closed_resistance 10 mohm"))("level"), 1.0, 1e-12);
    let moving = compare(&read(&text("closes 1 ms")), &Options::default()).expect("every point is asked for");
    let error = moving.runs[0].error.clone().expect("no steady state");
    assert!(error.starts_with("run: switch `key` moves, so nothing repeats"), "{error}");
}

/// Rdc + (R || L || C) of 600 ohm, 1 uH, 0.2 pF and 0.1 ohm, by definition; printed to five digits.
#[test]
fn a_bead_by_its_equivalent() {
    let values = curve(
        "source push a -> gnd current 0 A
        bead b a -> gnd peak_resistance 600 ohm, inductance 1 uH, capacitance 0.2 pF, dcr 0.1 ohm
        frequency [1 MHz, 10 MHz, 100 MHz, 1 GHz]
        response port = impedance(a)",
    );
    for (value, expected) in values.iter().zip([6.2847, 62.549, 450.61, 501.2]) {
        assert_close(value.re.hypot(value.im), expected, 1e-4);
    }
}

/// A bead biased at its saturation current has lost 30 % of its inductance, at low frequency all there is.
#[test]
fn a_biased_bead_is_a_smaller_one() {
    let text = |current: &str| {
        format!(
            "source push gnd -> a current {current}
            bead b a -> gnd peak_resistance 600 ohm, inductance 1 uH, dcr 0.1 ohm, saturation_current 0.3 A
            frequency [10 kHz]
            response port = impedance(a)"
        )
    };
    // In parallel with 600 ohm the reactance of 63 mohm loses its ratio squared.
    assert_close(curve(&text("0 A"))[0].im, TAU * 10e3 * 1e-6, 1e-6);
    assert_close(curve(&text("0.3 A"))[0].im, TAU * 10e3 * 0.7e-6, 1e-6);
}

/// A voltage that rises in a straight line drives C dV/dt through a capacitor; a current source charges it along I t / C.
#[test]
fn a_source_follows_its_points() {
    let found = readings(
        "source ramp gnd -> a voltage points [0 ms: 0 V, 2 ms: 10 V]
        capacitor first a -> gnd capacitance 1 uF
        source pump gnd -> b current [1 ms: 0 mA, 1.001 ms: 2 mA]
        capacitor second b -> gnd capacitance 1 uF
        resistor bleed b -> gnd resistance 1 Gohm
        testpoint level = voltage(ramp)
        testpoint given = current(ramp)
        testpoint driven = current(pump)
        testpoint charged = voltage(b)
        reading half = at(level, 1 ms)
        reading top = at(level, 2.5 ms)
        reading displaced = at(given, 1 ms)
        reading pumped = at(driven, 2 ms)
        reading charge = at(charged, 2.5 ms)
        transient run span 3 ms, start operating",
    );
    assert_close(found("half"), 5.0, 1e-9);
    assert_close(found("top"), 10.0, 1e-9);
    assert_close(found("displaced"), 5e-3, 1e-9);
    assert_close(found("pumped"), 2e-3, 1e-9);
    // The rise counts half; a gigaohm takes a millionth.
    assert_close(found("charge"), 2e-3 * (1.5e-3 - 0.5e-6) / 1e-6, 1e-5);
}

/// One volt of a source is divided as one volt of a supply is; one ampere of a current source lifts the node it runs into.
#[test]
fn responses_of_sources() {
    let parts = "resistor upper a -> b resistance 3 ohm
        resistor lower b -> gnd resistance 1 ohm
        frequency [1 kHz]";
    let voltage =
        curve(&format!("{parts}\nsource s gnd -> a voltage 5 V\nresponse path = transfer(voltage(b), s)"));
    assert_close(voltage[0].re, 0.25, 1e-12);
    let current =
        curve(&format!("{parts}\nsource s gnd -> a current 1 A\nresponse path = transfer(voltage(b), s)"));
    assert_close(current[0].re, 1.0, 1e-12);
}

/// A common-mode choke in supply and return: what goes out through one winding comes back through the other, against its arrow, and
/// meets only the leakages, 2 (1 - k) L. With the second winding turned round both add up to 2 (1 + k) L, that of one coil.
#[test]
fn a_common_mode_choke_lets_the_supply_pass() {
    let loop_impedance = |second: &str| {
        curve(&format!(
            "coupled cm in -> out, {second} inductance 1 mH, coupling 0.98, dcr 100 mohm
            resistor lamp out -> back resistance 10 ohm
            frequency [1 kHz]
            response port = impedance(in)"
        ))[0]
    };
    for (second, inductance) in [("gnd -> back", 40e-6), ("back -> gnd", 3.96e-3)] {
        let found = loop_impedance(second);
        assert_close(found.re, 10.2, 1e-9);
        assert_close(found.im, TAU * 1e3 * inductance, 1e-9);
    }
}

/// The core sees i1 + n i2. At the saturation current it has lost `drop` of k L; leakage does not saturate.
#[test]
fn a_coupled_pair_saturates_by_the_sum_of_its_currents() {
    let pair = |second: &str| {
        readings(&format!(
            "source one gnd -> a current 0.2 A
            source other {second} current 0.15 A
            coupled cm a -> gnd, b -> gnd inductance 1 mH, coupling 0.9, turns_ratio 2, saturation_current 0.5 A, drop 20 %, residual 20 uH
            resistor bleed_a a -> gnd resistance 1 kohm
            resistor bleed_b b -> gnd resistance 1 kohm
            testpoint linked = flux(cm)
            testpoint through = current(cm)
            reading linkage = mean(linked)
            reading current = mean(through)
            reading lost = saturation(cm)
            transient point span 1 us, start operating"
        ))
    };
    // 0.2 A + 2 x 0.15 A is the saturation current; turned round the second winding takes away, -0.1 A are left.
    let found = pair("gnd -> b");
    assert_close(found("current"), 0.2, 1e-9);
    assert_close(found("lost"), 0.2, 1e-9);
    let against = pair("b -> gnd");
    assert!(against("lost") < 0.02, "{}", against("lost"));
    // Little saturated, the core's flux is k L times -0.1 A, and the leakage has (1 - k) L times 0.2 A.
    assert_close(against("linkage"), -0.9e-3 * 0.1 + 0.1e-3 * 0.2, 5e-3);
}

/// A choke from an assembly is the choke: both its pairs of nodes are those of the fit.
#[test]
fn a_coupled_pair_inside_an_assembly() {
    let found = curve(
        "assembly choke(l) a, b, c, d { coupled cm a -> b, c -> d inductance l, coupling 0.98, dcr 100 mohm }
        fit choke filter in, out, far, back  l 1 mH
        wire end far -> gnd resistance 0 ohm
        resistor lamp out -> back resistance 10 ohm
        frequency [1 kHz]
        response port = impedance(in)",
    )[0];
    assert_close(found.re, 10.2, 1e-9);
    assert_close(found.im, TAU * 1e3 * 40e-6, 1e-9);
}
