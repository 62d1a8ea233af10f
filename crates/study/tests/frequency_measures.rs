//! Readings over frequency from the text of a harness on.

use language::Source;
use study::result::{ListedResonance, Run};
use study::{Options, compare, responses};

/// A section of coil and capacitor that is fitted or not, behind a supply without resistance.
const HARNESS: &str = "\
assembly section(l, c) in, out {
    coil      choke in -> out   inductance l
    capacitor store out -> gnd  capacitance c
}
supply  pack gnd -> bus  voltage 12 V, resistance 0.1 ohm
drive   motor bus -> gnd motors 1, current 1 A, pwm 20 kHz, duty 50 %
load    dcdc cam -> gnd  power 2 W, below 6 V
choice filter {
    option none   { resistor link bus -> cam resistance 1 mohm }
    option fitted { fit section f bus, cam  l 100 uH, c 470 uF }
}
frequency 100 Hz .. 100 kHz, points 5
response gain = transfer(voltage(cam), pack)
reading loss   = insertion_loss(f, 50 ohm, 50 ohm, 10 kHz)
reading top    = peak_gain(gain)
reading swings = resonances
reading margin = impedance_margin(dcdc)
require resonances(gain) < 40 dB
transient ripple span 1 ms, start steady
";

fn runs(text: &str) -> Vec<Run> {
    let source = Source { name: "test.harness".into(), text: text.into() };
    let description = language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    compare(&description, &Options::default()).expect("every point is asked for").runs
}

fn value(run: &Run, name: &str) -> Option<f64> {
    run.readings.iter().find(|reading| reading.name == name).expect("it is asked for").value
}

/// The section's loss in 50/50 ohm is that of the published L section (57.4317 dB at 10 kHz, five digits); its load takes -12^2 / 2
/// ohm to the nearest per mille, since the supply's 0.1 ohm costs it 17 mV.
#[test]
fn readings_over_frequency() {
    let found = runs(HARNESS);
    let [none, fitted] = found.as_slice() else { panic!("two runs") };
    assert_eq!((none.error.as_deref(), fitted.error.as_deref()), (None, None));
    assert_eq!(value(none, "loss"), None);
    assert!((value(fitted, "loss").expect("a loss") - 57.4317).abs() < 1e-3);
    // Without the section nothing swings: there is nothing to judge, and nothing to warn of.
    assert!(!none.requirements[0].applies && fitted.requirements[0].applies);
    assert_eq!((none.requirements[0].met, fitted.requirements[0].met), (None, Some(true)));
    assert!(none.warnings.is_empty(), "{:?}", none.warnings);
    let list = |run: &Run| -> Vec<ListedResonance> {
        let reading = run.readings.iter().find(|reading| reading.name == "swings");
        reading.expect("it is asked for").list.clone().expect("a list")
    };
    assert_eq!(list(none), []);
    let [only] = list(fitted).try_into().expect("one resonance");
    // s^2 L C + s (R C - g L) + 1 - g R, g = 2 W / v^2, R = 0.1 ohm.
    let (r, l, c) = (0.1, 100e-6, 470e-6);
    let rail = 0.5 * ((12.0 - 0.5 * 1.0 * r) + f64::sqrt((12.0 - 0.05_f64).powi(2) - 8.0 * r));
    let g = 2.0 / (rail * rail);
    let omega = ((1.0 - g * r) / (l * c)).sqrt();
    let quality = omega / (r / l - g / c);
    assert!((only.frequency * std::f64::consts::TAU / omega - 1.0).abs() < 1e-4, "{only:?}");
    assert!((only.quality / quality - 1.0).abs() < 1e-3, "{only:?} {quality}");
    assert_eq!(only.parts, ["f.choke", "f.store"]);
    assert_eq!(only.height, value(fitted, "swings"));
    assert!((value(fitted, "top").expect("a gain") - only.height.expect("a height")).abs() < 1e-6);
    // |Zout| of the section, greatest near its resonance: L/C/R to second order in R / R0.
    let greatest = l / c / r;
    let margin = 20.0 * (1.0 / g / greatest).log10();
    let square = r * r * c / l;
    assert!((value(fitted, "margin").expect("a margin") - margin).abs() < 10.0 * square, "{margin}");
}

/// What the response command gives beside its curves.
#[test]
fn resonances_and_losses_of_every_point() {
    let source = Source { name: "test.harness".into(), text: HARNESS.into() };
    let description = language::read(&source, &[]).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    let found = responses(&description, &Options::default()).expect("every point is asked for");
    assert_eq!(found.resonances.iter().map(Vec::len).collect::<Vec<_>>(), [0, 1]);
    assert_eq!(found.losses.iter().map(Vec::len).collect::<Vec<_>>(), [0, 3]);
    let [usual, ..] = found.losses[1].as_slice() else { panic!("three losses") };
    assert_eq!((usual.source, usual.load), (50.0, 50.0));
    let expected = [(1e3, 37.3651), (10e3, 57.4317), (100e3, 81.4788)];
    for ((frequency, ratio), (at, decibels)) in usual.decades[1..].iter().zip(expected) {
        assert!((frequency / at - 1.0).abs() < 1e-12);
        assert!((20.0 * ratio.expect("a value").log10() - decibels).abs() < 1e-3);
    }
    assert_eq!(usual.at_lines.len(), 1);
}
