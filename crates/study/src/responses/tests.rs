//! Measures over frequency against closed forms and published examples.

use super::measured::{Found, measured};
use super::{View, bias};
use language::Source;
use language::description::{Harness, Instance, Measure, Start};
use network::lowered::Warning;

/// The only point of a harness; instances are the parts whose names start so.
fn harness(text: &str) -> Harness {
    let source = Source { name: "test.harness".into(), text: text.into() };
    language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}")).at(&[])
}

/// Makes the parts named so an instance `filter` with terminals on the nodes given.
fn fitted(mut harness: Harness, parts: &[&str], nodes: &[&str]) -> Harness {
    for part in harness.parts.iter_mut().filter(|part| parts.contains(&part.name.as_str())) {
        part.name = format!("filter.{}", part.name);
    }
    let nodes = nodes.iter().map(ToString::to_string).collect();
    harness.instances.push(Instance { name: "filter".into(), assembly: "made".into(), nodes });
    harness
}

fn with_view<T>(harness: &Harness, look: impl FnOnce(&View<'_>) -> T) -> T {
    let lowered = network::lowering::lower(harness, Start::Steady).expect("it can be built");
    let (bias, at_rest) = bias::bias(&lowered, 1e-4).expect("it rests");
    assert_eq!(at_rest, None);
    look(&View::new(harness, &lowered, bias))
}

fn found(harness: &Harness, measure: &Measure) -> Found {
    with_view(harness, |view| measured(view, measure)).expect("a measure over frequency")
}

#[track_caller]
fn decibels(harness: &Harness, measure: &Measure, expected: f64, tolerance: f64) {
    let found = found(harness, measure);
    let value = found.value.unwrap_or_else(|| panic!("{found:?}"));
    assert!((value - expected).abs() < tolerance, "{value} dB, expected {expected} dB");
    assert!(found.applies && found.reason.is_none());
}

fn loss(ends: [f64; 2], frequency: f64) -> Measure {
    Measure::InsertionLoss {
        instance: "filter".into(),
        source: ends[0],
        load: ends[1],
        band: Some((frequency, frequency)),
    }
}

const FEED: &str =
    "supply pack gnd -> a voltage 12 V, resistance 1 ohm\nresistor eye b -> gnd resistance 50 ohm\n";

/// CISPR 17 in 50/50 ohm: 20 lg |1 + Z/100| of a series coil, 20 lg |1 + 25 Y| of a capacitor across; values to five digits.
#[test]
fn insertion_loss_of_single_elements() {
    let text = format!("{FEED}coil l a -> b inductance 10 uH");
    let coil = fitted(harness(&text), &["l"], &["a", "b"]);
    for (frequency, expected) in [(100e3, 0.017_112), (1e6, 1.4451), (10e6, 16.072)] {
        decibels(&coil, &loss([50.0, 50.0], frequency), expected, 1e-3);
    }
    let text = format!("{FEED}resistor l a -> b resistance 1 nohm\ncapacitor c b -> gnd capacitance 1 uF");
    let capacitor = fitted(harness(&text), &["l", "c"], &["a", "b"]);
    for (frequency, expected) in [(10e3, 5.4), (100e3, 23.94), (1e6, 43.923)] {
        decibels(&capacitor, &loss([50.0, 50.0], frequency), expected, 1e-3);
    }
}

/// 20 lg |(1 + ZL Y + ZL/Z2 + Z0 (Y + 1/Z2)) / (1 + Z0/Z2)| of a coil toward the source and a capacitor across the load, ideal and
/// real, in 50/50 ohm; and in 0.1/100 ohm, where the least over a band lies at the resonance.
#[test]
fn insertion_loss_of_an_l_section() {
    let ideal = format!("{FEED}coil l a -> b inductance 100 uH\ncapacitor c b -> gnd capacitance 470 uF");
    let real = format!(
        "{FEED}coil l a -> b inductance 100 uH, dcr 50 mohm\n\
         capacitor c b -> gnd capacitance 470 uF, esr 30 mohm, esl 10 nH"
    );
    let known = [(&ideal, [37.3651, 57.4317, 81.4788]), (&real, [37.3518, 55.0249, 62.5017])];
    for (text, expected) in known {
        // A third terminal on a node of its own is tied to gnd.
        for nodes in [&["a", "b"][..], &["a", "b", "gnd"], &["a", "b", "return"]] {
            let text = if nodes.contains(&"return") {
                format!(
                    "{}\nresistor tie return -> gnd resistance 1 ohm",
                    text.replace("c b -> gnd", "c b -> return")
                )
            } else {
                text.clone()
            };
            let filter = fitted(harness(&text), &["l", "c"], nodes);
            for (frequency, expected) in [1e3, 10e3, 100e3].into_iter().zip(expected) {
                decibels(&filter, &loss([50.0, 50.0], frequency), expected, 1e-3);
            }
        }
    }
    let filter = fitted(harness(&real), &["l", "c"], &["a", "b"]);
    let (source, load) = (0.1, 100.0);
    let closed = |frequency: f64| {
        let j = engine::Complex::new(0.0, std::f64::consts::TAU * frequency);
        let series = j * 100e-6 + 0.05;
        let across = (j * 10e-9 + 0.03 + (j * 470e-6).inv()).inv();
        let with = series * across + series / load + (across + 1.0 / load) * source + 1.0;
        20.0 * (with / (1.0 + source / load)).norm().log10()
    };
    let tried = (0..=200_000).map(|k| closed(10.0 * f64::powf(10.0, f64::from(k) / 40_000.0)));
    let least = tried.fold(f64::INFINITY, f64::min);
    assert!(least < -2.0, "it amplifies: {least}");
    let band = Some((10.0, 1e6));
    let measure = Measure::InsertionLoss { instance: "filter".into(), source, load, band };
    decibels(&filter, &measure, least, 1e-6);
}

/// A coil that saturates counts with its inductance at the vehicle's current, here 12 V / 60 ohm.
#[test]
fn insertion_loss_at_the_vehicles_current() {
    let text = "supply pack gnd -> a voltage 12 V, resistance 10 ohm\nresistor eye b -> gnd resistance 50 ohm\n\
                coil l a -> b inductance 330 uH, saturation_current 200 mA, drop 50 %";
    let filter = fitted(harness(text), &["l"], &["a", "b"]);
    // Half of 330 uH is left at 0.2 A by the meaning of the drop; 20 lg |1 + Z/100|.
    let series = std::f64::consts::TAU * 100e3 * 165e-6;
    decibels(&filter, &loss([50.0, 50.0], 100e3), 20.0 * f64::hypot(1.0, series / 100.0).log10(), 1e-9);
}

#[test]
fn what_is_absent_does_not_apply() {
    let here = harness(&format!("{FEED}resistor l a -> b resistance 1 ohm"));
    for measure in [
        loss([50.0, 50.0], 1e3),
        Measure::ImpedanceMargin("gone".into()),
        Measure::ImpedanceMargin("eye".into()),
        Measure::PeakGain { response: "gone".into(), band: None },
        Measure::Resonances(Some("gone".into())),
    ] {
        let found = found(&here, &measure);
        assert!(found.value.is_none() && found.reason.is_none() && !found.applies, "{measure:?} {found:?}");
    }
    let one_node = fitted(here.clone(), &["l"], &["a", "a"]);
    assert!(found(&one_node, &loss([50.0, 50.0], 1e3)).reason.is_some_and(|text| text.contains("filter")));
    let filter = fitted(here, &["l"], &["a", "b"]);
    let no_band = Measure::InsertionLoss { instance: "filter".into(), source: 50.0, load: 50.0, band: None };
    assert!(found(&filter, &no_band).reason.is_some_and(|text| text.contains("frequency 10 Hz")));
}

/// A load of 20 W at 12 V behind a coil of a given resistance, 100 uH and 100 uF.
fn constant_power(resistance: f64) -> Harness {
    harness(&format!(
        "supply pack gnd -> bus voltage {} V, resistance 0 ohm\n\
         coil l bus -> cam inductance 100 uH, dcr {resistance} ohm\n\
         capacitor c cam -> gnd capacitance 100 uF\n\
         load dcdc cam -> gnd power 20 W, below 6 V",
        12.0 + resistance * 20.0 / 12.0
    ))
}

/// Greatest |R + j w L| / |1 - w^2 L C + j w R C| over w, by its derivative: with r = R / R0 and x = (w / w0)^2 it is
/// R0 sqrt((r^2 + x) / ((1 - x)^2 + r^2 x)), greatest at x = sqrt(1 + 2 r^2) - r^2.
fn greatest_impedance(resistance: f64) -> f64 {
    let square = resistance * resistance;
    let x = (1.0 + 2.0 * square).sqrt() - square;
    ((square + x) / ((1.0 - x) * (1.0 - x) + square * x)).sqrt()
}

/// Middlebrook, IEEE IAS 1976: -V^2/P = -7.2 ohm against the greatest impedance of the filter. By Routh's criterion less than
/// 0.1389 ohm grows, and there the margin is gone: it is enough for stability, so that where there is one nothing grows.
#[test]
fn impedance_margin_of_a_constant_power() {
    let measure = Measure::ImpedanceMargin("dcdc".into());
    for resistance in [0.05, 0.1389, 0.15, 0.3, 0.6] {
        let expected = 20.0 * (7.2 / greatest_impedance(resistance)).log10();
        decibels(&constant_power(resistance), &measure, expected, 1e-6);
    }
    let margin = |resistance: f64| found(&constant_power(resistance), &measure).value.expect("a value");
    // At the limit r = 1/7.2; the margin differs from 0 by the neglected terms of second order, 20 lg (1 + r^2 / 2).
    assert!(margin(1.0 / 7.2).abs() < 0.1);
    let grows = |resistance: f64| {
        with_view(&constant_power(resistance), |view| {
            view.resonances().expect("poles").iter().any(|resonance| resonance.pole.re > 0.0)
        })
    };
    for resistance in [0.05, 0.137, 0.141, 0.15, 0.3] {
        assert!(!(margin(resistance) > 0.0 && grows(resistance)), "{resistance} ohm");
    }
    assert!(grows(0.137) && margin(0.137) < 0.0 && !grows(0.141) && margin(0.15) > 0.0);
}

/// Erickson and Maksimovic, Fundamentals of Power Electronics, section 10.4 (from memory): 330 uH and 470 uF with 0.67 ohm and
/// 1200 uF across have no more than sqrt(2 (2 + n)) / n of R0 for n = 2.5, 1.006 ohm.
#[test]
fn impedance_margin_of_a_damped_filter() {
    let (inductance, capacitance, ratio) = (330e-6, 470e-6, 2.5_f64);
    let unit = f64::sqrt(inductance / capacitance);
    let best = ((4.0 + 3.0 * ratio) * (2.0 + ratio) / (2.0 * ratio * ratio * (4.0 + ratio))).sqrt();
    let text = format!(
        "supply pack gnd -> bus voltage 12 V, resistance 0 ohm\n\
         coil l bus -> cam inductance 330 uH\ncapacitor c cam -> gnd capacitance 470 uF\n\
         resistor damper cam -> far resistance {} ohm\ncapacitor big far -> gnd capacitance {} uF\n\
         load dcdc cam -> gnd power 20 W, below 6 V",
        best * unit,
        ratio * 470.0
    );
    let greatest = (2.0 * (2.0 + ratio)).sqrt() / ratio * unit;
    assert!((greatest - 1.006).abs() < 1e-3);
    let expected = 20.0 * (7.2 / greatest).log10();
    decibels(&harness(&text), &Measure::ImpedanceMargin("dcdc".into()), expected, 1e-6);
}

/// A low-pass of second order, |H| = 1 / |1 - x^2 + j x / Q|, whose top is Q / sqrt(1 - 1 / 4 Q^2), between two stated points far
/// from it.
#[test]
fn gains_and_resonances_of_a_low_pass() {
    for quality in [0.9_f64, 4.0, 300.0] {
        let resistance = f64::sqrt(100e-6 / 10e-6) / quality;
        let text = format!(
            "supply pack gnd -> a voltage 12 V, resistance {resistance} ohm\n\
             coil l a -> b inductance 100 uH\ncapacitor c b -> gnd capacitance 10 uF\n\
             frequency [100 Hz, 100 kHz]\nresponse gain = transfer(voltage(b), pack)"
        );
        let here = harness(&text);
        let top = 20.0 * (quality / (1.0 - 1.0 / (4.0 * quality * quality)).sqrt()).log10();
        decibels(&here, &Measure::PeakGain { response: "gain".into(), band: None }, top, 1e-5);
        let resonant = 1.0 / (std::f64::consts::TAU * f64::sqrt(100e-6 * 10e-6));
        // Below the resonance, at the band's upper end.
        let band = Some((100.0, resonant / 2.0));
        let end = -20.0 * f64::hypot(0.75, 0.5 / quality).log10();
        decibels(&here, &Measure::PeakGain { response: "gain".into(), band }, end, 1e-9);
        decibels(&here, &Measure::Resonances(None), top, 1e-5);
        let list = found(&here, &Measure::Resonances(Some("gain".into()))).list.expect("a list");
        let [only] = list.as_slice() else { panic!("{list:?}") };
        assert!(
            (only.frequency / resonant - 1.0).abs() < 1e-12 && (only.quality / quality - 1.0).abs() < 1e-9
        );
        assert_eq!(only.parts, ["l", "c"]);
    }
    // What does not rise has nothing to judge.
    let text = "supply pack gnd -> a voltage 12 V, resistance 5 ohm\ncoil l a -> b inductance 100 uH\n\
                capacitor c b -> gnd capacitance 10 uF\n\
                frequency [100 Hz, 100 kHz]\nresponse gain = transfer(voltage(b), pack)";
    let none = found(&harness(text), &Measure::Resonances(None));
    assert_eq!((none.value, none.list.as_deref(), none.applies), (None, Some(&[][..]), false));
}

fn warned(text: &str) -> Vec<Warning> {
    with_view(&harness(text), crate::warnings::of_frequency).expect("no failure")
}

/// A coil of 330 uH with 330 uF swings at 482 Hz; a stray tank at 159 MHz is nobody's business.
fn vehicle(drive: &str, dcr: &str) -> String {
    format!(
        "battery pack gnd -> bus emf 12 V, resistance 100 mohm\n\
         drive motor bus -> gnd motors 1, current 1 A, {drive}\n\
         coil l bus -> cam inductance 330 uH, dcr {dcr}\ncapacitor c cam -> gnd capacitance 330 uF\n\
         coil stray cam -> far inductance 0.1 uH\ncapacitor few far -> gnd capacitance 10 pF\n\
         load eye cam -> gnd resistance 100 ohm"
    )
}

/// The root of 330 uH over 330 uF is 1 ohm, three times 330 uF is nearest to the 1000 uF that is sold.
#[test]
fn what_damps_is_told_so_that_it_can_be_soldered() {
    let text = vehicle("pwm 700 Hz, duty 60 %", "0.1 ohm");
    let [warning] = &warned(&text)[..] else { panic!("one warning") };
    let damper = "solder 1 ohm and 1000 uF one after the other from cam to gnd, across c";
    let simpler = "1 ohm in series with l, which loses 1 V for each ampere";
    assert!(warning.text.contains(damper) && warning.text.contains(simpler), "{}", warning.text);
    let seen = text.replace("load eye cam -> gnd resistance 100 ohm", "camera eye cam -> gnd current 120 mA");
    let [warning] = &warned(&seen)[..] else { panic!("one warning") };
    assert!(warning.text.contains("loses 120 mV at 120 mA"), "{}", warning.text);
}

#[test]
fn resonances_near_a_line_are_told() {
    let about = |drive: &str, dcr: &str| -> Vec<String> {
        let warnings = warned(&vehicle(drive, dcr));
        assert!(warnings.iter().all(|warning| warning.code == "resonance_near_line"), "{warnings:?}");
        warnings.into_iter().map(|warning| warning.about).collect()
    };
    let commutation =
        |frequency: u32| format!("pwm 20 kHz, duty 60 %, commutation {frequency} Hz, commutation_depth 5 %");
    assert_eq!(about("pwm 20 kHz, duty 60 %", "0.1 ohm"), [] as [&str; 0]);
    assert_eq!(about("pwm 700 Hz, duty 60 %", "0.1 ohm"), ["l and c: PWM"]);
    assert_eq!(about("pwm 330 Hz, duty 60 %", "0.1 ohm"), ["l and c: PWM"]);
    assert_eq!(about("pwm 300 Hz, duty 60 %", "0.1 ohm"), [] as [&str; 0]);
    assert_eq!(about("pwm 730 Hz, duty 60 %", "0.1 ohm"), [] as [&str; 0]);
    // The throttle brings a commutation of 5 kHz down to it, one of 300 Hz never comes near.
    assert_eq!(about(&commutation(5000), "0.1 ohm"), ["l and c: commutation"]);
    assert_eq!(about(&commutation(330), "0.1 ohm"), ["l and c: commutation"]);
    assert_eq!(about(&commutation(300), "0.1 ohm"), [] as [&str; 0]);
    let speed = "pwm 20 kHz, duty 60 %, rpm 60000 rpm, pole_pairs 2, commutation_depth 5 %";
    assert_eq!(about(speed, "0.1 ohm"), ["l and c: commutation", "l and c: rotation"]);
    // Q below 1, and a drive that stands still.
    assert_eq!(about(&commutation(480), "1 ohm"), [] as [&str; 0]);
    assert_eq!(about("pwm 480 Hz, duty 0 %", "0.1 ohm"), [] as [&str; 0]);
    let text = &warned(&vehicle(&commutation(480), "0.1 ohm"))[0].text;
    for part in [
        "l and c resonate at 483 Hz (Q 4.8)",
        "the commutation of motor",
        "480 Hz",
        "solder 1 ohm and 1000 uF one after the other from cam to gnd",
        "across c",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
}

#[test]
fn too_little_margin_is_told() {
    let text = |resistance: f64, load: &str| {
        format!(
            "supply pack gnd -> bus voltage 12 V, resistance 0 ohm\ncoil l bus -> cam inductance 100 uH, dcr {resistance} ohm\n\
             capacitor c cam -> gnd capacitance 100 uF\nload eye cam -> gnd {load}"
        )
    };
    let [warning] = warned(&text(0.2, "power 20 W, below 6 V")).try_into().expect("one warning");
    assert_eq!((warning.code, warning.about.as_str()), ("impedance_margin", "eye"));
    for part in ["1.59 kHz", "dB", "6 dB", "across c"] {
        assert!(warning.text.contains(part), "{part}: {}", warning.text);
    }
    // At 11.4 V it is -6.5 ohm, against 3.0 ohm.
    assert_eq!(warned(&text(0.35, "power 20 W, below 6 V")), []);
    assert_eq!(warned(&text(0.01, "current 1 A")), []);
    assert_eq!(warned(&text(0.01, "resistance 7.2 ohm")), []);
}
