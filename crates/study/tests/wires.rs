//! Wires from the text of a harness on: the figures that follow from length and size against standards and published tables.
//!
//! "Computed" beside an expected value means: worked out outside of the project from the formula of the source named.

use language::{Description, Source};
use std::f64::consts::TAU;
use study::{Options, compare, examine, responses};

fn read(text: &str) -> Description {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"))
}

/// A figure of a wire of 1 m unless `making` gives its length.
#[track_caller]
fn fact(making: &str, name: &str) -> f64 {
    let length = if making.contains("length") { "" } else { "length 1 m, " };
    let text = format!("source push gnd -> a  current 0 A\nwire w a -> gnd  {length}{making}");
    let found = examine(&read(&text));
    assert!(found.errors.is_empty(), "{:?}", found.errors);
    let part = found.parts.iter().find(|known| known.part.name == "w").expect("the wire has figures");
    let fact = part.part.facts.iter().find(|fact| fact.name == name);
    fact.unwrap_or_else(|| panic!("no {name} in {:?}", part.part.facts)).value
}

#[track_caller]
fn assert_close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() < relative, "{found}, expected {expected}");
}

/// ASTM B258: `0.127 mm x 92^((36 - n)/39)`; 4/0 is -3.
#[test]
fn diameters_of_gauges() {
    for (gauge, millimetre) in
        [(10, 2.5882), (14, 1.6277), (20, 0.811_82), (24, 0.510_56), (30, 0.254_64), (-3, 11.684)]
    {
        assert_close(fact(&format!("gauge {gauge} AWG"), "diameter"), millimetre * 1e-3, 1e-4);
    }
}

/// IEC 60028: 1/58 ohm mm2/m at 20 degC, 0.393 % a kelvin.
#[test]
fn resistance_of_copper() {
    for (celsius, milliohm) in [(20, 17.241), (60, 19.952), (-10, 15.209)] {
        let making = format!("area 1 mm2, temperature {celsius} degC");
        assert_close(fact(&making, "resistance"), milliohm * 1e-3, 1e-4);
    }
    // ASTM B258 with IEC 60028.
    for (gauge, celsius, milliohm) in [(20, 20, 33.309), (14, 20, 8.2855), (20, 80, 41.163)] {
        let making = format!("gauge {gauge} AWG, temperature {celsius} degC");
        assert_close(fact(&making, "resistance"), milliohm * 1e-3, 2e-4);
    }
}

/// IEC 60228, class 5, plain copper, as seen in a cable data table: exact but for rounding. The rest of the range from memory.
#[test]
fn flexible_conductors() {
    let rows = [
        (1.0, 19.5),
        (1.5, 13.3),
        (2.5, 7.98),
        (4.0, 4.95),
        (6.0, 3.30),
        (10.0, 1.91),
        (0.5, 39.0),
        (16.0, 1.21),
    ];
    for (area, ohm_per_km) in rows {
        let found = fact(&format!("length 1000 m, area {area} mm2, conductor class_5"), "resistance");
        assert_close(found, ohm_per_km, 1e-12);
    }
    // The other way round: how long is a lead of 100 mohm? 100 m of 1 mm2 have 1.95 ohm.
    assert_close(fact("length 5.128205 m, area 1 mm2, conductor class_5", "resistance"), 0.1, 1e-6);
}

/// IEC 60028: 8.89 g/cm3. A metre of 1 mm2 is a cubic centimetre; a return doubles it.
#[test]
fn mass_of_copper() {
    assert_close(fact("area 1 mm2", "mass"), 8.89e-3, 1e-12);
    assert_close(fact("area 2.5 mm2, spacing 4 mm, return included", "mass"), 2.0 * 2.5 * 8.89e-3, 1e-12);
    assert_close(fact("diameter 0.1 mm, strands 19", "mass"), 19.0 * 0.785_398e-8 * 8890.0, 1e-6);
}

/// Preece in its inch form: 122.9 A at 0.0524 in, 80.02 A at 1 mm, 100 A at 0.0457 in (a table's row).
#[test]
fn fusing_in_free_air() {
    for (millimetre, ampere) in [(0.0524 * 25.4, 122.9), (1.0, 80.02), (0.0457 * 25.4, 100.0)] {
        assert_close(fact(&format!("diameter {millimetre} mm"), "fusing_current"), ampere, 5e-3);
    }
}

/// Onderdonk/Stauffacher 1928, from 25 degC; computed.
#[test]
fn fusing_within_a_time() {
    for (gauge, time, ampere) in [(16, "5 s", 169.0), (20, "1 s", 149.4), (24, "100 ms", 186.9)] {
        let making = format!("gauge {gauge} AWG, temperature 25 degC, overload_time {time}");
        assert_close(fact(&making, "fusing_current_in_overload_time"), ampere, 5e-3);
        let fixed = format!("fusing_current_in_{}", time.replace(' ', "_"));
        assert_close(fact(&format!("gauge {gauge} AWG"), &fixed), ampere, 5e-3);
    }
}

/// Rosa, NBS Bulletin 1908; Grover, Inductance Calculations, ch. 5; computed. Without inner field: Grover's value for high frequency.
#[test]
fn inductance_of_a_wire_alone() {
    for (making, nanohenry) in [
        ("length 100 mm, diameter 1 mm", 104.93),
        ("length 1 m, gauge 20 AWG", 1550.6),
        ("length 20 mm, diameter 0.5 mm", 17.351),
    ] {
        assert_close(fact(making, "inductance"), nanohenry * 1e-9, 1e-3);
    }
    assert_close(fact("length 100 mm, diameter 1 mm", "inductance_high_frequency"), 99.929e-9, 1e-3);
}

/// Bird, Electrical Circuit Theory and Technology, example 40.20; and pairs of hook-up wire by the formulas of Bird, ch. 40, and Grover,
/// ch. 6, computed.
#[test]
fn inductance_of_pairs() {
    assert_close(fact("length 1000 m, diameter 10 mm, spacing 800 mm", "inductance"), 2.1301e-3, 1e-3);
    for (making, low, high) in
        [("gauge 20 AWG, spacing 1.6 mm", 648.65, 519.99), ("gauge 14 AWG, spacing 3 mm", 621.83, 488.48)]
    {
        assert_close(fact(making, "inductance"), low * 1e-9, 1e-3);
        assert_close(fact(making, "inductance_high_frequency"), high * 1e-9, 1e-3);
    }
}

/// Bird, example 40.20, with 8.85e-12 F/m and D >> a: both change less than 1e-3.
#[test]
fn capacitance_of_a_pair() {
    assert_close(
        fact("length 1000 m, diameter 10 mm, spacing 800 mm", "capacitance_in_air"),
        5.4783e-9,
        1e-3,
    );
}

/// IEC 60317-0-1, greatest overall diameters of grades 1 and 2 as seen in public code that quotes it, to half of the last digit; 26 AWG (0.404 mm) of a
/// maker's table that cites it.
#[test]
fn thickness_of_enamelled_wire() {
    for (bare, one, two) in [
        ("diameter 0.315 mm", 0.349, 0.367),
        ("diameter 1.6 mm", 1.670, 1.706),
        ("diameter 0.404 mm", 0.443, 0.463),
    ] {
        for (grade, millimetre) in [("grade_1", one), ("grade_2", two)] {
            let found = fact(&format!("{bare}, enamel {grade}"), "overall_diameter");
            assert!((found * 1e3 - millimetre).abs() < 0.0005 + 1e-9, "{bare} {grade}: {found}");
        }
    }
}

/// Bhooshan, Fundamentals of Engineering Electromagnetics, example 11.12: 66.01 um, with a conductivity a quarter of a per cent higher.
#[test]
fn skin_depth() {
    assert_close(fact("gauge 20 AWG", "skin_depth_at_1_megahertz"), 66.01e-6, 5e-3);
}

/// Geometry of a helix: sqrt(1 + (pi D/p)^2).
#[test]
fn wire_of_a_twisted_pair() {
    for (spacing, pitch, factor) in [(1.6, 20.0, 1.0311), (1.6, 40.0, 1.007_86), (2.2, 15.0, 1.101_05)] {
        let making = format!("gauge 20 AWG, spacing {spacing} mm, pitch {pitch} mm, return included");
        assert_close(fact(&making, "length_per_run"), factor, 1e-4);
        assert_close(fact(&making, "wire_length"), 2.0 * factor, 1e-4);
        let straight = format!("gauge 20 AWG, spacing {spacing} mm, return included");
        assert_close(fact(&making, "resistance") / fact(&straight, "resistance"), factor, 1e-4);
    }
}

/// A wire table on a public page: circular mils/750 for good, /500 at most (4/0: 282.12 and 423.18 A; 6 AWG: 35.0 and 52.5 A).
#[test]
fn rule_of_thumb_currents() {
    for (gauge, good, most) in
        [(-3, 282.13, 423.2), (6, 35.002, 52.503), (14, 5.4756, 8.2134), (20, 1.362, 2.0431)]
    {
        let making = format!("gauge {gauge} AWG");
        assert_close(fact(&making, "continuous_current"), good, 1e-3);
        assert_close(fact(&making, "maximum_current"), most, 1e-3);
    }
}

/// Skin effect at a/delta of 0.5, 1, 2 and 4: the Kelvin-function result (Terman, Radio Engineers' Handbook, section 2), computed. The
/// ladder is made to be within 1 % of it. What lies outside the wire is the pair's inductance without its 2 x 50 nH/m.
#[test]
fn skin_effect_over_frequency() {
    let table = [
        (0.5, 1.001_301, 0.999_35),
        (1.0, 1.020_492, 0.989_77),
        (2.0, 1.264_643, 0.870_48),
        (4.0, 2.273_801, 0.492_75),
    ];
    let making = "length 1 m, gauge 20 AWG, spacing 1.6 mm, return included";
    let (resistance, inductance) = (fact(making, "resistance"), fact(making, "inductance"));
    for (ratio, more, less) in table {
        // (a/delta)^2 = f mu0/R', with the resistance R' of a metre of one conductor.
        let frequency = ratio * ratio * (0.5 * resistance) / (2e-7 * TAU);
        let text = format!(
            "source push a -> gnd  current 0 A\nwire w a -> gnd  {making}, skin_effect included
            frequency [{frequency} Hz]\nresponse port = impedance(a)"
        );
        let found = responses(&read(&text), &Options::default()).expect("every point is asked for");
        let value = found.curves[0][0].as_ref().expect("a curve").values[0].expect("an answer");
        assert_close(value.re, resistance * more, 1e-2);
        let inside = value.im / (TAU * frequency) - (inductance - 100e-9);
        assert_close(inside, 100e-9 * less, 1e-2);
    }
}

/// 10 AWG at 100 kHz: 3.35 to 3.36 times its resistance, Terman's table as quoted on a public page; the ladder may be 1 % off.
#[test]
fn ten_gauge_at_a_hundred_kilohertz() {
    let text = "source push a -> gnd  current 0 A
        wire w a -> gnd  length 1 m, gauge 10 AWG, spacing 4 mm, skin_effect included
        frequency [100 kHz]\nresponse port = impedance(a)";
    let found = responses(&read(text), &Options::default()).expect("every point is asked for");
    let value = found.curves[0][0].as_ref().expect("a curve").values[0].expect("an answer");
    assert_close(value.re / fact("gauge 10 AWG", "resistance"), 3.361, 1e-2);
}

/// Both domains see one network: a sine through the wire in time makes the voltage that its impedance says. Sines are drawn with 2000
/// straight lines a period.
#[test]
fn skin_effect_in_time_is_that_over_frequency() {
    let wire =
        "wire w a -> gnd  length 1 m, gauge 20 AWG, spacing 1.6 mm, return included, skin_effect included";
    let text = format!(
        "source push gnd -> a  current sine, amplitude 1 A, frequency 1 MHz\n{wire}
        resistor shunt a -> gnd  resistance 10 ohm
        testpoint seen = voltage(a)
        reading volts = sqrt(2) * rms_ac(seen)
        transient run  span 10 us, start steady
        frequency [1 MHz]\nresponse port = impedance(a)"
    );
    let description = read(&text);
    let compared = compare(&description, &Options::default()).expect("every point is asked for");
    let run = &compared.runs[0];
    assert_eq!(run.error, None);
    let volts = run.readings[0].value.expect("a value");
    let found = responses(&description, &Options::default()).expect("every point is asked for");
    let value = found.curves[0][0].as_ref().expect("a curve").values[0].expect("an answer");
    // The higher harmonics of a sine in 2000 straight lines count by their squares, 1e-12.
    assert_close(volts, value.re.hypot(value.im), 1e-6);
}

/// Without the word, a file keeps its numbers: resistance and inductance in series.
#[test]
fn skin_effect_is_left_out_unless_asked_for() {
    let text = "source push a -> gnd  current 0 A\nwire w a -> gnd  length 1 m, gauge 20 AWG, spacing 1.6 mm
        frequency [10 MHz]\nresponse port = impedance(a)";
    let found = responses(&read(text), &Options::default()).expect("every point is asked for");
    let value = found.curves[0][0].as_ref().expect("a curve").values[0].expect("an answer");
    assert_close(value.re, 33.309e-3, 2e-4);
}
